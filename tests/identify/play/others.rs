//! Sightings besides numbers, plates and steps: the job's sticker, the billing record, a tone,
//! cable markers.

use coldlug_core::{
    plant::Conductor,
    quantity::{Instant, RunId},
    sighting::{Cause, Deed, DeedKind, End, Handle, Seen, SetAt, ToneLevel},
};
use coldlug_field::tone::Bleed;

use super::{
    cast::{DESK, Play, READER, TONE_SET, WORKER, asset, deed_id, instrument_id, person},
    fault::Fault,
    run::decimal,
    stay::Scene,
};

/// The code on the sticker of the job, and on one that another job left behind. Invented.
pub(super) const STICKER: &str = "K7W2QX";
const OLD_STICKER: &str = "B4TTRE";

/// What the tone set shows for a tone as loud as sent.
const TONE_SCALE: f64 = 80.0;

impl Play {
    /// A picture of whatever sticker is on the base at `place`, read by the other worker.
    pub(super) fn sticker(
        &mut self,
        scene: &Scene,
        run: Option<RunId>,
        place: &str,
        taken_at: Instant,
    ) {
        let wrong = self.faults.contains(&Fault::ElectricianWrong);
        let put_on = if wrong { &self.other } else { &self.target };
        let code = if place == put_on {
            STICKER
        } else if self.draw.chance(0.3) {
            OLD_STICKER
        } else {
            return;
        };
        let code = if self.faults.contains(&Fault::ReaderWrong) { "1LLEG1" } else { code };
        let at = self.tick(READER);
        let photo = format!("{:064x}", self.draw.bits());
        let (stay, taken_by, code) = (scene.stay.clone(), person(WORKER), code.to_owned());
        let seen = Seen::Sticker { stay, run, taken_by, taken_at, photo, code };
        let id = self.note(READER, at, seen);
        self.seen_where(scene, id, place);
    }

    /// A picture of the meter at `place`, whose number the desk holds against the billing record.
    pub(super) fn billing(
        &mut self,
        scene: &Scene,
        run: Option<RunId>,
        place: &str,
        taken_at: Instant,
    ) {
        let swapped = self.false_causes.contains(&Cause::BillingRecords);
        let named = match place {
            _ if self.faults.contains(&Fault::DeskWrong) => &self.target,
            place if swapped && place == self.target => &self.other,
            place if swapped && place == self.other => &self.target,
            place => place,
        };
        let service = Some(asset(named)).filter(|id| self.plant.services.contains_key(id));
        let at = self.tick(DESK);
        let photo = format!("{:064x}", self.draw.bits());
        let (stay, taken_by) = (scene.stay.clone(), person(WORKER));
        let seen = Seen::BillingRecord { stay, run, taken_by, taken_at, photo, service };
        let id = self.note(DESK, at, seen);
        self.seen_where(scene, id, place);
    }

    /// A tone put on at the stay's place, or next door by mistake, and compared in a marked pad: on
    /// every set as it should be, or only on one.
    pub(super) fn tone(&mut self, scene: &Scene) {
        let pads: Vec<String> = self.world.pads.keys().cloned().collect();
        let Some(pad) = self.draw.pick(&pads).cloned() else { return };
        let Some(go) = self.evidence.marks_on(&asset(&pad)).cloned() else { return };
        let deed = deed_id(&self.name("deed"));
        let next_door = self.take(Fault::ToneNextDoor);
        let from = if next_door { self.other.clone() } else { scene.place.clone() };
        if next_door {
            self.false_causes.insert(Cause::Deed { deed: deed.clone() });
        }
        let instrument = instrument_id(TONE_SET);
        let heavy = self.faults.contains(&Fault::ToneBleeds);
        let bleed = if heavy { Bleed::Heavy } else { Bleed::Ordinary };
        if heavy {
            self.false_causes.insert(Cause::Tone { pad: asset(&pad) });
        }
        let at = self.tick(WORKER);
        let done = Deed {
            id: deed.clone(),
            stay: scene.stay.clone(),
            doer: person(WORKER),
            kind: DeedKind::ToneOn,
            number_in_hand: None,
            at,
        };
        self.evidence.deeds.insert(deed.clone(), done);
        let chance = self.draw.bits();
        let Ok(heard) = self.world.tone(&from, &pad, bleed, chance) else { return };
        let one = self.draw.chance(0.3).then(|| self.draw.below(go.sets.len() as u32) as usize);
        let sets = go.sets.iter().enumerate().filter(|(i, _)| one.is_none_or(|one| one == *i));
        let by_mark = self.draw.chance(0.5);
        let wanted: Vec<(Handle, SetAt)> = sets
            .map(|(_, set)| {
                let handle = if by_mark {
                    Handle::Mark { marks: go.id.clone(), mark: set.mark.clone() }
                } else {
                    Handle::Position { position: set.position.clone() }
                };
                (handle, SetAt { pad: asset(&pad), position: set.position.clone() })
            })
            .collect();
        let made_up = self.made_up_at(&pad);
        let mut levels = Vec::new();
        for (handle, set) in wanted {
            if let Some(chosen) = &made_up {
                let on = if set == *chosen { 0.9 * TONE_SCALE } else { 0.1 * TONE_SCALE };
                levels.push(ToneLevel { handle, on_level: decimal(on), off_level: decimal(1.0) });
                continue;
            }
            let really = self.really_at(&pad, &handle, &set);
            let Some(set) = self.world.pads[&pad].sets.get(really - 1) else { return };
            let on = heard[set] * TONE_SCALE;
            let off = self.draw.between(0.0, 3.0);
            levels.push(ToneLevel { handle, on_level: decimal(on + off), off_level: decimal(off) });
        }
        let at = self.tick(READER);
        self.note(READER, at, Seen::Tone { deed, instrument, pad: asset(&pad), levels });
    }

    /// The set that a reader who makes things up has chosen in a pad; none: they do not.
    fn made_up_at(&mut self, pad: &str) -> Option<SetAt> {
        if !self.faults.contains(&Fault::PadInvents) {
            return None;
        }
        self.false_causes.insert(Cause::PadReport { person: person(READER) });
        let wrong = |set: &SetAt| set.pad.as_str() == pad && *set != self.truth;
        self.marked_sets().into_iter().find(wrong)
    }

    /// Cable markers at the stay's place and at some lugs of a pad.
    pub(super) fn markers(&mut self, scene: &Scene) {
        let swapped = self.faults.contains(&Fault::MarkersSwapped);
        if swapped {
            self.false_causes.insert(Cause::MarkerScheme);
        }
        let base = self.world.feeding_set(&scene.place).expect("a fed place").to_owned();
        let at = self.tick(WORKER);
        let end = End::Base { stay: scene.stay.clone() };
        self.note(WORKER, at, Seen::Marker { end, text: base.clone() });
        let home = self.truth.pad.clone();
        if let Some(chosen) = self.made_up_at(home.as_str()) {
            let Some(handle) = self.handle_of(&chosen) else { return };
            let end = End::Lug { pad: chosen.pad, handle };
            let at = self.tick(READER);
            self.note(READER, at, Seen::Marker { end, text: base });
            return;
        }
        let of = |service: &str| self.world.feeding_set(service).expect("a fed house").to_owned();
        let (target, other) = (of(&self.target.clone()), of(&self.other.clone()));
        let theirs: Vec<SetAt> =
            self.marked_sets().into_iter().filter(|set| set.pad == home).collect();
        for wanted in theirs {
            if self.draw.chance(0.3) {
                continue;
            }
            let Some(handle) = self.handle_of(&wanted) else { continue };
            let pad = wanted.pad.as_str().to_owned();
            let really = self.really_at(&pad, &handle, &wanted);
            let Some(set) = self.world.pads[&pad].sets.get(really - 1).cloned() else { continue };
            let text = match set {
                set if swapped && set == target => other.clone(),
                set if swapped && set == other => target.clone(),
                set => set,
            };
            let at = self.tick(READER);
            self.note(READER, at, Seen::Marker { end: End::Lug { pad: wanted.pad, handle }, text });
        }
    }

    /// Bare steps by word of mouth, which exclude nothing whatever they show.
    pub(super) fn bare_steps(&mut self, scene: &Scene) {
        let Some(set) = self.draw.pick(&self.marked_sets()).cloned() else { return };
        let Some(handle) = self.handle_of(&set) else { return };
        if let Some(held) = self.hold(&set, handle, Some(Conductor::L1)) {
            self.bare_step(scene, held, coldlug_field::conductor::Leg::L1);
        }
    }
}
