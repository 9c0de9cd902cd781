//! Instruments and readings: what a number on a display can and cannot say.
//!
//! A value stands with its limit of error, taken as a bound. Decisions are guard-banded, validation
//! may only ever take a `dead` or a `no load` away, and readings of one place are compared by
//! circuit law.

mod circuit;
mod decide;
#[cfg(test)]
pub(crate) mod example;
mod fresh;
mod instrument;
mod judge;
mod library;
mod limit;
mod reason;
mod taken;

pub use crate::rule_sheet::Category;
pub use circuit::{
    Clash, NeutralCurrent, NeutralSign, cross_check, doubted, neutral_current, neutral_sign,
};
pub use decide::{Liveness, Loading, MayBe, liveness, loading, may_be};
pub use fresh::is_fresh;
pub use instrument::{Accuracy, Instrument, InstrumentClass};
pub use judge::{
    JudgedAmps, JudgedOhms, JudgedVolts, Moment, Standing, Validation, judge_amps, judge_ohms,
    judge_volts,
};
pub use library::{Reads, Usual};
pub(crate) use reason::reasons;
pub use reason::{Doubt, Refusal};
pub use taken::{AmpsReading, OhmsReading, Place, Side, Taken, VoltsReading};
