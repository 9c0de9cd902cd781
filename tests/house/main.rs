//! The house rules: what may use what, what lies where, how large a file may be.
//!
//! Each rule has a check that is also shown a planted breach, so that a check which sees nothing
//! fails here.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test program: an expectation that fails is a test that fails"
)]

mod dependencies;
mod module_order;
mod rules;
mod sizes;
mod sources;
mod targets;
mod top_level;
mod words;
