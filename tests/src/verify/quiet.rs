//! A background command: its output goes to a log file, and the end of it into the error.

use std::fs::{self, File, OpenOptions};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use coldlug_tests::places;

/// Opens `name` in the cache to be locked while a shared thing is made, so that two runs do not
/// make it at once. The lock goes with the file handle.
pub(crate) fn lock(name: &str) -> Result<File, String> {
    let dir = places::cache();
    fs::create_dir_all(&dir).map_err(|e| format!("{}: {e}", dir.display()))?;
    let path = dir.join(name);
    let file = OpenOptions::new()
        .create(true)
        .append(true)
        .open(&path)
        .map_err(|e| format!("{}: {e}", path.display()))?;
    file.lock().map_err(|e| format!("{}: {e}", path.display()))?;
    Ok(file)
}

/// Runs `command`, appending what it says to the log `name`.
pub(crate) fn run(command: &mut Command, name: &str) -> Result<(), String> {
    let log = log_path(name)?;
    let open = || OpenOptions::new().create(true).append(true).open(&log);
    let (out, err) = match (open(), open()) {
        (Ok(out), Ok(err)) => (out, err),
        (Err(e), _) | (_, Err(e)) => return Err(format!("{}: {e}", log.display())),
    };
    let status = command
        .stdin(Stdio::null())
        .stdout(out)
        .stderr(err)
        .status()
        .map_err(|e| format!("{} does not start: {e}", command.get_program().display()))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("{} ended with {status}; {}:\n{}", named(command), log.display(), tail(&log)))
    }
}

/// A fresh log file's path.
fn log_path(name: &str) -> Result<PathBuf, String> {
    let dir = places::scratch();
    fs::create_dir_all(&dir).map_err(|e| format!("{}: {e}", dir.display()))?;
    Ok(dir.join(name))
}

fn named(command: &Command) -> String {
    let mut words = vec![command.get_program().display().to_string()];
    words.extend(command.get_args().take(4).map(|arg| arg.display().to_string()));
    words.join(" ")
}

fn tail(log: &Path) -> String {
    let text = fs::read_to_string(log).unwrap_or_default();
    let lines: Vec<&str> = text.lines().collect();
    lines
        .iter()
        .skip(lines.len().saturating_sub(8))
        .map(|line| ["    ", line, "\n"].concat())
        .collect()
}
