//! The theorem of identification, held over made-up fields: with at most the tolerated number of
//! causes false, a wrong set is never identified, and a sighting whose causes are all true never
//! excludes the truth.
//!
//! `COLDLUG_PLAYS` says how many plays there are for no fault and for each fault (default 400).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "a play that cannot be set up is to stop the test, and small counts are cast"
)]

mod judge;
mod play;

use coldlug_core::rule_sheet::RuleSheet;
use judge::{Bench, Wrong};
use play::{Fault, Manner, Play, Shape};

fn plays() -> u64 {
    std::env::var("COLDLUG_PLAYS").ok().and_then(|n| n.parse().ok()).unwrap_or(400)
}

fn manner_of(seed: u64) -> Manner {
    match seed % 4 {
        0 => Manner::Anyhow,
        1 => Manner::Sweeping,
        _ => Manner::Aiming,
    }
}

/// Plays with these faults; how many were identified rightly, and everything wrong.
fn play_all(
    bench: &Bench,
    faults: &[Fault],
    from: u64,
    count: u64,
) -> (u64, u64, Vec<(u64, Wrong)>) {
    let (mut played, mut identified, mut wrong) = (0, 0, Vec::new());
    for seed in from..from + count {
        let manner = manner_of(seed);
        let Some(play) = Play::draw(seed, Shape { faults, manner }) else { continue };
        played += 1;
        if wrong.len() < 5 {
            wrong.extend(bench.wrong(&play).into_iter().map(|w| (seed, w)));
        }
        identified += u64::from(bench.identified(&play).is_some_and(|(right, _)| right));
    }
    (played, identified, wrong)
}

#[test]
fn without_a_fault_nothing_wrong_is_identified() {
    let bench = Bench::whole(RuleSheet::default());
    let count = plays() * 4;
    let (played, identified, wrong) = play_all(&bench, &[], 0, count);
    assert_eq!(wrong, [], "{played} plays");
    assert!(identified * 50 > played, "only {identified} of {played} plays are identified at all");
    println!("no fault: {played} plays, {identified} identified, 0 wrong");
}

#[test]
fn with_any_one_fault_nothing_wrong_is_identified() {
    let bench = Bench::whole(RuleSheet::default());
    for (i, fault) in (1_u64..).zip(Fault::ALL) {
        let (played, identified, wrong) = play_all(&bench, &[fault], i * 10_000_000, plays());
        assert_eq!(wrong, [], "{fault:?}, {played} plays");
        println!("{fault:?}: {played} plays, {identified} identified rightly, 0 wrong");
    }
}

#[test]
fn at_tolerance_two_no_pair_of_faults_identifies_a_wrong_set() {
    let bench = Bench::whole(RuleSheet { tolerated_false_causes: 2, ..RuleSheet::default() });
    let mut pair = 0;
    for (i, one) in Fault::ALL.into_iter().enumerate() {
        for other in &Fault::ALL[i..] {
            pair += 1;
            let count = plays() / 8 + 1;
            let (_, _, wrong) = play_all(&bench, &[one, *other], pair * 100_000, count);
            assert_eq!(wrong, [], "{one:?} and {other:?}");
        }
    }
}
