//! Two people with one clamp, a known load and phones that pass a picture. They do what the
//! software advises and nothing cleverer.

use std::collections::BTreeMap;

use coldlug_core::{
    plant::Conductor,
    quantity::StayId,
    reconcile::{By, Judgement, Test, judge},
    rule_sheet::RuleSheet,
    sighting::{Handle, Idle, Seen, SetAt, Speaker, Stay},
};
use coldlug_field::{
    conductor::{self, Leg},
    switching::TestLoad,
};

use super::{
    cast::{Manner, Play, Shape, WORKER, asset, person, stay_id},
    stay::Scene,
};

/// How a job went.
pub(crate) enum End {
    /// A set was named, after this many tests.
    Named { set: SetAt, right: bool, tests: usize },
    /// The crew gave up, with the last judgement.
    GaveUp(Box<Judgement>),
}

/// Tests after which a crew calls the dispatcher.
const PATIENCE: usize = 150;

struct Crew {
    play: Play,
    scene: Option<Scene>,
    /// What to try next on a set found by a handle: the leg at the house, and the leg at the pad.
    next: BTreeMap<(SetAt, By), (Leg, Conductor)>,
}

/// Plays a job by the software's advice; none where the world cannot be played or, for the reason
/// given, a crew that knew the truth could not settle it either.
pub(crate) fn follow_advice(seed: u64) -> Option<Result<End, &'static str>> {
    let shape = Shape { faults: &[], manner: Manner::Anyhow };
    let mut play = Play::set_up(seed, shape)?;
    play.twitchy = false;
    play.types_sizes = true;
    play.calm = true;
    if let Some(reason) = play.unsolvable() {
        return Some(Err(reason));
    }
    play.bring_clamps();
    let rules = RuleSheet::default();
    let mut crew = Crew { play, scene: None, next: BTreeMap::new() };
    for tests in 0..PATIENCE {
        let judged = judge(&crew.play.plant, &rules, &crew.play.evidence);
        if let Some(set) = judged.identified() {
            let right = *set == crew.play.truth;
            return Some(Ok(End::Named { set: set.clone(), right, tests }));
        }
        let Some(next) = judged.settling.first() else {
            return Some(Ok(End::GaveUp(Box::new(judged))));
        };
        crew.follow(&next.test);
    }
    let judged = judge(&crew.play.plant, &rules, &crew.play.evidence);
    Some(Ok(End::GaveUp(Box::new(judged))))
}

impl Play {
    /// Why nobody could settle this field with a clamp and the known load, from the field alone.
    fn unsolvable(&mut self) -> Option<&'static str> {
        let target = self.target.clone();
        if !self.plant.services.contains_key(&asset(&target)) {
            return Some("the target is not on the sheet");
        }
        for index in 0..self.world.services[&target].sources.len() {
            self.switching.set_source(&target, index, false);
        }
        for (leg, conductor) in
            [(Leg::L1, conductor::Conductor::L1), (Leg::L2, conductor::Conductor::L2)]
        {
            let mut worst = f64::INFINITY;
            for minute in 0..40 {
                let t_s = f64::from(minute) * 60.0;
                let mut amps = |on: bool| {
                    self.switching.test_loads =
                        vec![TestLoad { on, ..TestLoad::of_amps(&target, leg, 12.5) }];
                    let pad = self.truth.pad.as_str();
                    let flow = self.world.flow(pad, t_s, &self.switching).expect("a sound pad");
                    let at: usize = self.truth.position.parse().expect("a position");
                    let set = &self.world.pads[pad].sets[at - 1];
                    flow.set(set).expect("a set of the pad").amps.around(&[conductor])
                };
                worst = worst.min(amps(true) - amps(false));
            }
            self.switching.test_loads.clear();
            if worst < 0.6 * 12.5 {
                return Some("somebody else's generation on the set hides the step");
            }
        }
        None
    }
}

impl Crew {
    fn follow(&mut self, test: &Test) {
        match test {
            Test::BeginStay => self.begin_stay(),
            Test::SearchPad { pad } => self.play.mark_pad(pad.as_str()),
            Test::LoadStep { set, by, .. } => self.step(set, *by),
            Test::ReadMeterNumber
            | Test::ReadPlate
            | Test::PictureOfMeter
            | Test::AskCustomer
            | Test::AskElectrician => self.look(test),
            test => panic!("nothing like {test:?} is asked of a crew without a fault"),
        }
    }

    fn begin_stay(&mut self) {
        let before = self.play.tick(WORKER);
        let id: StayId = stay_id(&self.play.name("stay"));
        let begun = self.play.tick(WORKER);
        let person = person(WORKER);
        let stay = Stay { id: id.clone(), person, begun, ended: None, withdrawn: false };
        self.play.evidence.stays.insert(id.clone(), stay);
        let place = self.play.target.clone();
        self.play.places.insert(id.clone(), place.clone());
        let scene = Scene { stay: id.clone(), place, lying: false, before };
        let at = self.play.tick(WORKER);
        self.play.note(WORKER, at, Seen::SourcesOff { stay: id });
        self.scene = Some(scene);
    }

    fn look(&mut self, test: &Test) {
        let Some(scene) = self.scene.take() else { return };
        let (stay, place) = (scene.stay.clone(), scene.place.clone());
        let at = self.play.tick(WORKER);
        match test {
            Test::ReadMeterNumber => {
                let number = self.play.number_at(&place, false);
                self.play.note(WORKER, at, Seen::MeterNumber { stay, number });
            }
            Test::ReadPlate => {
                let (shown, service) = self.play.plate_at(&place, false);
                let service = service.map(|id| asset(&id));
                self.play.note(WORKER, at, Seen::AddressPlate { stay, plate: shown, service });
            }
            Test::PictureOfMeter => self.play.picture(&scene, None, &place, at),
            Test::AskCustomer => self.play.word(&scene, None, Speaker::Customer, &place, false),
            _ => self.play.word(&scene, None, Speaker::Electrician, &place, true),
        }
        self.scene = Some(scene);
    }

    fn step(&mut self, set: &SetAt, by: By) {
        let Some(scene) = self.scene.take() else { return };
        let first = match by {
            By::Mark => Leg::L1,
            By::Position => Leg::L2,
        };
        let key = (set.clone(), by);
        let (house, pad) = *self.next.entry(key.clone()).or_insert((first, Conductor::L1));
        let handle = match by {
            By::Position => Handle::Position { position: set.position.clone() },
            By::Mark => {
                let go = self.play.evidence.marks.values().find(|go| go.pad == set.pad);
                let go = go.expect("a marked pad").clone();
                let marked = go.sets.iter().find(|m| m.position == set.position);
                let mark = marked.expect("a marked set").mark.clone();
                Handle::Mark { marks: go.id, mark }
            }
        };
        if let Some(held) = self.play.hold(set, handle, Some(pad)) {
            self.play.careful_run(&scene, held, house);
        }
        self.scene = Some(scene);
        let rules = RuleSheet::default();
        let judged = judge(&self.play.plant, &rules, &self.play.evidence);
        let flat = self
            .play
            .evidence
            .sightings
            .values()
            .rev()
            .find(|s| matches!(s.seen, Seen::LoadStep { .. }))
            .is_some_and(|s| judged.idle.get(&s.id) == Some(&Idle::FlatOnOneLeg));
        if flat {
            // The same outlet, the other leg in the jaws.
            let other = if pad == Conductor::L1 { Conductor::L2 } else { Conductor::L1 };
            self.next.insert(key, (house, other));
        }
    }
}
