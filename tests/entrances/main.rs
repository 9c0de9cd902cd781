//! Every file the program reads, malformed, truncated, oversized, doubled or hostile: refused with
//! the place and the reason, nothing half taken, no panic.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

mod damage;
mod entrance;
mod hostile;
