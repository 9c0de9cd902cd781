//! The browser, and what the tests in it need: Debian's own browser, and two packages from a lock.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use coldlug_tests::places;

use super::{debian, quiet};

const LOG: &str = "browser.log";
const TESTS: &str = "tests/browser";
const LOCK: &str = "package-lock.json";

/// Where the tests run: a copy beside the packages they use, so that the repository stays as it is.
pub(crate) fn dir() -> PathBuf {
    places::cache().join("browser")
}

/// The browser's program.
pub(crate) fn program() -> PathBuf {
    env::var_os("CHROMIUM").map_or_else(|| PathBuf::from("/usr/bin/chromium"), PathBuf::from)
}

/// Copies the tests, installs what their lock names and the browser where they are missing.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("browser.lock")?;
    let (from, to) = (places::root().join(TESTS), dir());
    copy(&from, &to)?;
    let lock = read(&from.join(LOCK))?;
    let made_from = to.join("made-from.txt");
    if fs::read_to_string(&made_from).is_ok_and(|made| made == lock) {
        return browser();
    }
    let install = || {
        let mut npm = Command::new("npm");
        npm.args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]).current_dir(&to);
        quiet::run(&mut npm, LOG)
    };
    install().or_else(|first| {
        debian::provide(&["nodejs", "npm"]).map_err(|second| format!("{first}\n{second}"))?;
        install()
    })?;
    // Written last: a folder without it is half made and is made anew.
    fs::write(&made_from, lock).map_err(|e| format!("{}: {e}", made_from.display()))?;
    browser()
}

fn browser() -> Result<(), String> {
    if program().exists() {
        return Ok(());
    }
    debian::provide(&["chromium"])?;
    if program().exists() { Ok(()) } else { Err(format!("{} is not there", program().display())) }
}

fn copy(from: &Path, to: &Path) -> Result<(), String> {
    let said = |path: &Path, e: std::io::Error| format!("{}: {e}", path.display());
    fs::create_dir_all(to).map_err(|e| said(to, e))?;
    for entry in fs::read_dir(from).map_err(|e| said(from, e))? {
        let path = entry.map_err(|e| said(from, e))?.path();
        let Some(name) = path.file_name().filter(|_| path.is_file()) else { continue };
        fs::copy(&path, to.join(name)).map_err(|e| said(&path, e))?;
    }
    Ok(())
}

fn read(path: &Path) -> Result<String, String> {
    fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))
}
