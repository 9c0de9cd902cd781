//! Every condition of the identification rule, left out once: some play must then go wrong that the
//! whole rule keeps right. Tried on no fault, single faults and pairs, since some conditions show
//! on pairs alone: first all conditions on the same plays, then those nobody missed yet on plays
//! with the faults they stand against.
//!
//! `COLDLUG_MUTANT_PLAYS` says how many plays a condition is looked for in at most (default 40000).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    clippy::panic,
    clippy::too_many_lines,
    reason = "a play that cannot be set up is to stop the test, and small counts are cast"
)]

mod judge;
mod play;

use coldlug_core::sighting::Condition;
use judge::{Bench, rules};
use play::{Fault, Manner, Play, Shape};

/// Plays on which all conditions are tried together.
const TOGETHER: u64 = 3000;

const EVERY_MANNER: [Manner; 3] = [Manner::Anyhow, Manner::Aiming, Manner::Sweeping];

/// Manners that come close to an identification.
const CLOSE: [Manner; 3] = [Manner::Anyhow, Manner::Aiming, Manner::Aiming];

fn most_plays() -> u64 {
    std::env::var("COLDLUG_MUTANT_PLAYS").ok().and_then(|n| n.parse().ok()).unwrap_or(40_000)
}

/// The faults of the n-th play: none, one, or two of them.
fn faults_of(n: u64) -> Vec<Fault> {
    let all = Fault::ALL.len() as u64;
    let pick = |i: u64| Fault::ALL[(i % all) as usize];
    match n % 5 {
        0 => vec![],
        1 | 2 => vec![pick(n / 5)],
        _ => vec![pick(n / 5), pick(n / 5 / all)],
    }
}

/// The faults a condition stands against, where only a rare play shows it.
fn stands_against(condition: Condition, n: u64) -> Vec<Fault> {
    match condition {
        Condition::CausesOfTheStayTried | Condition::RunHasOutsideWitness => {
            vec![Fault::WalkNextDoor]
        }
        Condition::StayIsIdentified | Condition::StayHoldsWithoutTheCause => {
            vec![Fault::ReaderWrong, Fault::WalkNextDoor]
        }
        Condition::ReportedConditionIsACause => vec![Fault::SourcesStillOn],
        Condition::ElectricianIsACause => vec![Fault::ElectricianWrong, Fault::WalkNextDoor],
        Condition::BillingRecordsAreACause => {
            vec![Fault::BillingRecordsSwapped, Fault::WalkNextDoor]
        }
        Condition::ToneIsACause => vec![Fault::ToneBleeds],
        Condition::MarkerSchemeIsACause => vec![Fault::MarkersSwapped],
        Condition::PadReportIsOneCause => vec![Fault::PadInvents],
        Condition::EnoughSlots | Condition::EnoughChangesAndHolds => vec![],
        Condition::ChangeIsLargeEnough | Condition::SizeIsTyped => {
            vec![Fault::JawsOpen, [Fault::PlacementElsewhere, Fault::JawsOpen][(n % 2) as usize]]
        }
        Condition::AgainstNeedsOneExplanation | Condition::ExplanationIsRemovedToo => {
            vec![Fault::PlacementElsewhere, Fault::PlacementElsewhere]
        }
        _ => faults_of(n),
    }
}

/// What goes wrong in a play with a condition left out, and not with the whole rule.
fn lets_through(whole: &Bench, without: &Bench, play: &Play) -> Option<String> {
    let kept = whole.wrong(play);
    without.wrong(play).into_iter().find(|w| !kept.contains(w)).map(|w| format!("{w:?}"))
}

fn play_of(n: u64, faults: &[Fault], manners: [Manner; 3]) -> Option<Play> {
    let manner = manners[(n % 3) as usize];
    Play::draw(5_000_000_000 + n, Shape { faults, manner })
}

#[test]
fn every_condition_is_missed() {
    let whole = Bench::whole(rules(1));
    let mut open: Vec<(Condition, Bench)> =
        Condition::ALL.iter().map(|&condition| (condition, Bench::without(condition))).collect();
    for n in 0..TOGETHER.min(most_plays()) {
        let faults = faults_of(n);
        let Some(play) = play_of(n, &faults, EVERY_MANNER) else { continue };
        open.retain(|(condition, bench)| match lets_through(&whole, bench, &play) {
            Some(wrong) => {
                println!("{condition:?}: play {n} with {faults:?}: {wrong}");
                false
            }
            None => true,
        });
    }
    let missed: Vec<Condition> = open
        .iter()
        .filter(|(condition, bench)| {
            (TOGETHER..most_plays()).all(|n| {
                let faults = stands_against(*condition, n);
                let Some(play) = play_of(n, &faults, CLOSE) else { return true };
                let Some(wrong) = lets_through(&whole, bench, &play) else { return true };
                println!("{condition:?}: play {n} with {faults:?}: {wrong}");
                false
            })
        })
        .map(|(condition, _)| *condition)
        .collect();
    assert_eq!(missed, [], "left out and nobody noticed");
}
