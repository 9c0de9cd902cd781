//! Every condition of the identification rule, left out once: some play must then go wrong that the
//! whole rule keeps right. Tried on no fault, single faults and pairs, since some conditions show
//! on pairs alone.
//!
//! `COLDLUG_MUTANT_PLAYS` says how many plays a condition is looked for in (default 60000).

mod judge;
mod play;

use coldlug_core::{rule_sheet::RuleSheet, sighting::Condition};
use judge::Bench;
use play::{Fault, Manner, Play, Shape};

fn most_plays() -> u64 {
    std::env::var("COLDLUG_MUTANT_PLAYS").ok().and_then(|n| n.parse().ok()).unwrap_or(60_000)
}

/// The faults of the n-th play: none, one, or two of them.
fn faults_of(n: u64) -> Vec<Fault> {
    let all = Fault::ALL.len() as u64;
    let pick = |i: u64| Fault::ALL[(i % all) as usize];
    match n % 5 {
        0 => vec![],
        1 | 2 => vec![pick(n / 5)],
        _ => {
            vec![pick(n / 5), pick(n / 5 / all)]
        }
    }
}

#[test]
fn every_condition_is_missed() {
    let whole = Bench::whole(RuleSheet::default());
    let benches: Vec<(Condition, Bench)> =
        Condition::ALL.iter().map(|&condition| (condition, Bench::without(condition))).collect();
    let mut caught: Vec<Option<String>> = vec![None; benches.len()];
    for n in 0..most_plays() {
        if caught.iter().all(Option::is_some) {
            break;
        }
        let faults = faults_of(n);
        let seed = 5_000_000_000 + n;
        let manner = [Manner::Anyhow, Manner::Aiming, Manner::Sweeping][(n % 3) as usize];
        let Some(play) = Play::draw(seed, Shape { faults: &faults, manner }) else { continue };
        let kept = whole.wrong(&play);
        for ((condition, bench), caught) in benches.iter().zip(&mut caught) {
            if caught.is_some() {
                continue;
            }
            if let Some(wrong) = bench.wrong(&play).into_iter().find(|w| !kept.contains(w)) {
                println!("{condition:?}: play {n} with {faults:?}: {wrong:?}");
                *caught = Some(format!("{wrong:?}"));
            }
        }
    }
    let missed: Vec<Condition> = benches
        .iter()
        .zip(&caught)
        .filter(|(_, caught)| caught.is_none())
        .map(|((condition, _), _)| *condition)
        .collect();
    assert_eq!(missed, [], "left out and nobody noticed");
}
