use std::num::NonZeroU8;

use super::*;
use crate::{
    quantity::{Instant, PersonId},
    sighting::{Deed, DeedKind, Handle, Leg, MarkedSet, Marks, Placement, Run, Seen, Sighting},
};

/// One of each kind.
pub(in crate::form) fn causes() -> Vec<Cause> {
    let (pad, position): (AssetId, _) = ("P1".try_into().unwrap(), "2".to_owned());
    let person: PersonId = "ana".try_into().unwrap();
    vec![
        Cause::Report { person: person.clone(), stay: "stay-1".try_into().unwrap() },
        Cause::PadReport { person },
        Cause::MeterRecords,
        Cause::Plates,
        Cause::Electrician,
        Cause::BillingRecords,
        Cause::Tone { pad: pad.clone() },
        Cause::MarkerScheme,
        Cause::Placement { placement: "pl-1".try_into().unwrap() },
        Cause::Marks { marks: "m-1".try_into().unwrap() },
        Cause::LugPositions { pad: pad.clone() },
        Cause::Run { run: "run-1".try_into().unwrap() },
        Cause::Instrument { instrument: "clamp-1".try_into().unwrap() },
        Cause::Deed { deed: "deed-1".try_into().unwrap() },
        Cause::SharedSet { pad: pad.clone(), position: position.clone() },
        Cause::UnmappedSplice { pad, position },
        Cause::Look { sighting: "s-1".try_into().unwrap() },
    ]
}

/// So many minutes after 14:13 UTC.
fn at(minute: i64) -> Instant {
    Instant { wall_ms: 1_790_000_000_000 + minute * 60_000, boot: "b".into(), mono_ms: 0 }
}

/// A job in which two legs were read in two runs; invented.
pub(in crate::form) fn job() -> Evidence {
    let pad: AssetId = "P1".try_into().unwrap();
    let person: PersonId = "ana".try_into().unwrap();
    let mut job = Evidence::new("V1".try_into().unwrap());
    for (number, leg, minute) in [(1, Leg::L1, 1), (2, Leg::L2, 9)] {
        let placement = Placement {
            id: format!("pl-{number}").try_into().unwrap(),
            pad: pad.clone(),
            handle: Handle::Position { position: "2".into() },
            leg: Some(leg),
            runs_in_jaws: NonZeroU8::MIN,
            instrument: "clamp-1".try_into().unwrap(),
            at: at(minute),
        };
        let run = Run {
            id: format!("run-{number}").try_into().unwrap(),
            stay: "stay-1".try_into().unwrap(),
            doer: person.clone(),
            outlet: "kitchen".into(),
            load_amps: "12".parse().unwrap(),
            load_tolerance_percent: "10".parse().unwrap(),
            sealed: String::new(),
            size_slot: 0,
            begun: at(minute + 2),
            opened: None,
            ended: None,
        };
        job.placements.insert(placement.id.clone(), placement);
        job.runs.insert(run.id.clone(), run);
    }
    let deed = Deed {
        id: "deed-1".try_into().unwrap(),
        stay: "stay-1".try_into().unwrap(),
        doer: person.clone(),
        kind: DeedKind::MeterPulled,
        number_in_hand: None,
        at: at(20),
    };
    job.deeds.insert(deed.id.clone(), deed);
    let letter =
        |mark: &str, position: &str| MarkedSet { mark: mark.into(), position: position.into() };
    let sets = vec![letter("A", "1"), letter("B", "2")];
    let marks = Marks { id: "m-1".try_into().unwrap(), pad: pad.clone(), sets };
    job.marks.insert(marks.id.clone(), marks);
    let seen = Seen::Tag { pad: Some(pad), pattern: "41".into(), maybe_upside_down: false };
    let look = Sighting { id: "s-1".try_into().unwrap(), who: person, at: at(30), seen };
    job.sightings.insert(look.id.clone(), look);
    job
}

#[test]
fn every_cause_goes_on_after_if_and_names_no_id_of_what_is_on_record() {
    let (words, evidence) = (Words::english().unwrap(), job());
    let told = Clauses { evidence: &evidence, words: &words };
    let clauses: Vec<String> = causes().iter().map(|cause| told.clause(cause)).collect();
    for clause in &clauses {
        assert!(!clause.contains('{') && !clause.starts_with("cause-"), "{clause}");
        assert!(!clause.ends_with('.'), "{clause}");
        let ids = ["pl-1", "run-1", "deed-1", "m-1", "s-1"];
        assert!(ids.iter().all(|id| !clause.contains(id)), "{clause}");
    }
    let two = told.joined("reason-and", &causes()[2..4]);
    assert_eq!(two, format!("{} and {}", clauses[2], clauses[3]));
}

#[test]
fn what_a_crew_did_is_named_by_when_and_by_whom() {
    let (words, evidence) = (Words::english().unwrap(), job());
    let told = Clauses { evidence: &evidence, words: &words };
    let said = |cause| told.clause(&cause);
    let placed = said(Cause::Placement { placement: "pl-1".try_into().unwrap() });
    assert_eq!(placed, "the clamp was elsewhere at 14:14 UTC on L1");
    let marked = said(Cause::Marks { marks: "m-1".try_into().unwrap() });
    assert_eq!(marked, "the marks A, B of P1 are on the wrong sets");
    let done = said(Cause::Deed { deed: "deed-1".try_into().unwrap() });
    assert_eq!(done, "what was told by ana at 14:33 UTC was not done");
    let looked = said(Cause::Look { sighting: "s-1".try_into().unwrap() });
    assert_eq!(looked, "what was seen by ana at 14:43 UTC was misread");
    // What is not on record is named by its id: something is told of it in any case.
    let unknown = said(Cause::Run { run: "run-9".try_into().unwrap() });
    assert_eq!(unknown, "the load was not switched as told at run-9");
}

#[test]
fn two_placements_and_two_runs_are_said_in_one_clause_each() {
    let (words, evidence) = (Words::english().unwrap(), job());
    let told = Clauses { evidence: &evidence, words: &words };
    let placement = |id: &str| Cause::Placement { placement: id.try_into().unwrap() };
    let run = |id: &str| Cause::Run { run: id.try_into().unwrap() };
    let causes = [Cause::Plates, placement("pl-1"), placement("pl-2"), run("run-1"), run("run-2")];
    assert_eq!(
        told.joined("reason-or", &causes),
        "the address plates are mixed up, or if the clamp was elsewhere at 14:14 UTC on L1 or \
         14:22 UTC on L2, or if the load was not switched as told at 14:16 UTC or 14:24 UTC"
    );
    let both = told.joined("reason-and", &causes[1..3]);
    assert_eq!(both, "the clamp was elsewhere at 14:14 UTC on L1 and 14:22 UTC on L2");
}
