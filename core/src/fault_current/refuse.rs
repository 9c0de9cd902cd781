//! Numbers that no supply, transformer or cable can have.

use super::conductor::CableRun;
use crate::quantity::{Temperature, in_celsius, in_metres};

/// A number that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what} cannot be {value}: give {wanted}")]
pub struct NotPossible {
    /// Which number.
    pub what: &'static str,
    /// What was given.
    pub value: f64,
    /// What it must be.
    pub wanted: &'static str,
}

fn unless(
    good: bool,
    what: &'static str,
    value: f64,
    wanted: &'static str,
) -> Result<(), NotPossible> {
    if good && value.is_finite() { Ok(()) } else { Err(NotPossible { what, value, wanted }) }
}

pub(super) fn unless_positive(what: &'static str, value: f64) -> Result<(), NotPossible> {
    unless(value > 0.0, what, value, "a number above zero")
}

pub(super) fn unless_ratio(what: &'static str, value: f64) -> Result<(), NotPossible> {
    unless(value >= 0.0, what, value, "zero or a number above it")
}

pub(super) fn temperature(conductors: Temperature) -> Result<(), NotPossible> {
    let degrees = in_celsius(conductors);
    let good = (-50.0..=150.0).contains(&degrees);
    unless(good, "the conductors' °C", degrees, "-50 to 150")
}

pub(super) fn cables(cables: &[CableRun]) -> Result<(), NotPossible> {
    cables.iter().try_for_each(|cable| unless_positive("a cable's length", in_metres(cable.length)))
}
