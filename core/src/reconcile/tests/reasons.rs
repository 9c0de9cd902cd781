//! Why a set is out or in, as the rule found it.

use std::collections::BTreeSet;

use super::*;
use crate::sighting::Ground;

fn report(who: &str) -> Cause {
    Cause::Report { person: who.try_into().unwrap(), stay: "stay".try_into().unwrap() }
}

#[test]
fn a_reason_names_who_saw_it_and_each_single_cause_with_which_it_says_nothing() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, true, true);
    job.step(("P1", "1"), By::Position, L1, true, false);
    let mut reasons = job.judge().reasons;
    reasons.sets.sort_by_key(|reason| reason.seen.first().map(|seen| seen.at.wall_ms));
    let [watched, alone] = reasons.sets.as_slice() else { panic!("{reasons:#?}") };
    for reason in [watched, alone] {
        assert_eq!((reason.ground, reason.speaks_for), (Ground::LoadStepSeen, true));
        assert!(reason.counts && reason.waits_for.is_empty());
        assert_eq!(reason.seen.first().unwrap().who.as_str(), "bo");
        assert!(reason.false_if.iter().any(|cause| matches!(cause, Cause::Run { .. })));
    }
    assert!(!watched.false_if.contains(&report("ana")), "somebody else watched: {watched:#?}");
    assert!(alone.false_if.contains(&report("ana")), "nobody else watched: {alone:#?}");
    let grounds: BTreeSet<Ground> = reasons.premises.iter().map(|reason| reason.ground).collect();
    let looked = [Ground::MeterNumber, Ground::AddressPlate, Ground::MeterPhoto];
    assert_eq!(grounds, looked.into());
    assert!(reasons.premises.iter().all(|reason| reason.names_it));
}

#[test]
fn the_hole_of_the_set_question_is_told_until_the_set_is_named() {
    let mut job = Job::at_the_house();
    assert!(job.judge().reasons.doubts.is_empty(), "nothing speaks for a set yet");
    job.step(("P1", "1"), By::Mark, L1, true, true);
    let judged = job.judge();
    let [doubt] = judged.reasons.doubts.as_slice() else { panic!("{:#?}", judged.reasons) };
    assert_eq!((&doubt.set, doubt.hole.len()), (&set_at("P1", "1"), 1), "{doubt:?}");
    let reason = judged.reasons.sets.first().unwrap();
    assert!(doubt.hole.iter().all(|cause| reason.false_if.contains(cause)), "{doubt:?}");
    job.step(("P1", "1"), By::Position, L1, true, true);
    let judged = job.judge();
    assert!(judged.identified().is_some());
    assert!(judged.reasons.doubts.is_empty());
}

#[test]
fn two_sets_that_answer_are_torn_and_no_cause_is_made_up_for_them() {
    let mut job = Job::at_the_house();
    for set in ["1", "2"] {
        job.step(("P1", set), By::Mark, L1, true, true);
        job.step(("P1", set), By::Position, L1, true, true);
    }
    let doubts = job.judge().reasons.doubts;
    assert_eq!(doubts.len(), 2);
    assert!(doubts.iter().all(|doubt| doubt.hole.is_empty()), "{doubts:#?}");
}

#[test]
fn what_rests_on_an_unsettled_stay_is_told_and_counts_for_nothing() {
    let mut job = Job::new();
    job.begin_stay();
    job.number("ana", "M-V1");
    job.mark("P1", 2);
    job.step(("P1", "1"), By::Mark, L1, true, false);
    let reasons = job.judge().reasons;
    let [waiting] = reasons.sets.as_slice() else { panic!("{reasons:#?}") };
    assert!(!waiting.counts);
    assert_eq!(waiting.waits_for, ["stay".try_into().unwrap()].into());
    assert!(reasons.doubts.is_empty(), "what counts for nothing keeps no set alone");
}

#[test]
fn a_flat_pair_names_both_sightings_and_speaks_against_its_own_set() {
    let mut job = Job::at_the_house();
    for leg in [L1, L2] {
        job.step(("P1", "2"), By::Position, leg, false, true);
    }
    let reasons = job.judge().reasons;
    let [flat] = reasons.sets.as_slice() else { panic!("{reasons:#?}") };
    assert_eq!((flat.ground, flat.speaks_for), (Ground::LoadStepFlat, false));
    assert_eq!((&flat.set, flat.seen.len()), (&set_at("P1", "2"), 2));
    let clamp = Cause::Instrument { instrument: "clamp".try_into().unwrap() };
    assert!(flat.false_if.contains(&clamp), "{flat:#?}");
}
