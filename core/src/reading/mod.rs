//! Instruments and readings: what a number on a display can and cannot say.

mod instrument;
mod taken;

pub use crate::rule_sheet::Category;
pub use instrument::{Accuracy, Instrument, InstrumentClass};
pub use taken::{AmpsReading, OhmsReading, Place, Side, VoltsReading};
