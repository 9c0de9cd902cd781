//! What is done at the premises: stays, switching runs, the meter.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::opened::Sha256Hex;
use crate::{
    plant::Metering,
    quantity::{Decimal, DeedId, InstrumentId, RunId, StayId},
    sighting::Slot,
};

/// `stay-begun`: the writer is at the premises from now on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StayBegun {
    /// The stay.
    pub stay: StayId,
}

/// `stay-ended`: the writer leaves the premises.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StayEnded {
    /// The stay.
    pub stay: StayId,
}

/// `stay-withdrawn`: a stay is taken back whole, with every sighting of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StayWithdrawn {
    /// The stay.
    pub stay: StayId,
    /// Why.
    pub reason: String,
}

/// `switching-run-begun`: a known load is about to be switched by a sealed code. The writer is the
/// doer, and the event's instant is when slot one began.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SwitchingRunBegun {
    /// The run.
    pub run: RunId,
    /// The stay it is done in.
    pub stay: StayId,
    /// Where the load is plugged in, in words.
    pub outlet: String,
    /// The known load at the measured voltage, amps.
    pub load_amps: Decimal,
    /// How far its true current may be off, percent.
    pub load_tolerance_percent: Decimal,
    /// SHA-256 of code and salt, hex; see [`crate::sighting::seal`].
    pub sealed: Sha256Hex,
    /// The change slot, counted from zero, at which the pad types amps.
    pub size_slot: u16,
}

/// `switching-run-ended`: the last slot is over and the code is opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SwitchingRunEnded {
    /// The run.
    pub run: RunId,
    /// One a slot.
    pub code: Vec<Slot>,
    /// What was hashed with it, hex.
    pub salt: String,
}

/// `picture`: the writer took a picture of the meter in the app, in this stay. Somebody else reads
/// it: see [`crate::sighting::Seen::MeterPhoto`], which names a picture on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PictureTaken {
    /// SHA-256 of the picture's bytes.
    pub photo: Sha256Hex,
    /// The stay it was taken in.
    pub stay: StayId,
    /// The run it was taken inside, between two slots.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub run: Option<RunId>,
}

/// The lever bypass of a meter base.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Bypass {
    /// The base has none.
    None,
    /// There is one, and it is open.
    LeverOpen,
    /// There is one, and it is closed: pulling the meter interrupts nothing.
    LeverClosed,
}

/// The customer's own sources, as they were found.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum OwnSources {
    /// Looked for and asked for: there is none.
    NoneFound,
    /// There are some, and they were switched off.
    Off,
    /// Not ruled out.
    NotRuledOut,
}

/// `meter-pulled`: the meter is out of its base.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MeterPulled {
    /// The deed.
    pub deed: DeedId,
    /// The stay it was done in.
    pub stay: StayId,
    /// The number read on the meter in the hand; none: not read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number_in_hand: Option<String>,
    /// Form of the meter as its face shows it, such as `2S`.
    pub form: String,
    /// The base's bypass.
    pub bypass: Bypass,
    /// Whether the main was open.
    pub main_open: bool,
    /// The customer's own sources.
    pub own_sources: OwnSources,
    /// Whether there was damage, discolouring or heat at the base.
    pub damage_or_heat: bool,
    /// How the service is metered, as found.
    pub metering: Metering,
}

/// `tone-on`: a tone was put on the conductors at the premises.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToneOn {
    /// The deed.
    pub deed: DeedId,
    /// The stay it was done in.
    pub stay: StayId,
    /// The tone set.
    pub instrument: InstrumentId,
}

/// `meter-set`: the meter is back in its base.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MeterSet {
    /// The deed.
    pub deed: DeedId,
    /// The stay it was done in.
    pub stay: StayId,
    /// The number on the meter that was set; none: not read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number_in_hand: Option<String>,
}
