//! Amps of a clamp with their limit of error.

use super::limits::Limits;
use crate::{
    quantity::{Bounded, Current, Decimal, amps},
    reading::Instrument,
};

/// Amps as typed, with percent of reading, counts and position in the jaws added up as a bound.
pub(crate) fn amps_bound(clamp: &Instrument, typed: Decimal, limits: &Limits) -> Bounded<Current> {
    let value = typed.to_f64();
    let limit = clamp.limit_of_error(value, limits.clamp_position_share);
    Bounded { value: amps(value), limit_of_error: amps(limit) }
}
