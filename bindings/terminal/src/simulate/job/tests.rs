//! Jobs that must come out the same, safe, and as files that are judged alike.

use coldlug_core::{
    event::parse_events,
    job::{Sheets, State, fold},
    mapsheet,
    rule_sheet::RuleSheet,
    sighting::{Conditions, Evidence},
};
use coldlug_field::fault::Fault;

use super::{Crew, Plant, play, play_recorded, played};
use crate::simulate::{
    slip::Slip,
    spec::{Falsehood, Keying, Policy, Spec},
};

fn spec(seed: u64, faults: &[Falsehood], wrong_map: bool, policy: Policy) -> Spec<'_> {
    let (tolerated, conditions, keys) = (1, Conditions::ALL, Keying::OneSize);
    Spec { seed, faults, wrong_map, policy, tolerated, conditions, keys }
}

#[test]
fn the_same_seed_gives_the_same_job() {
    for seed in 0..4 {
        let faults = [Falsehood::Slip(Slip::WrongHouse)];
        let spec = spec(seed, &faults, true, Policy::Coldlug);
        let (outcome, saved) = play_recorded(&spec);
        assert_eq!((outcome.clone(), saved), play_recorded(&spec), "{seed}");
        assert_eq!(outcome, play(&spec));
    }
}

#[test]
fn without_a_fault_jobs_are_finished_and_nobody_else_goes_out() {
    let mut finished = 0;
    for seed in 0..30 {
        let outcome = play(&spec(seed, &[], seed % 2 == 1, Policy::Coldlug));
        let wrong = outcome.wrong_openings_advised + outcome.wrong_openings_against;
        assert_eq!((wrong, outcome.false_proven_dead), (0, 0), "{seed}");
        finished += u32::from(outcome.finished);
        assert!(!outcome.finished || outcome.events > 100, "{seed}");
    }
    assert!(finished >= 24, "{finished}");
}

#[test]
fn no_single_falsehood_opens_a_wrong_set_by_advice() {
    for (seed, falsehood) in (1_000_u64..).zip(Falsehood::all()) {
        let outcome = play(&spec(seed, &[falsehood], seed % 2 == 0, Policy::Coldlug));
        assert_eq!(outcome.wrong_openings_advised, 0, "{}", falsehood.id());
        assert_eq!(outcome.false_proven_dead, 0, "{}", falsehood.id());
        let against = outcome.wrong_openings_against;
        assert!(against == 0 || falsehood == Falsehood::Slip(Slip::WrongSetOpened));
        assert!(against == 0 || outcome.caught_after_one_leg, "{seed}");
    }
}

#[test]
fn who_goes_by_the_map_alone_opens_what_it_says() {
    let jobs = 0..20;
    let wrong = |wrong_map| {
        let outcomes = jobs.clone().map(|seed| play(&spec(seed, &[], wrong_map, Policy::MapOnly)));
        outcomes.filter(|outcome| outcome.wrong_openings_advised > 0).count()
    };
    assert!(wrong(false) <= 2);
    assert!(wrong(true) >= 8);
}

/// The events folded again give the evidence that the crew had, so that they are judged alike.
#[test]
fn a_job_kept_as_files_is_judged_alike() {
    let faults = [Falsehood::Field(Fault::MetersExchanged)];
    for seed in 0..3 {
        let spec = spec(seed, &faults, true, Policy::Coldlug);
        let mut had = None;
        played(&spec, Some(&mut |crew: &Crew<'_>, _: &Plant| had = crew.state.evidence.clone()));
        let (_, saved) = play_recorded(&spec);
        let map = mapsheet::read(&saved.map_sheet).unwrap();
        let rules = RuleSheet::parse(&saved.rule_sheet).unwrap();
        let sheets = Sheets::new(&map.plant, &rules);
        let mut state = State::default();
        for (n, event) in parse_events(saved.events.as_bytes()).unwrap().iter().enumerate() {
            fold(&mut state, &sheets, event);
            if n % 7 == 0
                && let Some(evidence) = &state.evidence
            {
                parts_agree(&sheets, evidence);
            }
        }
        assert_eq!(state.refused, []);
        let (had, again) = (had.unwrap(), state.evidence.unwrap());
        assert_eq!(again, had);
        assert_eq!(sheets.judge(&again), sheets.judge(&had));
        parts_agree(&sheets, &again);
    }
}

/// What is asked alone comes out as in the whole judgement.
fn parts_agree(sheets: &Sheets<'_>, evidence: &Evidence) {
    let judged = sheets.judge(evidence);
    let advised = sheets.advise(evidence);
    assert_eq!(advised.identified.as_ref(), judged.identified());
    assert_eq!(sheets.identified(evidence), advised.identified);
    assert_eq!((advised.settling, advised.idle), (judged.settling, judged.idle));
}
