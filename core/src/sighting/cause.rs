//! Causes: the one thing or one deed that alone could make a sighting false.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{
    AssetId, DeedId, InstrumentId, MarksId, PersonId, PlacementId, RunId, SightingId, StayId,
};

/// One thing or one deed. Two sightings that rest on the same cause fall together.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case", tag = "cause", deny_unknown_fields)]
pub enum Cause {
    /// All that one person reports about the premises in one stay.
    Report {
        /// The person.
        person: PersonId,
        /// The stay.
        stay: StayId,
    },
    /// All that one person hears and reads on the sets of pads where no code keeps them from knowing
    /// what would fit: one key, since who makes up a tone makes up the markers to go with it.
    PadReport {
        /// The person.
        person: PersonId,
    },
    /// The meter records of this map sheet: one key, so a swap of two is one cause.
    MeterRecords,
    /// The address plates of the neighbourhood: one key, so a swap is one cause.
    Plates,
    /// The electrician: their word, and where they put the job's sticker.
    Electrician,
    /// The billing records, where they do not come from the map's source: one key.
    BillingRecords,
    /// How a tone is heard at a pad: the tone set, and how tones bleed into its other sets there. One
    /// key whatever the tone set, since a poor common neutral misleads them all.
    Tone {
        /// The pad.
        pad: AssetId,
    },
    /// The scheme by which cables were marked at both ends: one key.
    MarkerScheme,
    /// One placement of a clamp.
    Placement {
        /// Which.
        placement: PlacementId,
    },
    /// The marks put on a pad's sets in one go.
    Marks {
        /// Which go.
        marks: MarksId,
    },
    /// The lug positions of a pad, as they are counted.
    LugPositions {
        /// The pad.
        pad: AssetId,
    },
    /// One switching run of the known load.
    Run {
        /// Which.
        run: RunId,
    },
    /// One clamp or other instrument.
    Instrument {
        /// Which.
        instrument: InstrumentId,
    },
    /// One deed, such as pulling a meter.
    Deed {
        /// Which.
        deed: DeedId,
    },
    /// The target's set feeds somebody else as well.
    SharedSet {
        /// The pad.
        pad: AssetId,
        /// Lug position of the set.
        position: String,
    },
    /// A splice nobody mapped joins two metals or sizes in one set.
    UnmappedSplice {
        /// The pad.
        pad: AssetId,
        /// Lug position of the set.
        position: String,
    },
    /// One look at a conductor.
    Look {
        /// Which sighting it was.
        sighting: SightingId,
    },
}

impl fmt::Display for Cause {
    /// The key, short and stable: kind and id.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Report { person, stay } => write!(f, "report:{person}@{stay}"),
            Self::PadReport { person } => write!(f, "pad-report:{person}"),
            Self::MeterRecords => f.write_str("meter-records"),
            Self::Plates => f.write_str("plates"),
            Self::Electrician => f.write_str("electrician"),
            Self::BillingRecords => f.write_str("billing-records"),
            Self::Tone { pad } => write!(f, "tone:{pad}"),
            Self::MarkerScheme => f.write_str("marker-scheme"),
            Self::Placement { placement } => write!(f, "placement:{placement}"),
            Self::Marks { marks } => write!(f, "marks:{marks}"),
            Self::LugPositions { pad } => write!(f, "lug-positions:{pad}"),
            Self::Run { run } => write!(f, "run:{run}"),
            Self::Instrument { instrument } => write!(f, "instrument:{instrument}"),
            Self::Deed { deed } => write!(f, "deed:{deed}"),
            Self::SharedSet { pad, position } => write!(f, "shared-set:{pad}:{position}"),
            Self::UnmappedSplice { pad, position } => write!(f, "splice:{pad}:{position}"),
            Self::Look { sighting } => write!(f, "look:{sighting}"),
        }
    }
}
