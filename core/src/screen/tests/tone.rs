//! How headlines stand out, at every moment of the played jobs.

use std::collections::BTreeSet;

use super::acts::JOBS;
use crate::{
    form::VerdictName,
    screen::{Screen, Tone, job_list},
    words::Words,
};

/// What a person reads off the words of a screen; none: nothing but that the work goes on.
fn read_off(screen: &Screen) -> Option<Tone> {
    match screen {
        Screen::Ledger { judgement } => Some(match judgement.verdict {
            VerdictName::Identified => Tone::Go,
            VerdictName::Contradicted => Tone::Stop,
            VerdictName::Unsettled => Tone::Wait,
        }),
        Screen::Handover { hands, .. } => Some(match hands.id.as_str() {
            "hands-held" => Tone::Go,
            "hands-held-void" | "hands-stopped" => Tone::Stop,
            "hands-accept-first" | "hands-test-first" => Tone::Wait,
            other => panic!("{other}"),
        }),
        Screen::Stopped { .. } => Some(Tone::Stop),
        Screen::Closed { .. } => Some(Tone::Rest),
        _ => None,
    }
}

#[test]
fn a_tone_says_what_the_words_say() {
    let mut seen = BTreeSet::new();
    for play in JOBS.iter() {
        for who in ["a", "b", "c", "d"] {
            let shown = play.shown(who);
            let want = read_off(&shown.screen).unwrap_or(Tone::Wait);
            assert_eq!(shown.tone, want, "{who}: {:?}", shown.headline);
            if let Screen::Handover { hands, .. } = &shown.screen {
                seen.insert(hands.id.clone());
            }
            seen.insert(format!("{:?}", shown.tone));
        }
    }
    let all = ["Go", "Stop", "Wait", "Rest", "hands-held", "hands-stopped", "hands-test-first"];
    for one in all {
        assert!(seen.contains(one), "{one} is never seen: {seen:?}");
    }
}

#[test]
fn nothing_is_in_doubt_on_the_list_of_jobs() {
    let words = Words::english().unwrap();
    let listed = job_list(JOBS.iter().map(|play| &play.state), &words);
    assert_eq!(listed.tone, Tone::Rest);
}
