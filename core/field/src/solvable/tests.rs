//! Each reason is met, and nothing else is taken for one.

use super::*;
use crate::case::Case;
use crate::clamp::ClampFault;
use crate::entry::Entry;
use crate::fault::Fault;
use std::collections::{BTreeMap, BTreeSet};

const WANTED: Wanted = Wanted {
    step_amps: 12.5,
    least_share: 0.6,
    most_share: 1.15,
    ways_without_step: 2,
    no_load_amps: 1.0,
    dead_volts: 5.0,
};

fn reason(case: &Case) -> Result<(), Unsolvable> {
    solvable(&case.world, &case.record, &case.kit, &case.target, &WANTED).unwrap()
}

/// Solvable cases without a fault, each with one fault added.
fn with(fault: Fault) -> Vec<Result<(), Unsolvable>> {
    let seeds = (0..80).filter(|s| reason(&Case::draw(*s, &[], false).unwrap()).is_ok());
    let cases = seeds.map(|s| Case::draw(s, &[fault], false).unwrap());
    cases.filter(|case| case.arranged == [fault]).map(|case| reason(&case)).collect()
}

#[test]
fn a_fault_that_ends_the_job_is_named() {
    let shared = [Unsolvable::NeighbourOnSet, Unsolvable::ForeignGeneration];
    for (fault, why) in [
        (Fault::SharedSet, shared.as_slice()),
        (Fault::SharedWithVacant, &shared),
        (Fault::OpenNeutral, &[Unsolvable::OpenNeutral]),
    ] {
        let reasons = with(fault);
        let named = reasons.iter().filter(|r| r.is_err_and(|r| why.contains(&r))).count();
        // Where the first world had no room, another was taken, which may have its own reason.
        assert!(named * 20 >= reasons.len() * 19, "{fault:?}: {named} of {}", reasons.len());
    }
    let taps = with(Fault::UnmeteredTap);
    assert!(taps.contains(&Err(Unsolvable::UnmeteredLoad)));
    let closed = with(Fault::NobodyThere);
    assert!(closed.contains(&Err(Unsolvable::CannotStep)));
    assert!(closed.contains(&Ok(())), "where tone and marker are at hand");
}

#[test]
fn what_only_misleads_leaves_the_job_solvable() {
    for fault in [
        Fault::ClampStuckAtZero,
        Fault::MetersExchanged,
        Fault::TagReplaced,
        Fault::StraightSplice,
        Fault::SecondRun,
        Fault::UntoldGenerator,
        Fault::NeighbourGenerates,
        Fault::RestlessLoad,
        Fault::TargetVacant,
    ] {
        let reasons = with(fault);
        let solved = reasons.iter().filter(|r| r.is_ok()).count();
        // A worn-out kit and other worlds than the first make the rest.
        assert!(solved * 10 >= reasons.len() * 8, "{fault:?}: {solved} of {}", reasons.len());
    }
}

#[test]
fn the_kit_and_the_sheet_are_asked_first() {
    let sound = (0..).map(|s| Case::draw(s, &[], false).unwrap());
    let sound = sound.into_iter().find(|case| reason(case).is_ok()).unwrap();
    let mut case = sound.clone();
    case.kit = case.kit.with_clamp_fault(ClampFault::StuckAtZero);
    case.kit.spare_clamp = None;
    assert_eq!(reason(&case), Err(Unsolvable::NoSoundClamp));
    let mut case = sound.clone();
    case.kit.tester = case.kit.tester.high_impedance();
    case.kit.spare_tester = None;
    assert_eq!(reason(&case), Err(Unsolvable::NoSoundTester));
    let mut case = sound.clone();
    case.record.services.remove(&case.target);
    assert_eq!(reason(&case), Err(Unsolvable::NotOnSheet));
    let mut case = sound;
    case.world.services.get_mut(&case.target).unwrap().entry = Entry::UnsafeWiring;
    case.kit.tone_set = false;
    assert_eq!(reason(&case), Err(Unsolvable::CannotStep));
}

#[test]
fn a_source_that_cannot_be_shut_off_and_one_next_door_are_named() {
    let mut seen = BTreeSet::new();
    for seed in 0..120 {
        let mut case = Case::draw(seed, &[Fault::PvRunning], false).unwrap();
        if reason(&case).is_err() {
            continue;
        }
        let target = case.world.services.get_mut(&case.target).unwrap();
        target.sources.iter_mut().for_each(|source| source.locked = true);
        assert_eq!(reason(&case), Err(Unsolvable::OwnSourceLocked));
        let faults = [Fault::NeighbourGenerates, Fault::SharedSet];
        let case = Case::draw(seed, &faults, false).unwrap();
        seen.extend(reason(&case).err());
    }
    assert!(seen.contains(&Unsolvable::ForeignGeneration), "{seen:?}");
}

#[test]
fn ids_are_given_once() {
    let ids: BTreeSet<&str> = Unsolvable::ALL.into_iter().map(Unsolvable::id).collect();
    assert_eq!(ids.len(), Unsolvable::ALL.len());
}

#[test]
fn most_cases_without_a_fault_are_solvable_and_the_rest_say_why() {
    let mut reasons: BTreeMap<&str, u32> = BTreeMap::new();
    let mut solved = 0;
    for seed in 0..1_000 {
        match reason(&Case::draw(seed, &[], seed % 2 == 0).unwrap()) {
            Ok(()) => solved += 1,
            Err(why) => *reasons.entry(why.id()).or_default() += 1,
        }
    }
    assert!(solved > 750, "{solved} {reasons:?}");
    assert!(reasons.contains_key("cannot-step"), "{reasons:?}");
    assert!(!reasons.contains_key("step-hidden"), "{reasons:?}");
    assert!(!reasons.contains_key("stays-live"), "{reasons:?}");
}
