//! What checks the phone's crate for the two phones: a compiler that comes with its library's
//! source, so that the library is compiled for targets whose own is not packed anywhere here.

use std::process::Command;

use coldlug_tests::places;

use super::debian;

/// Debian's compiler. It stands beside the pinned toolchain and is used for nothing else.
const RUSTC: &str = "/usr/bin/rustc";
const PACKAGES: [&str; 2] = ["rustc-web", "rust-web-src"];

/// Installs the compiler and its library's source.
pub(crate) fn provide() -> Result<(), String> {
    debian::provide(&PACKAGES)
}

/// Cargo with that compiler, in a build folder of its own.
pub(crate) fn cargo() -> Command {
    let mut cargo = Command::new(places::cargo());
    cargo
        .env("RUSTC", RUSTC)
        // The library is compiled from source, which a released compiler does only when told so.
        .env("RUSTC_BOOTSTRAP", "1")
        .env("CARGO_TARGET_DIR", places::target().join("cross"));
    cargo
}
