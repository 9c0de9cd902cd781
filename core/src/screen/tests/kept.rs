//! Instruments that a phone keeps over jobs: what leads to them, and what is offered of them.

use super::{
    acts::JOBS,
    play::{Play, Sheet, kept},
};
use crate::{
    reading::InstrumentClass,
    screen::{Act, AskKind},
};

/// What `a` is offered of the phone's own, in its order; empty: the act has no place.
fn offered(play: &Play<'_>) -> Vec<(String, String)> {
    let shown = play.shown("a");
    let Some(offer) = shown.acts.iter().find(|offer| offer.act == Act::OwnInstrument) else {
        return Vec::new();
    };
    let AskKind::One { of } = &offer.asks[0].kind else { panic!("{offer:?}") };
    of.iter().map(|choice| (choice.value.clone(), choice.label.text.clone())).collect()
}

#[test]
fn a_clamp_that_the_phone_keeps_leads_before_one_is_typed() {
    let clamps = |play: &&Play<'_>| {
        play.shown("a").acts.first().is_some_and(|offer| offer.act == Act::Clamp)
    };
    let mut play = JOBS.iter().find(clamps).unwrap().clone();
    let entered = &mut play.state.evidence.as_mut().unwrap().instruments;
    entered.retain(|_, one| one.class != InstrumentClass::Clamp);
    assert_eq!(play.shown("a").acts[0].act, Act::EnterInstrument, "it keeps a tester alone");
    play.kept.push(kept("kept-2", InstrumentClass::Clamp));
    assert_eq!(play.shown("a").acts[0].act, Act::OwnInstrument);
    assert_eq!(offered(&play)[0].0, "kept-2", "what is waited for comes first");
}

#[test]
fn what_the_job_has_is_not_offered_and_what_is_overdue_comes_last_and_says_so() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    let mut old = kept("a-old", InstrumentClass::Clamp);
    old.calibration_due_ms = 1_700_000_000_000;
    play.kept = vec![old, kept("clamp-1", InstrumentClass::Clamp), play.kept[0].clone()];
    let all = offered(&play);
    let names: Vec<&str> = all.iter().map(|(value, _)| value.as_str()).collect();
    assert_eq!(names, ["kept-1", "a-old"], "clamp-1 is in the job already");
    assert_eq!(all[0].1, "kept-1: Two-pole tester, calibrated until 2030-03-17");
    assert!(all[1].1.contains("was due 2023-11-14"), "{all:?}");
    play.does("a", Act::OwnInstrument, &[("own-instrument", "kept-1")]);
    let evidence = play.state.evidence.as_ref().unwrap();
    let taken = evidence.instruments.values().find(|one| one.id.as_str() == "kept-1");
    assert_eq!(taken, Some(&play.kept[2]));
    assert!(!evidence.proven.keys().any(|id| id.as_str() == "kept-1"), "still to be shown right");
    play.kept.clear();
    assert_eq!(offered(&play), []);
}
