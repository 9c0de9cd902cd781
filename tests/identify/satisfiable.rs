//! The rule can be met: in every solvable field without a fault, two people with one clamp, a known
//! load and phones that pass a picture come to `identified` by doing what the software advises.
//!
//! `COLDLUG_JOBS` says how many fields are tried (default 400).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    clippy::panic,
    reason = "a job that cannot be set up is to stop the test, and small counts are cast"
)]

mod play;

use std::collections::BTreeMap;

use coldlug_core::rule_sheet::RuleSheet;
use play::{End, follow_advice};

fn jobs() -> u64 {
    std::env::var("COLDLUG_JOBS").ok().and_then(|n| n.parse().ok()).unwrap_or(400)
}

#[test]
fn every_solvable_job_without_a_fault_is_identified() {
    let mut unsolvable: BTreeMap<&str, u64> = BTreeMap::new();
    let mut tests_of = Vec::new();
    for seed in 0..jobs() {
        match follow_advice(seed, &RuleSheet::default()) {
            None => {}
            Some(Err(reason)) => *unsolvable.entry(reason).or_default() += 1,
            Some(Ok(End::Named { set, right, tests })) => {
                assert!(right, "job {seed} named the wrong set {set:?}");
                tests_of.push(tests);
            }
            Some(Ok(End::GaveUp(judged))) => {
                panic!(
                    "job {seed} was not settled: {:?}; next {:?}; {:?}; idle {:?}",
                    judged.verdict, judged.settling, judged.candidates, judged.idle
                );
            }
        }
    }
    tests_of.sort_unstable();
    let median = tests_of.get(tests_of.len() / 2).expect("some job is solvable");
    let most = tests_of.last().expect("some job is solvable");
    println!(
        "{} jobs identified rightly, tests whole: median {median}, most {most}; unsolvable {unsolvable:?}",
        tests_of.len()
    );
    assert!(tests_of.len() as u64 * 3 > jobs() * 2, "too few solvable fields to mean anything");
}

#[test]
fn a_sheet_that_tolerates_two_false_causes_can_be_met_too() {
    let rules = RuleSheet { tolerated_false_causes: 2, ..RuleSheet::default() };
    let (mut named, mut gave_up, mut tests_of) = (0_u64, 0_u64, Vec::new());
    for seed in 0..jobs() / 4 {
        match follow_advice(seed, &rules) {
            None | Some(Err(_)) => {}
            Some(Ok(End::Named { set, right, tests })) => {
                assert!(right, "job {seed} named the wrong set {set:?}");
                named += 1;
                tests_of.push(tests);
            }
            Some(Ok(End::GaveUp(_))) => gave_up += 1,
        }
    }
    tests_of.sort_unstable();
    let median = tests_of.get(tests_of.len() / 2);
    println!(
        "{named} named, {gave_up} given up; tests: median {median:?}, most {:?}",
        tests_of.last()
    );
    assert!(named > 9 * gave_up, "{named} named, {gave_up} given up");
}
