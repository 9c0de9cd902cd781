//! What an instrument is, as its crew entered it once from its nameplate and manual.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    quantity::{Decimal, InstrumentId},
    rule_sheet::Category,
};

/// What kind of instrument it is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum InstrumentClass {
    /// Two-pole voltage tester.
    TwoPoleTester,
    /// Voltmeter with a low-impedance input.
    LowImpedanceVoltmeter,
    /// Digital multimeter, high impedance.
    DigitalMultimeter,
    /// Clamp meter.
    Clamp,
    /// Primary voltage detector on a stick.
    PrimaryVoltageDetector,
    /// Insulation tester.
    InsulationTester,
    /// Phase rotation meter.
    PhaseRotation,
    /// Tone transmitter and receiver.
    ToneSet,
}

/// Limit of error as makers state it: percent of reading plus counts of the last digit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Accuracy {
    /// Percent of the reading.
    pub percent: Decimal,
    /// Counts of the last digit.
    pub counts: u16,
}

/// An instrument. The unit of range and resolution is that of its class
/// ([`InstrumentClass::unit`]).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// Its name on the job.
    pub id: InstrumentId,
    /// What it is.
    pub class: InstrumentClass,
    /// Its measurement category.
    pub category: Category,
    /// The voltage to ground its category holds for, volts.
    pub category_volts: Decimal,
    /// Top of the range.
    pub range: Decimal,
    /// Smallest step of the display.
    pub resolution: Decimal,
    /// Limit of error.
    pub accuracy: Accuracy,
    /// Milliseconds since 1970 UTC when the calibration runs out.
    pub calibration_due_ms: i64,
}
