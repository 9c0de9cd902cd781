//! The checker of the release workflow: a Go module, compiled here.

use std::path::PathBuf;
use std::process::Command;

use coldlug_tests::places;

use super::{debian, quiet};

const LOG: &str = "actionlint.log";
const MODULE: &str = "github.com/rhysd/actionlint/cmd/actionlint@v1.7.12";

fn folder() -> PathBuf {
    places::cache().join("actionlint-1.7.12")
}

/// The checker.
pub(crate) fn program() -> PathBuf {
    folder().join(format!("actionlint{}", std::env::consts::EXE_SUFFIX))
}

/// Compiles it, unless that was done.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("actionlint.lock")?;
    if program().exists() {
        return Ok(());
    }
    if Command::new("go").arg("version").output().is_err() {
        debian::provide(&["golang-go"])?;
    }
    let mut go = Command::new("go");
    quiet::run(
        go.args(["install", MODULE]).env("GOBIN", folder()).env("GOFLAGS", "-modcacherw"),
        LOG,
    )
}
