//! The phone's bindings: Kotlin, Swift and Python that call the built library. Never committed.

use std::process::Command;

use coldlug_tests::places;

/// The program that writes them; its one argument is the language. They land in
/// `bindings/LANGUAGE` below the build folder.
pub(crate) fn command() -> Command {
    let mut bash = Command::new("bash");
    bash.arg(places::root().join("tests/bindings.sh"))
        .env("CARGO", places::cargo())
        .env("BUILT", places::target().join("debug"))
        .env("BINDINGS", places::target().join("bindings"));
    bash
}
