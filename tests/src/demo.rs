//! The demo run as a user runs it, and the files it leaves.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::{places, program};

/// A fresh, empty folder for one run, below the build folder.
///
/// # Errors
/// When it cannot be made.
pub fn fresh_dir(name: &str) -> Result<PathBuf, String> {
    fresh(&places::scratch().join("demo").join(name))
}

/// A fresh, empty folder in memory where the system has such a place, else below the build folder.
///
/// For what is killed and not unplugged: a killed process loses nothing that it had written, on disk
/// or not, and a disk that waits for each entry would make fifty runs a long affair.
///
/// # Errors
/// When it cannot be made.
pub fn fresh_dir_in_memory(name: &str) -> Result<PathBuf, String> {
    let memory = Path::new("/dev/shm");
    if !memory.is_dir() {
        return fresh_dir(name);
    }
    fresh(&memory.join(format!("coldlug-verify-{}", std::process::id())).join(name))
}

fn fresh(dir: &Path) -> Result<PathBuf, String> {
    let say = |e: std::io::Error| format!("{}: {e}", dir.display());
    if dir.exists() {
        fs::remove_dir_all(dir).map_err(say)?;
    }
    fs::create_dir_all(dir).map_err(say)?;
    Ok(dir.to_owned())
}

/// `coldlug demo --once --seed SEED --out DIR`, not yet started.
///
/// # Errors
/// When the program cannot be built.
pub fn command(seed: u64, out: &Path) -> Result<Command, String> {
    let mut command = Command::new(program::built()?);
    command
        .args(["demo", "--once", "--seed", &seed.to_string(), "--out"])
        .arg(out)
        .current_dir(places::root());
    Ok(command)
}

/// The files a run left for people, by their path below `dir`: all but the store's own database,
/// whose pages may lie in another order after a restart.
///
/// # Errors
/// When one cannot be read.
pub fn left(dir: &Path) -> Result<BTreeMap<String, Vec<u8>>, String> {
    let mut files = BTreeMap::new();
    walk(dir, dir, &mut files)?;
    files.retain(|name, _| !name.contains(".sqlite"));
    Ok(files)
}

/// How many bytes lie in `dir`, the store's own included.
///
/// # Errors
/// When it cannot be read.
pub fn bytes(dir: &Path) -> Result<usize, String> {
    let mut files = BTreeMap::new();
    walk(dir, dir, &mut files)?;
    Ok(files.values().map(Vec::len).sum())
}

fn walk(top: &Path, dir: &Path, files: &mut BTreeMap<String, Vec<u8>>) -> Result<(), String> {
    let say = |e: std::io::Error| format!("{}: {e}", dir.display());
    for entry in fs::read_dir(dir).map_err(say)? {
        let path = entry.map_err(say)?.path();
        if path.is_dir() {
            walk(top, &path, files)?;
        } else {
            let name = path.strip_prefix(top).unwrap_or(&path).display().to_string();
            files.insert(name, fs::read(&path).map_err(|e| format!("{}: {e}", path.display()))?);
        }
    }
    Ok(())
}
