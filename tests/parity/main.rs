//! What core lists is drawn on every surface, and no surface decides anything.
//!
//! Surfaces are the two phones, the desk's pages and the terminal. Each variant of `Screen`, `Act`
//! and `AskKind` is drawn on each of them, or stands in `not_yet.txt` with its reason. Nothing
//! catches variants it does not name. No surface reads a number out of text, compares a quantity
//! with a number, or holds a word of a verdict. Each check is also shown a planted breach.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

mod arms;
mod catch_all;
mod decide;
mod drawn;
mod lists;
mod not_yet;
mod reach;
mod scan;
mod surface;
