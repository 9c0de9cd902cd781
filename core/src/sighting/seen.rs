//! One thing a person saw or measured, as it was written down.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::evidence::Handle;
use crate::{
    plant::Metal,
    quantity::{
        AssetId, Decimal, DeedId, Instant, InstrumentId, PersonId, PlacementId, RunId, SightingId,
        StayId,
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

/// What cannot be had at the premises, so that nobody is sent for it again.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Lack {
    /// No outlet has supply: the known load cannot be switched.
    Supply,
    /// The wiring is not fit to be loaded: the known load cannot be switched.
    SoundWiring,
    /// Nobody lets the crew in: the known load cannot be switched.
    Entry,
    /// No number can be read on the meter.
    MeterNumber,
    /// There is no address plate.
    Plate,
    /// The customer cannot be asked.
    Customer,
    /// The electrician cannot be asked.
    Electrician,
    /// The job's sticker is not on the base.
    Sticker,
    /// No tone can be put on here.
    Tone,
    /// The cable bears no marker at the base.
    Marker,
}

impl Lack {
    /// Whether the known load cannot be switched.
    pub const fn of_the_step(self) -> bool {
        matches!(self, Self::Supply | Self::SoundWiring | Self::Entry)
    }
}

/// How strong the tone was on one set, on the tone set's own scale from 0 to 100.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToneLevel {
    /// How the set was found.
    pub handle: Handle,
    /// With the tone on.
    pub on_level: Decimal,
    /// With the tone off.
    pub off_level: Decimal,
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
    /// The job's sticker, put on the base by the electrician: a picture of it, taken in the app at
    /// the premises, whose code the other worker reads. No phone of the crew shows that code.
    Sticker {
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
        /// The code that the reader reads on it.
        code: String,
    },
    /// A picture of the meter, taken in the app at the premises, whose number the desk has held
    /// against the billing record.
    BillingRecord {
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
        /// Whose meter the billing record says it is; none: of none of the sheet.
        service: Option<AssetId>,
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
    /// The known load switched once by word of mouth, with a clamp on one leg of one set.
    BareStep {
        /// The stay it is switched in.
        stay: StayId,
        /// Where the load is plugged in, in words.
        outlet: String,
        /// The known load at the measured voltage, amps.
        load_amps: Decimal,
        /// The placement of the clamp.
        placement: PlacementId,
        /// Amps with the load off.
        off_amps: Decimal,
        /// Amps with the load on.
        on_amps: Decimal,
    },
    /// Something cannot be had at these premises.
    Lacking {
        /// The stay.
        stay: StayId,
        /// What.
        lack: Lack,
    },
    /// A tone that was put on at the premises, compared on every set of a pad, on and off.
    Tone {
        /// The deed of putting it on.
        deed: DeedId,
        /// The tone set.
        instrument: InstrumentId,
        /// The pad.
        pad: AssetId,
        /// Every set of the pad.
        levels: Vec<ToneLevel>,
    },
    /// What a cable marker says at one end.
    Marker {
        /// Which end.
        end: End,
        /// As read.
        text: String,
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

/// A picture that a sighting is a reading of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OfPicture<'a> {
    /// The stay it was taken in.
    pub stay: &'a StayId,
    /// The run it was taken inside.
    pub run: Option<&'a RunId>,
    /// Who took it.
    pub taken_by: &'a PersonId,
    /// When.
    pub taken_at: &'a Instant,
    /// SHA-256 of its bytes, hex.
    pub photo: &'a str,
}

impl Seen {
    /// The picture that this is a reading of; none: it was seen on the spot.
    pub fn of_picture(&self) -> Option<OfPicture<'_>> {
        match self {
            Self::MeterPhoto { stay, run, taken_by, taken_at, photo, .. }
            | Self::Sticker { stay, run, taken_by, taken_at, photo, .. }
            | Self::BillingRecord { stay, run, taken_by, taken_at, photo, .. } => {
                Some(OfPicture { stay, run: run.as_ref(), taken_by, taken_at, photo })
            }
            _ => None,
        }
    }

    /// Whether it is seen or measured in a pad.
    pub const fn is_at_pad(&self) -> bool {
        matches!(
            self,
            Self::LoadStep { .. }
                | Self::BareStep { .. }
                | Self::Amps { .. }
                | Self::Tone { .. }
                | Self::Marker { end: End::Lug { .. }, .. }
                | Self::Conductor { end: End::Lug { .. }, .. }
                | Self::SetCount { .. }
        )
    }
}
