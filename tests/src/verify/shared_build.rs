//! A build folder shared between checkouts must not pass one checkout's program for another's.
//!
//! Cargo tells by file times what to build anew, and links a finished program to a name that does
//! not depend on the checkout. So one run holds the folder at a time, and when the folder lies
//! outside the checkout our own packages are built anew; what comes from registries is kept.

use std::fs::{self, File, OpenOptions};
use std::process::Command;

use coldlug_tests::places;

/// Takes the build folder for this run; hold the handle to its end.
///
/// # Errors
/// When the folder cannot be made, locked or cleaned.
pub(crate) fn take() -> Result<File, String> {
    let dir = places::target();
    let path = dir.join("verify.lock");
    let say = |e: std::io::Error| format!("{}: {e}", path.display());
    fs::create_dir_all(&dir).map_err(say)?;
    let lock = OpenOptions::new().create(true).append(true).open(&path).map_err(say)?;
    if lock.try_lock().is_err() {
        println!("another run holds {}; waiting for it", dir.display());
        lock.lock().map_err(say)?;
    }
    if !dir.starts_with(places::root()) {
        clean()?;
    }
    Ok(lock)
}

fn clean() -> Result<(), String> {
    let packages = [
        "coldlug-core",
        "coldlug-store",
        "coldlug-field",
        "coldlug-phone",
        "coldlug-desk",
        "coldlug-terminal",
    ];
    let mut command = Command::new(places::cargo());
    command.arg("clean").arg("--quiet").current_dir(places::root());
    for package in packages {
        command.arg("--package").arg(package);
    }
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(format!("cargo clean ended with {status}")),
        Err(e) => Err(format!("cargo does not start: {e}")),
    }
}
