//! Stays at premises: who was where, and what they report of it.

use coldlug_core::{
    quantity::{Instant, RunId, SightingId, StayId},
    sighting::{Cause, Deed, DeedKind, Seen, Speaker, Stay},
};

use super::{
    cast::{
        CUSTOMER, DESK, ELECTRICIAN, Manner, Play, READER, WORKER, asset, deed_id, person, stay_id,
    },
    fault::Fault,
};

/// The stay that is being played.
pub(super) struct Scene {
    pub(super) stay: StayId,
    /// Where the worker takes the stay to be going on.
    pub(super) place: String,
    /// The worker reports the target's number and plate whatever stands there.
    pub(super) lying: bool,
    /// Moments before the stay at the target, for a picture of another day.
    pub(super) before: Instant,
}

impl Play {
    pub(super) fn play_stay(&mut self) {
        let before = self.tick(WORKER);
        let id = stay_id(&self.name("stay"));
        let wrong_house = self.take(Fault::WrongHouse);
        let honest_mistake = !wrong_house && self.draw.chance(0.25);
        let place =
            if wrong_house || honest_mistake { self.other.clone() } else { self.target.clone() };
        // An honest mistake that was noticed: reported as the target, then withdrawn whole.
        let withdrawn = honest_mistake && self.draw.chance(0.4);
        let begun = self.tick(WORKER);
        let stay = Stay { id: id.clone(), person: person(WORKER), begun, ended: None, withdrawn };
        self.evidence.stays.insert(id.clone(), stay);
        self.places.insert(id.clone(), place.clone());
        if wrong_house {
            self.report_is_false(WORKER, &id);
        }
        if self.faults.contains(&Fault::ReaderWrong) {
            self.report_is_false(READER, &id);
        }
        if self.faults.contains(&Fault::CustomerWrong) {
            self.report_is_false(CUSTOMER, &id);
        }
        if self.faults.contains(&Fault::DeskWrong) {
            self.report_is_false(DESK, &id);
        }
        if self.faults.contains(&Fault::ElectricianWrong) {
            self.false_causes.insert(Cause::Electrician);
        }
        let scene = Scene { stay: id.clone(), place, lying: wrong_house || withdrawn, before };
        self.look_around(&scene);
        if self.draw.chance(0.3) {
            self.sources_off(&scene);
        }
        let (least, most) = if self.manner == Manner::Anyhow { (0, 3) } else { (2, 4) };
        let mut next_door = false;
        for _ in 0..self.draw.whole(least, most) {
            next_door |= self.take(Fault::WalkNextDoor);
            let at = if next_door { self.other.clone() } else { scene.place.clone() };
            if next_door {
                self.report_is_false(WORKER, &scene.stay);
            }
            self.play_run(&scene, &at);
        }
        if self.draw.chance(0.4) {
            self.pull_meter(&scene);
        }
        for _ in 0..2 {
            if self.draw.chance(0.3) {
                self.tone(&scene);
            }
        }
        if self.draw.chance(0.3) {
            self.markers(&scene);
        }
        if self.draw.chance(0.2) {
            self.bare_steps(&scene);
        }
        if self.draw.chance(0.6) {
            let ended = self.tick(WORKER);
            if let Some(stay) = self.evidence.stays.get_mut(&id) {
                stay.ended = Some(ended);
            }
            // Left on record, and went on next door under the old stay.
            if self.draw.chance(0.5) {
                let at = self.other.clone();
                self.play_run(&scene, &at);
            }
        }
    }

    pub(super) fn report_is_false(&mut self, who: &str, stay: &StayId) {
        self.false_causes.insert(Cause::Report { person: person(who), stay: stay.clone() });
    }

    fn look_around(&mut self, scene: &Scene) {
        let stay = || scene.stay.clone();
        if self.draw.chance(self.eager) {
            let number = self.number_at(&scene.place, scene.lying);
            let at = self.tick(WORKER);
            self.note(WORKER, at, Seen::MeterNumber { stay: stay(), number });
        }
        if self.draw.chance(self.eager) {
            let (plate, service) = self.plate_at(&scene.place, scene.lying);
            let service = service.filter(|id| self.plant.services.contains_key(&asset(id)));
            let service = service.map(|id| asset(&id));
            let at = self.tick(WORKER);
            self.note(WORKER, at, Seen::AddressPlate { stay: stay(), plate, service });
        }
        if self.draw.chance(self.eager) {
            let place = scene.place.clone();
            let taken_at = self.tick(WORKER);
            self.picture(scene, None, &place, taken_at);
        }
        if self.draw.chance(0.3) {
            let (place, taken_at) = (scene.place.clone(), self.tick(WORKER));
            self.sticker(scene, None, &place, taken_at);
        }
        if self.draw.chance(0.3) {
            let (place, taken_at) = (scene.place.clone(), self.tick(WORKER));
            self.billing(scene, None, &place, taken_at);
        }
        if self.draw.chance(0.15) {
            // A picture of another day, taken at the target before this stay.
            let place = self.target.clone();
            self.picture(scene, None, &place, scene.before.clone());
        }
        if self.draw.chance(0.35) {
            self.word(scene, None, Speaker::Customer, &scene.place.clone(), false);
        }
        if self.draw.chance(0.35) {
            let linked = self.draw.chance(0.6);
            // Without the link nobody knows where the electrician speaks from.
            let home = linked || self.draw.chance(0.5);
            self.electrician_word(scene, home, linked);
        }
    }

    /// An electrician's word without the link may come from anywhere, and is noted for this stay.
    fn electrician_word(&mut self, scene: &Scene, at_home: bool, linked: bool) {
        let from = if at_home { &scene.place } else { &self.target };
        let from = from.clone();
        self.word(scene, None, Speaker::Electrician, &from, linked);
        if !linked && let Some((id, _)) = self.evidence.sightings.last_key_value() {
            // Taken for a word from the base: nothing about it is false but the condition.
            self.seen_at.remove(&id.clone());
        }
    }

    /// The number a person reads at a place; a liar gives the record's number of the target.
    pub(super) fn number_at(&self, place: &str, lying: bool) -> String {
        if lying {
            let target = &self.plant.services[&asset(&self.target)];
            return target.meters.first().cloned().unwrap_or_default();
        }
        self.world.services[place].meter.clone().unwrap_or_default()
    }

    /// The plate at a place, and which service it names.
    pub(super) fn plate_at(&self, place: &str, lying: bool) -> (String, Option<String>) {
        let swapped = self.false_causes.contains(&Cause::Plates);
        let shown = match place {
            _ if lying => &self.target,
            place if swapped && place == self.target => &self.other,
            place if swapped && place == self.other => &self.target,
            place => place,
        };
        (self.world.services[shown].plate.clone(), Some(shown.to_owned()))
    }

    /// A picture of the meter at `place`, read by the other worker.
    pub(super) fn picture(
        &mut self,
        scene: &Scene,
        run: Option<RunId>,
        place: &str,
        taken_at: Instant,
    ) {
        let wrong = self.faults.contains(&Fault::ReaderWrong);
        let number = self.number_at(place, wrong);
        let at = self.tick(READER);
        let photo = format!("{:064x}", self.draw.bits());
        let (stay, taken_by) = (scene.stay.clone(), person(WORKER));
        let seen = Seen::MeterPhoto { stay, run, taken_by, taken_at, photo, number };
        let id = self.note(READER, at, seen);
        self.seen_where(scene, id, place);
    }

    /// Somebody's word, given at `place`.
    pub(super) fn word(
        &mut self,
        scene: &Scene,
        run: Option<RunId>,
        speaker: Speaker,
        place: &str,
        from_link: bool,
    ) {
        let (who, fault) = match speaker {
            Speaker::Customer => (CUSTOMER, Fault::CustomerWrong),
            Speaker::Electrician => (ELECTRICIAN, Fault::ElectricianWrong),
        };
        if self.evidence.stays[&scene.stay].ended.is_some() {
            // The fold refuses a report of a stay that is over; another device's clock cannot.
            return;
        }
        let said = if self.faults.contains(&fault) { &self.target } else { place };
        let service = Some(asset(said)).filter(|id| self.plant.services.contains_key(id));
        let at = self.tick(who);
        let seen = Seen::Word { stay: scene.stay.clone(), run, speaker, service, from_link };
        let id = self.note(who, at, seen);
        if place != scene.place {
            self.seen_at.insert(id, place.to_owned());
        }
    }

    /// Premises sightings made elsewhere than their stay: inside a run next door, say.
    pub(super) fn seen_where(&mut self, scene: &Scene, id: SightingId, place: &str) {
        let in_stay = self.evidence.stays.get(&scene.stay).is_some_and(|stay| {
            self.evidence.sightings[&id]
                .seen
                .of_picture()
                .is_some_and(|of| of.taken_at.mono_ms >= stay.begun.mono_ms)
        });
        if in_stay && place != scene.place {
            self.seen_at.insert(id, place.to_owned());
        }
    }

    fn sources_off(&mut self, scene: &Scene) {
        let sources = self.world.services[&scene.place].sources.len();
        if self.take(Fault::SourcesStillOn) {
            self.report_is_false(WORKER, &scene.stay);
        } else {
            for index in 0..sources {
                self.switching.set_source(&scene.place, index, false);
            }
        }
        let at = self.tick(WORKER);
        self.note(WORKER, at, Seen::SourcesOff { stay: scene.stay.clone() });
    }

    fn pull_meter(&mut self, scene: &Scene) {
        let id = deed_id(&self.name("deed"));
        let wrong = self.take(Fault::WrongMeterPulled);
        // In a gang of meters, the neighbour's may be pulled and honestly noted as what it is.
        let neighbours = wrong || self.draw.chance(0.2);
        let pulled = if neighbours { self.other.clone() } else { scene.place.clone() };
        if wrong {
            self.false_causes.insert(Cause::Deed { deed: id.clone() });
        }
        let read = wrong || self.draw.chance(0.7);
        let number_in_hand = read.then(|| self.number_at(&pulled, wrong || scene.lying));
        let at = self.tick(WORKER);
        let deed = Deed {
            id: id.clone(),
            stay: scene.stay.clone(),
            doer: person(WORKER),
            kind: DeedKind::MeterPulled,
            number_in_hand,
            at,
        };
        self.evidence.deeds.insert(id.clone(), deed);
        self.switching.set_meter_out(&pulled, true);
        for _ in 0..self.draw.whole(1, 3) {
            self.read_amps(&id);
        }
        self.switching.set_meter_out(&pulled, false);
    }
}
