//! Two people with one clamp, a known load and phones that pass a picture. They do what the
//! software advises and nothing cleverer.

use coldlug_core::{
    plant::Conductor,
    quantity::StayId,
    reconcile::{By, Judgement, Test, judge},
    rule_sheet::RuleSheet,
    sighting::{Handle, Seen, SetAt, Speaker, Stay},
};
use coldlug_field::{
    conductor::{self, Leg},
    switching::TestLoad,
};

use super::{
    cast::{Manner, Play, Shape, WORKER, asset, person, stay_id},
    run::outlet,
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
}

/// Plays a job by the software's advice under a rule sheet; none where the world cannot be played or, for the reason
/// given, a crew that knew the truth could not settle it either.
pub(crate) fn follow_advice(seed: u64, rules: &RuleSheet) -> Option<Result<End, &'static str>> {
    let shape = Shape { faults: &[], manner: Manner::Anyhow };
    let mut play = Play::set_up(seed, shape)?;
    play.twitchy = false;
    play.types_sizes = true;
    play.calm = true;
    if let Some(reason) = play.unsolvable() {
        return Some(Err(reason));
    }
    play.bring_clamps();
    let mut crew = Crew { play, scene: None };
    for tests in 0..PATIENCE {
        let judged = judge(&crew.play.plant, rules, &crew.play.evidence);
        if let Some(set) = judged.identified() {
            let right = *set == crew.play.truth;
            return Some(Ok(End::Named { set: set.clone(), right, tests }));
        }
        // These two change places in no job.
        let next = judged.settling.first().filter(|next| next.test != Test::ChangePlaces);
        let Some(next) = next else {
            return Some(Ok(End::GaveUp(Box::new(judged))));
        };
        crew.follow(&next.test);
    }
    let judged = judge(&crew.play.plant, rules, &crew.play.evidence);
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
            Test::SearchPad { pad } => self.search(pad.as_str(), Leg::L1, true),
            Test::BareSteps { pad } => self.search(pad.as_str(), Leg::L2, false),
            Test::LoadStep { set, by, leg, outlet } => self.step(set, *by, *leg, outlet.as_deref()),
            Test::ReadMeterNumber
            | Test::ReadPlate
            | Test::PictureOfMeter
            | Test::PhotographSticker
            | Test::CompareWithBilling
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
            Test::PhotographSticker => self.play.sticker(&scene, None, &place, at),
            Test::CompareWithBilling => self.play.billing(&scene, None, &place, at),
            Test::AskCustomer => self.play.word(&scene, None, Speaker::Customer, &place, false),
            _ => self.play.word(&scene, None, Speaker::Electrician, &place, true),
        }
        self.scene = Some(scene);
    }

    /// Marks a pad's sets and switches the load once for each leg of each of them.
    fn search(&mut self, pad: &str, outlet: Leg, anew: bool) {
        if anew {
            self.play.mark_pad(pad);
        }
        let Some(scene) = self.scene.take() else { return };
        for set in self.play.marked_sets().into_iter().filter(|set| set.pad.as_str() == pad) {
            for leg in [Conductor::L1, Conductor::L2] {
                let handle = self.handle(&set, By::Mark);
                if let Some(held) = self.play.hold(&set, handle, Some(leg)) {
                    self.play.bare_step(&scene, held, outlet);
                }
            }
        }
        self.scene = Some(scene);
    }

    fn handle(&self, set: &SetAt, by: By) -> Handle {
        match by {
            By::Position => Handle::Position { position: set.position.clone() },
            By::Mark => {
                let (marks, mark) = self.play.evidence.mark_of(set).expect("a marked set");
                Handle::Mark { marks: marks.clone(), mark: mark.to_owned() }
            }
        }
    }

    fn step(&mut self, set: &SetAt, by: By, leg: Conductor, at: Option<&str>) {
        let Some(scene) = self.scene.take() else { return };
        let house = if at == Some(outlet(Leg::L2).as_str()) { Leg::L2 } else { Leg::L1 };
        if let Some(held) = self.play.hold(set, self.handle(set, by), Some(leg)) {
            self.play.careful_run(&scene, held, house);
        }
        self.scene = Some(scene);
    }
}
