//! Phones and a desk, as strict as the real one and without a network, on one small made-up job.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::needless_pass_by_value,
    clippy::result_large_err,
    reason = "a test that cannot go on fails"
)]

mod act;
mod converge;
mod cut;
mod drafts;
mod enrol;
mod fake_desk;
mod hostile;
mod instruments;
mod life;
mod pages;
mod pictures;
mod sheet;
mod shell;
