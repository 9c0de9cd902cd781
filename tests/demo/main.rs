//! The demo's two jobs: the same seed gives the same bytes, both outcomes are printed, and what it
//! leaves holds up under `judge` and `verify`.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

mod record;
mod run;
mod verdict;
