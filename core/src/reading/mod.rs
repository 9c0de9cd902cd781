//! Instruments and readings: what a number on a display can and cannot say.

mod instrument;
mod taken;

pub use instrument::{Accuracy, Category, Instrument, InstrumentClass};
pub use taken::{AmpsReading, OhmsReading, Place, Side, VoltsReading};
