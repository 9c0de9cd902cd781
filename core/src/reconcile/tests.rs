//! Whole judgements on a small invented job: one pad with two sets, one more pad down the cable.

use std::num::NonZeroU8;

use super::*;
use crate::{
    mapsheet,
    plant::{Conductor, Metal, Plant},
    quantity::{Instant, RunId, SightingId},
    reading::{Accuracy, Instrument, InstrumentClass},
    rule_sheet::{Category, RuleSheet},
    sighting::{
        BeforeAfter, Candidate, Cause, Conditions, End, Evidence, Handle, MarkedSet, Marks,
        OpenedCode, Placement, Run, Seen, SetAt, Sighting, Slot, SlotKey, SlotReading, Stay, seal,
    },
};

mod along;
mod circles;
mod old;
mod reasons;

/// Invented: two pads on one cable, three services, V1 and V2 at P1, V3 at P2.
fn plant() -> Plant {
    let mut features = vec![
        feature("source", "F1", r#""node":"f","volts_line_to_line":12470"#),
        feature("cable", "C1", &cable("f", "P1:in")),
        feature("cable", "C2", &cable("P1:in", "P2:in")),
    ];
    for (pad, positions) in [("P1", ["V1", "V2"].as_slice()), ("P2", ["V3"].as_slice())] {
        let lugs = (1..=positions.len()).map(|at| format!(r#","{pad}-s{at}""#));
        let sets = positions.iter().map(|service| format!(r#","S-{service}""#));
        let inside: String = lugs.chain(sets).collect();
        features.push(feature(
            "pad",
            pad,
            &format!(
                r#""tags":["T{pad}"],"position_accuracy_m":3,"contains":["{pad}-fuse","{pad}-T"{inside}]"#
            ),
        ));
        features.push(feature(
            "switch",
            &format!("{pad}-fuse"),
            &format!(
                r#""from":"{pad}:in","to":"{pad}:pri","device":"bayonet-fuse","normally":"closed","rated_amps":15,"load_break_amps":100,"visible_break":false,"lockable":false,"pad":"{pad}""#
            ),
        ));
        features.push(feature(
            "transformer",
            &format!("{pad}-T"),
            &format!(
                r#""primary":"{pad}:pri","secondary":"{pad}:sec","kva":25,"percent_z":1.6,"primary_volts":7200,"system":"120/240-split-phase","pad":"{pad}""#
            ),
        ));
        for (i, service) in positions.iter().enumerate() {
            let at = i + 1;
            features.push(feature(
                "switch",
                &format!("{pad}-s{at}"),
                &format!(
                    r#""from":"{pad}:sec","to":"{pad}:s{at}","device":"lug-pair","normally":"closed","rated_amps":400,"load_break_amps":0,"visible_break":true,"lockable":false,"pad":"{pad}","position":"{at}""#
                ),
            ));
            features.push(feature(
                "set",
                &format!("S-{service}"),
                &format!(
                    r#""from":"{pad}:s{at}","to":"{service}","pad":"{pad}","position":"{at}","metal":"al","size":"4/0","length_m":30"#
                ),
            ));
            features.push(feature(
                "service",
                service,
                &format!(
                    r#""node":"{service}","premises":"{service} Quay","meters":["M-{service}"],"meter_base_amps":200,"system":"120/240-split-phase""#
                ),
            ));
        }
    }
    let sheet = format!(
        r#"{{"type":"FeatureCollection","coldlug_map_sheet":{{"format":1,"name":"test","edition":"1","bounds":[-31,41,-30,42],"invented":true}},"features":[{}]}}"#,
        features.join(",")
    );
    mapsheet::read(sheet.as_bytes()).unwrap().plant
}

fn cable(from: &str, to: &str) -> String {
    format!(r#""from":"{from}","to":"{to}","kv_class":15,"metal":"al","size":"1/0","length_m":80"#)
}

fn feature(kind: &str, id: &str, properties: &str) -> String {
    let place = match kind {
        "cable" | "set" => r#"{"type":"LineString","coordinates":[[-30.5,41.5],[-30.4999,41.5]]}"#,
        _ => r#"{"type":"Point","coordinates":[-30.5,41.5]}"#,
    };
    format!(
        r#"{{"type":"Feature","geometry":{place},"properties":{{"kind":"{kind}","id":"{id}",{properties}}}}}"#
    )
}

/// Evidence that grows as the crew works; `ana` is at the house, `bo` at the pad.
struct Job {
    plant: Plant,
    evidence: Evidence,
    clock_ms: i64,
    next: u32,
}

const CODE: [Slot; 10] = {
    use Slot::{Change as C, Hold as H};
    [C, H, C, C, H, H, C, C, H, C]
};
const SALT: &str = "0123456789abcdef0123456789abcdef";

impl Job {
    fn new() -> Self {
        let mut job = Self {
            plant: plant(),
            evidence: Evidence::new("V1".try_into().unwrap()),
            clock_ms: 0,
            next: 0,
        };
        let at = job.tick("bo");
        let clamp = Instrument {
            id: "clamp".try_into().unwrap(),
            class: InstrumentClass::Clamp,
            category: Category::Four,
            category_volts: "600".parse().unwrap(),
            range: "400".parse().unwrap(),
            resolution: "0.1".parse().unwrap(),
            accuracy: Accuracy { percent: "2".parse().unwrap(), counts: 5 },
            calibration_due_ms: i64::MAX,
        };
        job.evidence.show_right(&clamp.id, &at);
        job.evidence.instruments.insert(clamp.id.clone(), clamp);
        job
    }

    /// Stay begun, premises settled by two people, sets of P1 marked.
    fn at_the_house() -> Self {
        let mut job = Self::new();
        job.begin_stay();
        job.number("ana", "M-V1");
        job.plate("V1");
        job.picture(None, "M-V1");
        job.mark("P1", 2);
        job
    }

    fn tick(&mut self, who: &str) -> Instant {
        self.clock_ms += 1000;
        Instant { wall_ms: self.clock_ms, boot: who.into(), mono_ms: self.clock_ms }
    }

    fn name(&mut self, what: &str) -> String {
        self.next += 1;
        format!("{what}{}", self.next)
    }

    fn note(&mut self, who: &str, seen: Seen) -> SightingId {
        let at = self.tick(who);
        let id = SightingId::new(self.name("seen")).unwrap();
        let who = who.try_into().unwrap();
        self.evidence.sightings.insert(id.clone(), Sighting { id: id.clone(), who, at, seen });
        id
    }

    fn begin_stay(&mut self) {
        let begun = self.tick("ana");
        let id: crate::quantity::StayId = "stay".try_into().unwrap();
        let person = "ana".try_into().unwrap();
        let stay = Stay { id: id.clone(), person, begun, ended: None, withdrawn: false };
        self.evidence.stays.insert(id, stay);
    }

    fn number(&mut self, who: &str, number: &str) {
        let stay = "stay".try_into().unwrap();
        self.note(who, Seen::MeterNumber { stay, number: number.into() });
    }

    fn plate(&mut self, service: &str) {
        let stay = "stay".try_into().unwrap();
        let service = Some(service.try_into().unwrap());
        self.note("ana", Seen::AddressPlate { stay, plate: "plate".into(), service });
    }

    fn picture(&mut self, run: Option<RunId>, number: &str) {
        let taken_at = self.tick("ana");
        self.picture_of(run, number, taken_at);
    }

    fn picture_of(&mut self, run: Option<RunId>, number: &str, taken_at: Instant) {
        let seen = Seen::MeterPhoto {
            stay: "stay".try_into().unwrap(),
            run,
            taken_by: "ana".try_into().unwrap(),
            taken_at,
            photo: "0".repeat(64),
            number: number.into(),
        };
        self.note("bo", seen);
    }

    fn mark(&mut self, pad: &str, sets: u8) {
        let id: crate::quantity::MarksId = format!("marks-{pad}").as_str().try_into().unwrap();
        let marked = |i: u8| MarkedSet {
            mark: char::from(b'A' + i).to_string(),
            position: (i + 1).to_string(),
        };
        let sets = (0..sets).map(marked).collect();
        self.evidence.put_marks(Marks { id, pad: pad.try_into().unwrap(), sets });
    }

    /// A run, read on one leg of a set; `sees` says whether the load is on it.
    fn step(&mut self, set: (&str, &str), by: By, leg: Conductor, sees: bool, witness: bool) {
        let pad = set.0.try_into().unwrap();
        let handle = match by {
            By::Position => Handle::Position { position: set.1.into() },
            By::Mark => Handle::Mark {
                marks: format!("marks-{}", set.0).as_str().try_into().unwrap(),
                mark: char::from(b'A' + set.1.parse::<u8>().unwrap() - 1).to_string(),
            },
        };
        let at = self.tick("bo");
        let placement: crate::quantity::PlacementId =
            self.name("placement").as_str().try_into().unwrap();
        let instrument = "clamp".try_into().unwrap();
        let placed = Placement {
            id: placement.clone(),
            pad,
            handle,
            leg: Some(leg),
            runs_in_jaws: NonZeroU8::MIN,
            instrument,
            at,
        };
        self.evidence.placements.insert(placement.clone(), placed);
        let id = RunId::new(self.name("run")).unwrap();
        let begun = self.tick("ana");
        let inside = self.tick("ana");
        let run = Run {
            id: id.clone(),
            stay: "stay".try_into().unwrap(),
            doer: "ana".try_into().unwrap(),
            outlet: "kitchen".into(),
            load_amps: "12.5".parse().unwrap(),
            load_tolerance_percent: "5".parse().unwrap(),
            sealed: seal(&CODE, SALT),
            size_slot: 0,
            begun,
            opened: Some(OpenedCode { code: CODE.to_vec(), salt: SALT.into() }),
            ended: Some(self.tick("ana")),
        };
        self.evidence.runs.insert(id.clone(), run);
        if witness {
            self.picture_of(Some(id.clone()), "M-V1", inside);
        }
        self.read(id, placement, sees);
    }

    fn read(&mut self, run: RunId, placement: crate::quantity::PlacementId, sees: bool) {
        let mut on = false;
        let slots = CODE.iter().enumerate().map(|(i, slot)| {
            on ^= *slot == Slot::Change;
            let key = match (sees, slot, on) {
                (false, _, _) | (_, Slot::Hold, _) => SlotKey::Same,
                (true, Slot::Change, true) => SlotKey::Rose,
                (true, Slot::Change, false) => SlotKey::Fell,
            };
            let after = if sees { "13.4" } else { "1.0" };
            let amps = (i == 0).then(|| BeforeAfter {
                before_amps: "1.0".parse().unwrap(),
                after_amps: after.parse().unwrap(),
            });
            SlotReading { key, amps }
        });
        let slots = slots.collect();
        let load_off_amps = "1.0".parse().unwrap();
        self.note("bo", Seen::LoadStep { run, placement, load_off_amps, slots });
    }

    fn judge(&self) -> Judgement {
        judge(&self.plant, &RuleSheet::default(), &self.evidence)
    }
}

fn set_at(pad: &str, position: &str) -> SetAt {
    SetAt { pad: pad.try_into().unwrap(), position: position.into() }
}

const L1: Conductor = Conductor::L1;
const L2: Conductor = Conductor::L2;

#[test]
fn two_people_and_two_steps_identify_and_each_cause_is_answered() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, true, true);
    job.step(("P1", "1"), By::Position, L1, true, true);
    let judged = job.judge();
    let Verdict::Identified { set, holds } = &judged.verdict else { panic!("{judged:?}") };
    assert_eq!(*set, set_at("P1", "1"));
    assert!(holds.iter().all(|line| !line.by.is_empty()), "{holds:?}");
    for cause in [Cause::MeterRecords, Cause::Plates] {
        assert!(holds.iter().any(|line| line.without.as_ref() == Some(&cause)), "{cause}");
    }
    let report = |who: &str| Cause::Report {
        person: who.try_into().unwrap(),
        stay: "stay".try_into().unwrap(),
    };
    assert!(holds.iter().any(|line| line.without == Some(report("ana"))));
    assert!(holds.iter().any(|line| line.without == Some(report("bo"))));
    assert!(judged.settling.is_empty());
    let rules = RuleSheet::default();
    let alone = identified_by(&job.plant, &rules, &job.evidence, Conditions::ALL);
    assert_eq!(alone.as_ref(), Some(set));
}

#[test]
fn one_step_leaves_the_other_handle_to_be_tried() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, true, true);
    let judged = job.judge();
    assert_eq!(judged.verdict, Verdict::Unsettled);
    let next = judged.settling.first().unwrap();
    assert_eq!(
        next.test,
        Test::LoadStep {
            set: set_at("P1", "1"),
            by: By::Position,
            leg: Conductor::L1,
            outlet: Some("kitchen".into())
        }
    );
    assert_eq!(next.steps_left, 1);
}

#[test]
fn the_same_marks_twice_are_one_cause() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, true, true);
    job.step(("P1", "1"), By::Mark, L1, true, true);
    assert_eq!(job.judge().identified(), None);
}

#[test]
fn a_run_that_nobody_else_watched_does_not_identify() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, true, false);
    job.step(("P1", "1"), By::Position, L1, true, false);
    assert_eq!(job.judge().identified(), None);
    job.step(("P1", "1"), By::Position, L1, true, true);
    assert_eq!(job.judge().identified(), Some(&set_at("P1", "1")));
}

#[test]
fn one_persons_premises_count_for_nothing() {
    let mut job = Job::new();
    job.begin_stay();
    job.number("ana", "M-V1");
    job.plate("V1");
    job.mark("P1", 2);
    job.step(("P1", "1"), By::Mark, L1, true, false);
    job.step(("P1", "1"), By::Position, L1, true, false);
    let judged = job.judge();
    assert_eq!(judged.identified(), None);
    assert!(
        judged.candidates.iter().all(|row| row.excluded_by.is_empty()),
        "a stay that is not identified excludes no set"
    );
    let stay = judged.premises.values().next().unwrap();
    assert!(matches!(stay, PremisesVerdict::Unsettled { hole, .. } if !hole.is_empty()));
}

#[test]
fn flat_on_every_set_contradicts_the_record_and_sends_the_crew_on() {
    let mut job = Job::at_the_house();
    for position in ["1", "2"] {
        for leg in [L1, L2] {
            job.step(("P1", position), By::Position, leg, false, true);
        }
    }
    let judged = job.judge();
    let Verdict::Contradicted { claims, no_set_left } = &judged.verdict else {
        panic!("{judged:?}")
    };
    assert!(no_set_left);
    let claim = &claims.first().unwrap().claim;
    let feeds = Claim::Feeds { service: "V1".try_into().unwrap(), set: set_at("P1", "1") };
    assert_eq!(*claim, feeds);
    assert_eq!(claims.first().unwrap().sightings.len(), 2);
    let next = judged.settling.first().unwrap();
    assert_eq!(next.test, Test::SearchPad { pad: "P2".try_into().unwrap() });

    job.mark("P2", 1);
    job.step(("P2", "1"), By::Mark, L1, true, true);
    job.step(("P2", "1"), By::Position, L1, true, true);
    let judged = job.judge();
    assert_eq!(judged.identified(), Some(&set_at("P2", "1")));
    let feeds = judged.ledger.iter().find(|row| row.claim.names_the_way()).unwrap();
    assert_eq!(feeds.standing, Standing::Contradicts);
}

#[test]
fn a_claimed_position_that_is_not_there_falls_with_every_set_of_its_pad() {
    let mut job = Job::at_the_house();
    for marks in job.evidence.marks.values_mut() {
        marks.sets = vec![MarkedSet { mark: "A".into(), position: "2".into() }];
    }
    job.step(("P1", "2"), By::Position, L1, false, true);
    job.step(("P1", "2"), By::Position, L2, false, true);
    let judged = job.judge();
    let Verdict::Contradicted { claims, .. } = &judged.verdict else { panic!("{judged:?}") };
    assert_eq!(claims.len(), 1, "{claims:?}");
    assert_eq!(claims.first().unwrap().sightings.len(), 2);
    // Marking the next pad brings new candidates; the record is as wrong as before.
    job.mark("P2", 1);
    assert!(matches!(job.judge().verdict, Verdict::Contradicted { no_set_left: false, .. }));
}

/// Common practice, no source: one copper and one aluminium set tell two houses apart. They do, and
/// name none: what is left may still be elsewhere.
#[test]
fn one_copper_and_one_aluminium_set_tell_two_houses_apart() {
    let mut job = Job::at_the_house();
    let look = |end, metal| Seen::Conductor { end, metal, size: None };
    job.note("ana", look(End::Base { stay: "stay".try_into().unwrap() }, Metal::Cu));
    for (position, metal) in [("1", Metal::Al), ("2", Metal::Cu)] {
        let handle = Handle::Position { position: position.into() };
        job.note("bo", look(End::Lug { pad: "P1".try_into().unwrap(), handle }, metal));
    }
    let judged = job.judge();
    let excluded = judged.candidates.iter().map(|row| !row.excluded_by.is_empty());
    assert_eq!(excluded.collect::<Vec<_>>(), [true, false, false]);
    assert_eq!(judged.identified(), None);
}

#[test]
fn all_but_one_flat_never_names_the_last() {
    let mut job = Job::at_the_house();
    for leg in [L1, L2] {
        job.step(("P1", "2"), By::Position, leg, false, true);
        job.step(("P1", "2"), By::Mark, leg, false, true);
    }
    let judged = job.judge();
    assert_eq!(judged.identified(), None);
    let elsewhere = judged.candidates.last().unwrap();
    assert_eq!(elsewhere.candidate, Candidate::Elsewhere);
    assert!(elsewhere.excluded_by.is_empty());
}

#[test]
fn a_number_that_is_not_the_records_leaves_the_stay_unsettled() {
    let mut job = Job::new();
    job.begin_stay();
    job.number("ana", "M-V2");
    job.plate("V1");
    job.picture(None, "M-V2");
    job.mark("P1", 2);
    job.step(("P1", "1"), By::Mark, L1, true, true);
    job.step(("P1", "1"), By::Position, L1, true, true);
    assert_eq!(job.judge().identified(), None);
}

#[test]
fn a_clamp_shown_right_again_keeps_what_it_read_and_one_shown_wrong_loses_it() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, true, true);
    job.step(("P1", "1"), By::Position, L1, true, true);
    let (clamp, at) = ("clamp".try_into().unwrap(), job.tick("bo"));
    job.evidence.show_right(&clamp, &at);
    assert_eq!(job.judge().identified(), Some(&set_at("P1", "1")));
    job.evidence.show_wrong(&clamp);
    assert_eq!(job.judge().identified(), None);
    for phone in ["bo", "ana"] {
        let at = job.tick(phone);
        job.evidence.show_right(&clamp, &at);
        assert_eq!(job.judge().identified(), None, "what it read before it failed is lost");
    }
    job.step(("P1", "1"), By::Mark, L1, true, true);
    job.step(("P1", "1"), By::Position, L1, true, true);
    assert_eq!(job.judge().identified(), Some(&set_at("P1", "1")));
}

#[test]
fn with_nothing_known_a_stay_is_begun() {
    let judged = Job::new().judge();
    assert_eq!(judged.verdict, Verdict::Unsettled);
    assert_eq!(judged.settling.first().map(|next| &next.test), Some(&Test::BeginStay));
}

#[test]
fn looks_come_before_the_cabinet_is_opened_again() {
    let mut job = Job::new();
    job.begin_stay();
    job.mark("P1", 2);
    let judged = job.judge();
    let next = judged.settling.first().unwrap();
    assert!(matches!(next.test, Test::ReadMeterNumber | Test::ReadPlate), "{next:?}");
}
