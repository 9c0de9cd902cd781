//! The `coldlug` program as a user has it: built once by cargo, without any test-only feature,
//! and run as a separate process.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use serde_json::Value;

use crate::places;

/// Where the built program is.
pub fn path() -> PathBuf {
    places::target().join("debug").join(format!("coldlug{}", std::env::consts::EXE_SUFFIX))
}

/// Builds the program, once in a process, and says where it is. Under `cargo verify` it was built
/// just before, and `COLDLUG_PROGRAM` says where.
///
/// # Errors
/// What cargo said when it would not build.
pub fn built() -> Result<&'static Path, String> {
    static BUILT: OnceLock<Result<PathBuf, String>> = OnceLock::new();
    BUILT
        .get_or_init(|| {
            if let Some(program) = std::env::var_os("COLDLUG_PROGRAM") {
                return Ok(PathBuf::from(program));
            }
            let out = Command::new(places::cargo())
                .args(["build", "--locked", "--quiet"])
                .args(["--package", "coldlug-terminal", "--bin", "coldlug"])
                .current_dir(places::root())
                .output()
                .map_err(|e| format!("cargo does not start: {e}"))?;
            if out.status.success() {
                Ok(path())
            } else {
                Err(format!("coldlug does not build: {}", String::from_utf8_lossy(&out.stderr)))
            }
        })
        .as_deref()
        .map_err(Clone::clone)
}

/// Runs the program with `args` and waits for it.
///
/// # Errors
/// When it cannot be built or started. A refusal of the program itself is not an error here: it is
/// in the exit status.
pub fn run(args: &[&str]) -> Result<Output, String> {
    Command::new(built()?)
        .args(args)
        .current_dir(places::root())
        .output()
        .map_err(|e| format!("coldlug does not start: {e}"))
}

/// Runs the program with `args` and `--json` and reads its answer.
///
/// # Errors
/// When it exits with another status than 0, or prints something that is not JSON.
pub fn json(args: &[&str]) -> Result<Value, String> {
    let mut all = args.to_vec();
    all.push("--json");
    let out = run(&all)?;
    let said = || {
        format!(
            "coldlug {}\n{}\n{}",
            all.join(" "),
            String::from_utf8_lossy(&out.stdout),
            String::from_utf8_lossy(&out.stderr)
        )
    };
    if !out.status.success() {
        return Err(format!("{}: {}", out.status, said()));
    }
    serde_json::from_slice(&out.stdout).map_err(|e| format!("not JSON ({e}): {}", said()))
}
