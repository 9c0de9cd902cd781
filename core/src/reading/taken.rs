//! Readings as they were typed, before anything is concluded from them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    plant::{Conductor, Pair},
    quantity::{AssetId, Decimal, EventId, Instant, InstrumentId},
};

/// Which side of an open point a reading was taken on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Towards the utility.
    Line,
    /// Towards the customer.
    Load,
    /// From the line jaw to the load jaw of the same leg: the pair is that leg twice.
    AcrossJaws,
}

/// Where a voltage was read.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case", tag = "at", deny_unknown_fields)]
pub enum Place {
    /// At the meter base of a service.
    MeterBase {
        /// The service.
        service: AssetId,
        /// Line side, load side or across a pair of jaws.
        side: Side,
    },
    /// On the secondary bus of a pad.
    PadBus {
        /// The pad.
        pad: AssetId,
    },
    /// On the lifted, capped conductors of a set, at the pad.
    LiftedLegs {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// On a source known to be live, for showing that a tester works.
    KnownSource {
        /// What it is, in the crew's words: "truck inverter", "neighbour lug".
        what: String,
    },
}

/// One voltage as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VoltsReading {
    /// Where.
    pub place: Place,
    /// Between which conductors.
    pub between: Pair,
    /// What the display showed, volts.
    pub volts: Decimal,
    /// With which instrument.
    pub instrument: InstrumentId,
}

/// One current as typed: one conductor in the jaws, never the whole cable.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AmpsReading {
    /// What was in the jaws; none: the whole cable, which proves nothing.
    pub conductor: Option<Conductor>,
    /// What the display showed, amps.
    pub amps: Decimal,
    /// With which instrument.
    pub instrument: InstrumentId,
}

/// One resistance as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OhmsReading {
    /// Between which conductors.
    pub between: Pair,
    /// What the display showed, megohms.
    pub megohms: Decimal,
    /// With which instrument.
    pub instrument: InstrumentId,
}

/// A reading as it stands on record: which event holds it, and when it was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Taken<R> {
    /// The event that holds it.
    pub event: EventId,
    /// When it was taken.
    pub at: Instant,
    /// What was read.
    pub reading: R,
}
