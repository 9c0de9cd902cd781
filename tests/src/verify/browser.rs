//! The browser, and what the tests in it need: Debian's own browser, and two packages from a lock.

use std::collections::BTreeSet;
use std::env;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use coldlug_tests::places;

use super::{debian, quiet};

const LOG: &str = "browser.log";
const TESTS: &str = "tests/browser";
const LOCK: &str = "package-lock.json";
const PACKAGES: &str = "node_modules";

/// Where the tests run: a copy of this checkout's own, so that the repository stays as it is and
/// checkouts that share a cache do not run each other's tests.
pub(crate) fn dir() -> PathBuf {
    places::target().join("browser-tests")
}

/// Where the packages are kept that the tests use.
fn kept() -> PathBuf {
    places::cache().join("browser")
}

/// The browser's program.
pub(crate) fn program() -> PathBuf {
    env::var_os("CHROMIUM").map_or_else(|| PathBuf::from("/usr/bin/chromium"), PathBuf::from)
}

/// Copies the tests, installs what their lock names and the browser where they are missing.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("browser.lock")?;
    let from = places::root().join(TESTS);
    packages(&from)?;
    lay(&from, &dir())?;
    link(&kept().join(PACKAGES), &dir().join(PACKAGES))?;
    browser()
}

/// Installs the packages that the lock in `from` names, where the kept ones are not of this lock.
fn packages(from: &Path) -> Result<(), String> {
    let to = kept();
    let lock = read(&from.join(LOCK))?;
    let made_from = to.join("made-from.txt");
    if fs::read_to_string(&made_from).is_ok_and(|made| made == lock) {
        return Ok(());
    }
    fs::create_dir_all(&to).map_err(|e| said(&to, &e))?;
    for name in ["package.json", LOCK] {
        fs::copy(from.join(name), to.join(name)).map_err(|e| said(&to.join(name), &e))?;
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
    fs::write(&made_from, lock).map_err(|e| said(&made_from, &e))
}

fn browser() -> Result<(), String> {
    if program().exists() {
        return Ok(());
    }
    debian::provide(&["chromium"])?;
    if program().exists() { Ok(()) } else { Err(format!("{} is not there", program().display())) }
}

/// Makes the files of `to` those of `from`: what is no longer there goes, folders stay.
fn lay(from: &Path, to: &Path) -> Result<(), String> {
    fs::create_dir_all(to).map_err(|e| said(to, &e))?;
    let wanted = files(from)?;
    for name in files(to)?.difference(&wanted) {
        fs::remove_file(to.join(name)).map_err(|e| said(&to.join(name), &e))?;
    }
    for name in &wanted {
        fs::copy(from.join(name), to.join(name)).map_err(|e| said(&from.join(name), &e))?;
    }
    Ok(())
}

/// The names of the files in a folder.
fn files(folder: &Path) -> Result<BTreeSet<OsString>, String> {
    let mut names = BTreeSet::new();
    for entry in fs::read_dir(folder).map_err(|e| said(folder, &e))? {
        let entry = entry.map_err(|e| said(folder, &e))?;
        if entry.path().is_file() {
            names.insert(entry.file_name());
        }
    }
    Ok(names)
}

/// Points `link` to `to`, wherever it pointed before.
fn link(to: &Path, link: &Path) -> Result<(), String> {
    if fs::read_link(link).is_ok_and(|now| now == to) {
        return Ok(());
    }
    if link.is_symlink() {
        fs::remove_file(link).map_err(|e| said(link, &e))?;
    }
    std::os::unix::fs::symlink(to, link).map_err(|e| said(link, &e))
}

fn read(path: &Path) -> Result<String, String> {
    fs::read_to_string(path).map_err(|e| said(path, &e))
}

fn said(path: &Path, error: &std::io::Error) -> String {
    format!("{}: {error}", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_has_the_files_of_its_origin_and_no_other() {
        let folder = places::scratch().join("laid");
        let _ = fs::remove_dir_all(&folder);
        let (from, to) = (folder.join("from"), folder.join("to"));
        for folder in [&from, &to.join("kept")] {
            fs::create_dir_all(folder).expect("a folder");
        }
        for (path, text) in
            [(from.join("a.mjs"), "new"), (to.join("a.mjs"), "old"), (to.join("gone.mjs"), "old")]
        {
            fs::write(path, text).expect("written");
        }
        lay(&from, &to).expect("laid");
        let names: Vec<OsString> = files(&to).expect("files").into_iter().collect();
        assert_eq!(names, ["a.mjs"]);
        assert_eq!(read(&to.join("a.mjs")).as_deref(), Ok("new"));
        assert!(to.join("kept").is_dir());
    }

    #[test]
    fn a_link_points_where_it_was_pointed_last() {
        let folder = places::scratch().join("linked");
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("a folder");
        let at = folder.join("link");
        for to in ["first", "second", "second"] {
            link(&folder.join(to), &at).expect("linked");
            assert_eq!(fs::read_link(&at).ok(), Some(folder.join(to)));
        }
    }
}
