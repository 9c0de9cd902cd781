//! Instruments and readings: what a number on a display can and cannot say.
//!
//! A value stands with its limit of error, taken as a bound. Decisions are guard-banded, validation
//! may only ever take a `dead` or a `no load` away, and readings of one place are compared by
//! circuit law.
//!
//! Volts never meet amps: a quantity carries its dimension, and a slip does not compile.
//!
//! ```compile_fail,E0308
//! use coldlug_core::{quantity::{Bounded, amps}, reading::liveness, rule_sheet::RuleSheet};
//!
//! let typed_into_the_wrong_field = Bounded { value: amps(0.2), limit_of_error: amps(0.5) };
//! liveness(typed_into_the_wrong_field, &RuleSheet::default());
//! ```

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
    Clash, NeutralCurrent, NeutralSign, SupplySign, cross_check, doubted, neutral_current,
    neutral_sign, supply_signs,
};
pub use decide::{
    InBand, Liveness, Loading, MayBe, in_band, liveness, load_on, may_be, surely_at_least,
    surely_at_most,
};
pub use fresh::is_fresh;
pub use instrument::{Accuracy, Instrument, InstrumentClass};
pub use judge::{
    AmpsAt, JudgedAmps, JudgedOhms, JudgedVolts, Moment, Standing, Validation, judge_across,
    judge_amps, judge_ohms, judge_volts, shows_load,
};
pub use library::{Reads, Usual};
pub(crate) use reason::reasons;
pub use reason::{Doubt, Refusal};
pub use taken::{AmpsReading, OhmsReading, Place, Side, Taken, VoltsReading};
