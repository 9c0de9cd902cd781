//! A check that cannot run says so aloud. On a build server it fails instead.

use std::io::Write as _;

/// How a skipped check begins its line; the runner counts these lines.
pub const MARK: &str = "check skipped: ";

/// True on a build server (`CI=true`), where a skipped check is a failed one.
pub fn is_failure() -> bool {
    std::env::var("CI").is_ok_and(|ci| ci == "true" || ci == "1")
}

/// Says that `what` was not checked and `why`. Written straight to the error stream, past the
/// capture of the test harness, so that a passing run shows it.
///
/// # Panics
/// When `CI=true`: nothing may be left unchecked there.
#[allow(clippy::panic, reason = "failing the test is the purpose of this on a build server")]
pub fn skip(what: &str, why: &str) {
    assert!(!is_failure(), "{what} was not checked, and CI=true: {why}");
    // Nothing better can be done when the error stream itself is gone.
    let _ = writeln!(std::io::stderr(), "{MARK}{what}: {why}");
}
