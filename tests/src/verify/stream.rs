//! One process, its output passed on line by line as it comes and read on the way.

use std::io::{BufRead as _, BufReader, Read, Write};
use std::process::{Command, Stdio};

use coldlug_tests::skip;

use super::closing::{self, Counts};

/// What a process left behind.
#[derive(Debug, Default)]
pub(crate) struct Outcome {
    /// Exit status 0.
    pub(crate) succeeded: bool,
    /// The closing lines of the suites it ran, as printed.
    pub(crate) closings: Vec<String>,
    /// Checks that said they were skipped.
    pub(crate) skips: Vec<String>,
    /// What the closing lines and skips count together.
    pub(crate) counts: Counts,
}

impl Outcome {
    fn take(&mut self, line: &str) {
        if let Some(counts) = closing::read(line) {
            self.counts = self.counts.and(counts);
            self.closings.push(line.to_owned());
        } else if let Some(what) = line.strip_prefix(skip::MARK) {
            self.skips.push(what.to_owned());
        }
    }

    /// A test that skips its check still ends as passed for its harness: take it back.
    fn settle(&mut self) {
        let skipped = self.skips.len() as u64;
        self.counts.passed = self.counts.passed.saturating_sub(skipped);
        self.counts.skipped += skipped;
    }
}

/// Runs `command` to its end.
///
/// # Errors
/// When it does not start.
pub(crate) fn run(command: &mut Command) -> Result<Outcome, String> {
    let mut child = command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|e| format!("{} does not start: {e}", command.get_program().display()))?;
    let (out, err) = (child.stdout.take(), child.stderr.take());
    let (from_out, from_err) = std::thread::scope(|scope| {
        let out = scope.spawn(|| pass_on(out, std::io::stdout()));
        let err = scope.spawn(|| pass_on(err, std::io::stderr()));
        (out.join().unwrap_or_default(), err.join().unwrap_or_default())
    });
    let status = child.wait().map_err(|e| format!("lost the process: {e}"))?;
    let mut outcome = Outcome { succeeded: status.success(), ..Outcome::default() };
    for line in from_out.iter().chain(&from_err) {
        outcome.take(line);
    }
    outcome.settle();
    Ok(outcome)
}

/// Passes every line on and keeps those that matter later.
fn pass_on(from: Option<impl Read>, mut to: impl Write) -> Vec<String> {
    let mut kept = Vec::new();
    let Some(from) = from else { return kept };
    let mut reader = BufReader::new(from);
    let mut bytes = Vec::new();
    while reader.read_until(b'\n', &mut bytes).is_ok_and(|n| n > 0) {
        // A closed terminal is no reason to end the run.
        let _ = to.write_all(&bytes);
        let _ = to.flush();
        let line = String::from_utf8_lossy(&bytes);
        let line = line.trim_end();
        if closing::read(line).is_some() || line.starts_with(skip::MARK) {
            kept.push(line.to_owned());
        }
        bytes.clear();
    }
    kept
}
