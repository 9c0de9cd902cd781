//! What the field says against the record.

use std::collections::BTreeSet;

use crate::{
    quantity::{AssetId, SightingId},
    sighting::SetAt,
};

/// One thing the field says against the record. Pads are named as the crew calls them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Contradiction {
    /// The tag is not the pad's.
    Tag {
        /// The pad.
        pad: AssetId,
    },
    /// The fix is too far from where the pad is drawn.
    Place {
        /// The pad.
        pad: AssetId,
    },
    /// There are more or fewer sets than the record has.
    SetCount {
        /// The pad.
        pad: AssetId,
    },
    /// Metal or size is not as the record has it, at one end or both.
    Conductor {
        /// The set on the record.
        set: AssetId,
    },
    /// The number on the meter is not the record's.
    MeterNumber {
        /// Whose meter it is.
        service: AssetId,
    },
    /// Another set than the record's was seen to feed the service.
    FedByAnother {
        /// The service.
        service: AssetId,
        /// The set that was seen.
        at: SetAt,
    },
    /// The set that the record has for the service was seen not to feed it.
    NotFed {
        /// The service.
        service: AssetId,
        /// The record's set.
        at: SetAt,
    },
    /// The service's set stays loaded with its meter out.
    LoadedMeterOut {
        /// The service.
        service: AssetId,
        /// The set.
        at: SetAt,
    },
}

impl Contradiction {
    /// The stable id of this kind; also of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::Tag { .. } => "against-tag",
            Self::Place { .. } => "against-place",
            Self::SetCount { .. } => "against-set-count",
            Self::Conductor { .. } => "against-conductor",
            Self::MeterNumber { .. } => "against-meter-number",
            Self::FedByAnother { .. } => "against-fed-by-another",
            Self::NotFed { .. } => "against-not-fed",
            Self::LoadedMeterOut { .. } => "against-loaded-meter-out",
        }
    }

    /// Every id.
    pub const IDS: [&'static str; 8] = [
        "against-tag",
        "against-place",
        "against-set-count",
        "against-conductor",
        "against-meter-number",
        "against-fed-by-another",
        "against-not-fed",
        "against-loaded-meter-out",
    ];
}

/// A contradiction with the sightings that raise it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What.
    pub what: Contradiction,
    /// The sightings.
    pub sightings: BTreeSet<SightingId>,
}
