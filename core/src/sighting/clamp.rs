//! Amps of a clamp with their limit of error.

use super::limits::Limits;
use crate::{
    quantity::{Bounded, Current, Decimal, amps},
    reading::Instrument,
};

/// Amps as typed, with percent of reading, counts and position in the jaws added up as a bound.
pub(crate) fn amps_bound(clamp: &Instrument, typed: Decimal, limits: &Limits) -> Bounded<Current> {
    let value = typed.to_f64();
    let share = clamp.accuracy.percent.to_f64() / 100.0 + limits.clamp_position_share;
    let counts = f64::from(clamp.accuracy.counts) * clamp.resolution.to_f64();
    Bounded { value: amps(value), limit_of_error: amps(share * value.abs() + counts) }
}
