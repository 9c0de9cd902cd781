//! The demo killed (SIGKILL) at 50 seeded points and run again into the same folder leaves the
//! same files as one that was never killed.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Stdio;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use coldlug_tests::demo;
use coldlug_tests::draw::Draw;

const KILLS: usize = 50;
const SEED: u64 = 1;

#[allow(clippy::disallowed_methods, reason = "a kill is placed by how long a whole run takes")]
fn whole_run(dir: &Path) -> Duration {
    let began = Instant::now();
    let out = demo::command(SEED, dir).and_then(|mut c| c.output().map_err(|e| e.to_string()));
    let out = out.unwrap_or_else(|why| panic!("{why}"));
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    began.elapsed()
}

/// Starts the demo and kills it after `wait`; false when it had ended by then.
fn killed(dir: &Path, wait: Duration) -> bool {
    let mut child = demo::command(SEED, dir)
        .and_then(|mut c| {
            c.stdout(Stdio::null()).stderr(Stdio::null()).spawn().map_err(|e| e.to_string())
        })
        .unwrap_or_else(|why| panic!("{why}"));
    std::thread::sleep(wait);
    // On Unix this is SIGKILL: no handler runs, nothing is flushed.
    child.kill().expect("the demo can be killed");
    !child.wait().expect("the demo ends").success()
}

#[test]
fn killed_at_fifty_points_the_records_are_the_same() {
    let unkilled = demo::fresh_dir_in_memory("unkilled").expect("a folder");
    let first = whole_run(&unkilled);
    let want = demo::left(&unkilled).expect("files");
    assert!(want.len() >= 5, "the demo leaves only {:?}", want.keys());
    // The second run is the honest measure: programs and folders are warm.
    let again = demo::fresh_dir_in_memory("unkilled-again").expect("a folder");
    let whole = whole_run(&again).min(first);

    let states = Mutex::new(BTreeSet::new());
    // Two at a time: a run is one busy thread.
    std::thread::scope(|scope| {
        for worker in 0..2 {
            let (want, states) = (&want, &states);
            scope.spawn(move || {
                for number in (worker..KILLS).step_by(2) {
                    let state = killed_once(number, whole, want);
                    states.lock().expect("no worker failed").insert(state);
                }
            });
        }
    });
    if let Some(folder) = unkilled.parent().filter(|folder| folder.starts_with("/dev/shm")) {
        std::fs::remove_dir_all(folder).expect("the folder in memory can be removed");
    }
    // Kills that all strike before anything is on disk would show nothing.
    let states = states.into_inner().expect("no worker failed");
    assert!(states.len() >= 10, "the kills struck only {} different states", states.len());
}

/// One kill, and the run after it; gives how many bytes were on disk when it struck.
fn killed_once(number: usize, whole: Duration, want: &BTreeMap<String, Vec<u8>>) -> usize {
    let mut draw = Draw::of(SEED, &format!("kill {number}"));
    let name = format!("killed-{}", number % 2);
    let fresh = || demo::fresh_dir_in_memory(&name).expect("a folder");
    // One point in each of 50 equal slices of the run, drawn within the slice.
    #[allow(clippy::cast_precision_loss, reason = "numbers below 50")]
    let mut share = (number as f64 + draw.share()) / KILLS as f64;
    let mut dir = fresh();
    while !killed(&dir, whole.mul_f64(share)) {
        dir = fresh();
        share *= 0.9;
    }
    let state = demo::bytes(&dir).expect("a folder");
    whole_run(&dir);
    let got = demo::left(&dir).expect("files");
    assert_eq!(
        got.keys().collect::<Vec<_>>(),
        want.keys().collect::<Vec<_>>(),
        "killed at {share:.3} of the run: other files"
    );
    for (name, bytes) in want {
        assert!(got.get(name) == Some(bytes), "killed at {share:.3} of the run: {name} differs");
    }
    state
}
