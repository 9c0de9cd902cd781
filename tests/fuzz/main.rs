//! What comes in from outside, fuzzed: tags as read, readings as typed, event files, entries and
//! records, rule sheets, map sheets, files that map sheets are made from. Nothing panics, and what is
//! taken is what was meant.
//!
//! Good texts are damaged rather than random bytes thrown: those end at the first character. The
//! fuzzer is bolero with its own random engine, as an ordinary test:
//! `BOLERO_RANDOM_ITERATIONS` says how many inputs each target gets, `BOLERO_RANDOM_SEED` plays one
//! again that a failure has named, and `cargo bolero` takes the same targets with coverage.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a target that cannot be set up, or does not hold, is to stop the test; figures are said"
)]

mod damage;
mod events;
mod imports;
mod reach;
mod readings;
mod sheets;
mod tags;

/// How many inputs each target gets when nobody says.
const INPUTS: usize = 1000;
