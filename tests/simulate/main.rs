//! The field simulator as it ships: what may never happen does not in ten thousand jobs, enough of
//! them finish, and a run is the same run however it is played.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

use coldlug_tests::program;
use serde_json::Value;

fn simulate(args: &str) -> Output {
    let args: Vec<&str> = std::iter::once("simulate").chain(args.split_whitespace()).collect();
    program::run(&args).unwrap_or_else(|why| panic!("{why}"))
}

/// The counts of our policy alone.
fn ours(args: &str) -> Value {
    let out = simulate(&format!("{args} --policies coldlug --json"));
    let said = String::from_utf8_lossy(&out.stderr);
    let form: Value = serde_json::from_slice(&out.stdout).unwrap_or_else(|_| panic!("{said}"));
    form["policies"][0].clone()
}

fn number(counts: &Value, name: &str) -> u64 {
    counts[name].as_u64().unwrap_or_else(|| panic!("no {name} in {counts}"))
}

/// Nothing that may never happen, and at least so many percent of solvable jobs finished, in a
/// median of at most so many tests.
fn check(args: &str, least_percent: u64, most_tests: f64) {
    let ours = ours(args);
    println!("{args}: {}", told(&ours));
    assert_eq!(number(&ours, "wrong_service_openings"), 0, "{args}: {}", ours["by_fault"]);
    assert_eq!(number(&ours, "false_proven_dead"), 0, "{args}");
    let (finished, solvable) = (number(&ours, "finished"), number(&ours, "solvable"));
    assert!(finished * 100 >= solvable * least_percent, "{args}: {finished} of {solvable} finish");
    let median = ours["tests_median"].as_f64().expect("a median");
    assert!(median <= most_tests, "{args}: {median} tests");
    let opened = number(&ours, "against_advice_openings");
    assert_eq!(opened, number(&ours, "against_advice_caught"), "{args}: opened against the advice");
}

fn told(counts: &Value) -> String {
    let names = ["jobs", "solvable", "finished", "needless_stops", "tests_mean", "tests_median"];
    names.map(|name| format!("{name} {}", counts[name])).join(", ")
}

#[test]
fn single_faults_half_of_them_on_a_wrong_map() {
    check("--jobs 8000 --seed 1 --faults single", 97, 4.0);
}

#[test]
fn no_fault() {
    check("--jobs 2000 --seed 2 --faults none", 99, 3.0);
}

/// Two faults at once: a clamp that fails after it was shown a load reads zero on a set that somebody
/// shares. Those who rest whenever they are read are dropped, so sets are opened; nobody else is.
#[test]
fn a_clamp_that_fails_after_its_check_does_not_hide_who_shares_the_set() {
    let ours = ours("--jobs 400 --seed 1 --faults clamp-stuck-at-zero+shared-set");
    assert_eq!(number(&ours, "wrong_service_openings"), 0, "{ours}");
    assert!(number(&ours, "idle_neighbours_dropped") > 0, "no set was opened: {ours}");
}

#[test]
fn any_number_of_threads_gives_the_same_bytes() {
    let jobs = "--jobs 300 --seed 3 --faults single --json";
    let one = simulate(&format!("{jobs} --threads 1")).stdout;
    assert!(!one.is_empty());
    assert_eq!(one, simulate(&format!("{jobs} --threads 3")).stdout);
}

#[test]
fn a_run_that_is_killed_goes_on_and_comes_to_the_same() {
    let dir = tempfile::tempdir().expect("a folder");
    let kept = dir.path().join("run.json");
    let jobs = "--jobs 3000 --seed 4 --faults single --policies coldlug --json";
    let resumed = format!("{jobs} --resume {}", kept.display());
    kill_once_kept(&resumed, &kept);
    let straight = simulate(jobs).stdout;
    assert!(!straight.is_empty());
    assert_eq!(simulate(&resumed).stdout, straight);
    let other = simulate(&resumed.replace("--seed 4", "--seed 5"));
    assert_eq!(other.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&other.stderr).contains("seed"));
}

/// Starts a run and kills it as soon as its file is there.
fn kill_once_kept(args: &str, kept: &Path) {
    let mut child = Command::new(program::built().unwrap_or_else(|why| panic!("{why}")))
        .arg("simulate")
        .args(args.split_whitespace())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    for _ in 0..6000 {
        if kept.exists() {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    assert!(kept.exists(), "nothing was kept in a minute");
    child.kill().expect("it can be killed");
    child.wait().expect("it ends");
}

#[test]
fn the_page_needs_nothing_beside_it() {
    let dir = tempfile::tempdir().expect("a folder");
    let page = dir.path().join("report.html");
    let out = simulate(&format!("--jobs 200 --tolerance 1,2 --html {}", page.display()));
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let page = fs::read_to_string(page).expect("a page");
    assert!(page.matches("<svg").count() >= 5);
    let outside = ["<script", "<link", "src=", "@import", "url("];
    let found: Vec<&str> = outside.into_iter().filter(|word| page.contains(word)).collect();
    assert!(found.is_empty(), "{found:?}");
    let unfilled: Vec<&str> = page.split_whitespace().filter(|w| w.contains("simulate-")).collect();
    assert!(unfilled.is_empty(), "ids without a sentence: {unfilled:?}");
}

#[test]
fn what_ships_judges_by_the_whole_rule_alone() {
    for args in ["--jobs 10 --ablation", "--jobs 10 --tolerance 0"] {
        let out = simulate(args);
        assert_eq!(out.status.code(), Some(2), "{args}");
        assert!(String::from_utf8_lossy(&out.stderr).contains("weakened"), "{args}");
    }
}
