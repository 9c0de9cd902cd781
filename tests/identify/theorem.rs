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
    clippy::panic,
    reason = "a play that cannot be set up is to stop the test, and small counts are cast"
)]

mod judge;
mod play;

use coldlug_core::sighting::Seen;
use judge::{Bench, Wrong, rules};
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

/// What came of many plays.
#[derive(Default)]
struct Tally {
    plays: u64,
    /// Identified rightly.
    identified: u64,
    /// Load steps read.
    steps: u64,
    /// Steps that chance alone made look like the code.
    by_chance: u64,
    /// Everything else that is wrong: there is to be nothing.
    wrong: Vec<(u64, Wrong)>,
}

/// Plays with these faults.
fn play_all(bench: &Bench, faults: &[Fault], from: u64, count: u64) -> Tally {
    let mut tally = Tally::default();
    for seed in from..from + count {
        let manner = manner_of(seed);
        let Some(play) = Play::draw(seed, Shape { faults, manner }) else { continue };
        tally.plays += 1;
        let seen = play.evidence.sightings.values();
        tally.steps += seen.filter(|s| matches!(s.seen, Seen::LoadStep { .. })).count() as u64;
        for wrong in bench.wrong(&play) {
            match wrong {
                Wrong::Chance(_) => tally.by_chance += 1,
                wrong => tally.wrong.push((seed, wrong)),
            }
        }
        let right = bench.identified(&play).is_some_and(|(right, _)| right);
        tally.identified += u64::from(right);
    }
    // What is false more than once in 10,000 readings though all its causes are true may not
    // exclude anything; the one is for small numbers of plays.
    assert!(
        tally.by_chance <= 1 + tally.steps / 10_000,
        "{} of {} steps by chance",
        tally.by_chance,
        tally.steps
    );
    tally
}

#[test]
fn without_a_fault_nothing_wrong_is_identified() {
    let bench = Bench::whole(rules(1));
    let count = plays() * 4;
    let Tally { plays, identified, steps, by_chance, wrong } = play_all(&bench, &[], 0, count);
    assert_eq!(wrong, [], "{plays} plays");
    assert!(identified * 50 > plays, "only {identified} of {plays} plays are identified at all");
    println!(
        "no fault: {plays} plays, {identified} identified, 0 wrong; {by_chance} of {steps} steps by chance"
    );
}

#[test]
fn with_any_one_fault_nothing_wrong_is_identified() {
    let bench = Bench::whole(rules(1));
    for (i, fault) in (1_u64..).zip(Fault::ALL) {
        let Tally { plays, identified, steps, by_chance, wrong } =
            play_all(&bench, &[fault], i * 10_000_000, plays());
        assert_eq!(wrong, [], "{fault:?}, {plays} plays");
        println!(
            "{fault:?}: {plays} plays, {identified} identified rightly, 0 wrong; {by_chance} of {steps} steps by chance"
        );
    }
}

#[test]
fn at_tolerance_two_no_pair_of_faults_identifies_a_wrong_set() {
    let bench = Bench::whole(rules(2));
    let (mut pair, mut identified) = (0, 0);
    for (i, one) in Fault::ALL.into_iter().enumerate() {
        for other in &Fault::ALL[i..] {
            pair += 1;
            let count = plays() / 8 + 1;
            let tally = play_all(&bench, &[one, *other], pair * 100_000, count);
            assert_eq!(tally.wrong, [], "{one:?} and {other:?}");
            identified += tally.identified;
        }
    }
    println!("{pair} pairs at tolerance two: {identified} identified rightly, 0 wrong");
    assert!(identified > 0, "nothing was identified, so nothing was tried");
}
