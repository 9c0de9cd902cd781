//! What is seen and measured: instruments, marks, placements, sightings, volts, ohms.

use std::num::NonZeroU8;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    proof::{NeutralTest, Rotation},
    quantity::{AssetId, Decimal, InstrumentId, PlacementId, SightingId},
    reading::{AmpsReading, Instrument, OhmsReading, VoltsReading},
    sighting::{Handle, Leg, Marks, Seen},
};

/// `instrument`: an instrument is entered from its nameplate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InstrumentEntered {
    /// What it is.
    pub instrument: Instrument,
}

/// What an instrument showed on a known source or load, and what it should have shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "unit", deny_unknown_fields)]
pub enum Shown {
    /// A voltage.
    Volts {
        /// What the display showed, volts.
        shown_volts: Decimal,
        /// What is known to be there, volts.
        expected_volts: Decimal,
    },
    /// A current.
    Amps {
        /// What the display showed, amps.
        shown_amps: Decimal,
        /// What is known to flow, amps.
        expected_amps: Decimal,
    },
    /// An insulation resistance.
    Megohms {
        /// What the display showed, megohms.
        shown_megohms: Decimal,
        /// What is known to be there, megohms.
        expected_megohms: Decimal,
    },
}

/// `instrument-proven`: an instrument was held to something known. Whether it passed is judged from
/// the numbers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InstrumentProven {
    /// Which.
    pub instrument: InstrumentId,
    /// The known source or load, in the crew's words.
    pub known: String,
    /// How far the known source or load itself may be off, percent.
    pub known_tolerance_percent: Decimal,
    /// What it showed.
    pub shown: Shown,
}

/// `marks-put`: marks were put on the sets of a pad in one go.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MarksPut {
    /// The go, and every set seen with its mark.
    pub marks: Marks,
}

/// `placement`: a clamp was placed on one conductor. The event's instant is when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlacementMade {
    /// The placement.
    pub placement: PlacementId,
    /// The pad.
    pub pad: AssetId,
    /// How the set was found.
    pub handle: Handle,
    /// Which leg is in the jaws; none: the whole cable, which proves nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leg: Option<Leg>,
    /// Parallel runs of that leg in the jaws.
    #[serde(default = "one_run", skip_serializing_if = "is_one_run")]
    pub runs_in_jaws: NonZeroU8,
    /// The clamp.
    pub instrument: InstrumentId,
}

const fn one_run() -> NonZeroU8 {
    NonZeroU8::MIN
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a field over by reference")]
fn is_one_run(runs: &NonZeroU8) -> bool {
    *runs == NonZeroU8::MIN
}

/// `sighting`: one thing the writer saw or measured. For a photo the writer is who read it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SightingMade {
    /// The sighting.
    pub sighting: SightingId,
    /// What was seen.
    pub seen: Seen,
}

/// `volts`: one voltage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VoltsRead {
    /// The reading.
    pub reading: VoltsReading,
}

/// `amps`: one current through something that opens, or through a primary cable, before it is opened.
/// Currents on the legs of a set are sightings, at the placement of their clamp.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AmpsRead {
    /// The switch or cable of the map sheet.
    pub branch: AssetId,
    /// The reading: L1, L2 and L3 are the phases of a primary.
    pub reading: AmpsReading,
}

/// `ohms`: one insulation reading on the lifted conductors of a set, at the pad.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OhmsRead {
    /// The pad.
    pub pad: AssetId,
    /// The lug position.
    pub position: String,
    /// Whether both ends are free, with nothing connected.
    pub both_ends_free: bool,
    /// The reading.
    pub reading: OhmsReading,
}

/// `neutral-tested`: the neutral of a restored service under a known load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NeutralTested {
    /// The service.
    pub service: AssetId,
    /// The test.
    pub test: NeutralTest,
}

/// `rotation-read`: the phase rotation of a three-phase service, before anything is opened and after
/// it is restored.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RotationRead {
    /// The service.
    pub service: AssetId,
    /// What the rotation meter showed.
    pub rotation: Rotation,
    /// The rotation meter.
    pub instrument: InstrumentId,
}
