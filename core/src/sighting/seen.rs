//! One thing a person saw or measured, as it was written down.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::evidence::Handle;
use crate::{
    plant::Metal,
    quantity::{
        AssetId, Decimal, DeedId, Instant, PersonId, PlacementId, RunId, SightingId, StayId,
    },
};

/// A sighting: who, when, and what.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sighting {
    /// Its name.
    pub id: SightingId,
    /// Who saw it: for a photo, who read it.
    pub who: PersonId,
    /// When it was seen.
    pub at: Instant,
    /// What was seen.
    pub seen: Seen,
}

/// Whose word it is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Speaker {
    /// The customer.
    Customer,
    /// The electrician, on their own phone from the link shown at that base.
    Electrician,
}

/// Which end of a set was looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "end", deny_unknown_fields)]
pub enum End {
    /// At the lugs of a pad.
    Lug {
        /// The pad.
        pad: AssetId,
        /// How the set was found.
        handle: Handle,
    },
    /// At the meter base.
    Base {
        /// The stay it was seen in.
        stay: StayId,
    },
}

/// The one key pressed at the pad for a slot.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SlotKey {
    /// The amps rose.
    Rose,
    /// The amps fell.
    Fell,
    /// The amps stayed.
    Same,
}

/// What was seen at the pad in one slot of a coded load step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SlotReading {
    /// The key.
    pub key: SlotKey,
    /// Amps just before and just after the slot, where they were typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amps: Option<BeforeAfter>,
}

/// Amps just before and just after a slot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BeforeAfter {
    /// Before, amps.
    pub before_amps: Decimal,
    /// After, amps.
    pub after_amps: Decimal,
}

/// What was seen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "what", deny_unknown_fields)]
pub enum Seen {
    /// The number on the meter, read in the base.
    MeterNumber {
        /// The stay.
        stay: StayId,
        /// The number as read.
        number: String,
    },
    /// The address plate on the wall.
    AddressPlate {
        /// The stay.
        stay: StayId,
        /// The plate as read.
        plate: String,
        /// Which service of the sheet it names; none: not on the sheet.
        service: Option<AssetId>,
    },
    /// A picture of the meter, taken in the app at the premises and read by the other worker.
    MeterPhoto {
        /// The stay it was taken in.
        stay: StayId,
        /// The run it was taken inside, between two slots.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        run: Option<RunId>,
        /// Who took it.
        taken_by: PersonId,
        /// When it was taken.
        taken_at: Instant,
        /// SHA-256 of the picture, hex.
        photo: String,
        /// The number that the reader reads on it.
        number: String,
    },
    /// Somebody's word on where they are.
    Word {
        /// The stay it was given in.
        stay: StayId,
        /// The run inside which they saw the load come and go.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        run: Option<RunId>,
        /// Whose word.
        speaker: Speaker,
        /// Which service they say this is; none: none of the sheet.
        service: Option<AssetId>,
        /// For an electrician: whether it came from the link shown at that base.
        #[serde(default)]
        from_link: bool,
    },
    /// One reading of a coded switching run at the pad, slot by slot.
    LoadStep {
        /// The run.
        run: RunId,
        /// The placement of the clamp.
        placement: PlacementId,
        /// Amps before the first slot, with the load off.
        load_off_amps: Decimal,
        /// One a slot.
        slots: Vec<SlotReading>,
    },
    /// Amps on one leg, with the meter in or out.
    Amps {
        /// The placement of the clamp.
        placement: PlacementId,
        /// The pull after which they were read; none: meter in.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        deed: Option<DeedId>,
        /// Amps.
        amps: Decimal,
    },
    /// Metal and size of a set at one end.
    Conductor {
        /// Which end.
        end: End,
        /// Metal.
        metal: Metal,
        /// Size as the trade writes it, where it could be told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        size: Option<String>,
    },
    /// The customer's own sources were seen switched off.
    SourcesOff {
        /// The stay.
        stay: StayId,
    },
    /// A tag on a pad.
    Tag {
        /// The pad as the crew takes it to be; none: not known.
        pad: Option<AssetId>,
        /// What is readable, `?` for each character that is not.
        pattern: String,
        /// True when it may have been read upside down.
        #[serde(default)]
        maybe_upside_down: bool,
    },
    /// A position fix.
    Fix {
        /// The pad as the crew takes it to be; none: not known.
        pad: Option<AssetId>,
        /// Longitude, degrees.
        lon_deg: Decimal,
        /// Latitude, degrees.
        lat_deg: Decimal,
        /// 68 % radius, metres.
        radius68_m: Decimal,
    },
    /// How many cable sets there are in a pad.
    SetCount {
        /// The pad.
        pad: AssetId,
        /// How many.
        count: u16,
    },
}
