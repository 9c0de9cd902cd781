//! The Python environment with the reference engines, made from a pinned list.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use coldlug_tests::places;

use super::{debian, quiet};

const LOG: &str = "python.log";
const PINNED: &str = "tests/references/requirements.txt";

/// Where the environment is.
fn dir() -> PathBuf {
    places::cache().join("venv")
}

/// Its Python.
pub(crate) fn python() -> PathBuf {
    python_in(&dir())
}

/// The Python of an environment in this folder.
pub(crate) fn python_in(dir: &Path) -> PathBuf {
    if cfg!(windows) {
        dir.join("Scripts").join("python.exe")
    } else {
        dir.join("bin").join("python")
    }
}

/// A pip command of the environment, its downloads kept in the cache.
pub(crate) fn pip() -> Command {
    pip_in(&dir())
}

/// A pip command of an environment in this folder.
pub(crate) fn pip_in(dir: &Path) -> Command {
    let mut pip = Command::new(python_in(dir));
    pip.args(["-m", "pip", "--disable-pip-version-check", "--no-input"])
        .env("PIP_CACHE_DIR", places::cache().join("pip"));
    pip
}

/// Makes the environment if it is not there, or was made from another list.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("venv.lock")?;
    provide_in(&dir(), PINNED)
}

/// The same in another folder, from another list; the caller holds a lock.
pub(crate) fn provide_in(dir: &Path, pinned: &str) -> Result<(), String> {
    let list = places::root().join(pinned);
    let pinned = fs::read_to_string(&list).map_err(|e| format!("{}: {e}", list.display()))?;
    let made_from = dir.join("made-from.txt");
    if fs::read_to_string(&made_from).is_ok_and(|made| made == pinned) && python_in(dir).exists() {
        return Ok(());
    }
    if dir.exists() {
        fs::remove_dir_all(dir).map_err(|e| format!("{}: {e}", dir.display()))?;
    }
    make(dir)?;
    let mut pip = pip_in(dir);
    quiet::run(pip.args(["install", "--only-binary=:all:", "--requirement"]).arg(&list), LOG)?;
    // Written last: an environment without it is half made and is made anew.
    fs::write(&made_from, pinned).map_err(|e| format!("{}: {e}", made_from.display()))
}

fn make(dir: &Path) -> Result<(), String> {
    let venv = || quiet::run(Command::new("python3").args(["-m", "venv"]).arg(dir), LOG);
    let Err(first) = venv() else { return Ok(()) };
    // Debian packs the module apart from Python itself.
    debian::provide(&["python3", "python3-venv"]).map_err(|second| format!("{first}\n{second}"))?;
    venv()
}
