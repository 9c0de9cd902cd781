//! What may be false: one claim of the record, or one name that the crew gave to what it saw.

use super::slot::Slot;
use crate::{quantity::AssetId, sighting::SetAt};

/// One false claim, and what would be true instead where that follows.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum FalseClaim {
    /// Two pads carry each other's tags. A crew that went by the tag took one for the other.
    TagsSwapped {
        /// One pad, the first by name.
        one: AssetId,
        /// The other.
        other: AssetId,
    },
    /// The pad carries another tag than the record gives it.
    TagReplaced {
        /// The pad.
        pad: AssetId,
    },
    /// The crew took one pad for another; the record is right.
    PadMistaken {
        /// What they took it for.
        taken: AssetId,
        /// What it is.
        is: AssetId,
    },
    /// The pad stands elsewhere than it is drawn.
    PadMoved {
        /// The pad.
        pad: AssetId,
    },
    /// Two services of one pad hang on each other's sets.
    SetsSwapped {
        /// One service, the first by name.
        one: AssetId,
        /// The other.
        other: AssetId,
    },
    /// Two sets stand at each other's lug positions.
    LugsSwapped {
        /// The pad.
        pad: AssetId,
        /// One position, the first by name.
        one: String,
        /// The other.
        other: String,
    },
    /// The service hangs on a lug of its own pad where the record has nothing.
    WrongPosition {
        /// The service.
        service: AssetId,
        /// Where it hangs.
        at: SetAt,
    },
    /// The service hangs on another pad, and what is drawn for it is not there.
    WrongPad {
        /// The service.
        service: AssetId,
        /// Which pad; none: nobody has seen its set yet.
        pad: Option<AssetId>,
        /// The lug position there, where it was seen.
        position: Option<String>,
    },
    /// Two services have each other's meter numbers in the record.
    MetersSwapped {
        /// One service, the first by name.
        one: AssetId,
        /// The other.
        other: AssetId,
    },
    /// The service has another meter than the record says.
    WrongMeterNumber {
        /// The service.
        service: AssetId,
    },
    /// The pad holds sets that the record does not have.
    SetMissing {
        /// The pad.
        pad: AssetId,
        /// How many.
        sets: u16,
    },
    /// The record has sets in the pad that are not there.
    SetExtra {
        /// The pad.
        pad: AssetId,
        /// How many.
        sets: u16,
    },
    /// The set is of another metal or size.
    WrongConductor {
        /// The set.
        set: AssetId,
    },
    /// A splice nobody mapped joins another metal or size into the set.
    Splice {
        /// The set.
        set: AssetId,
    },
    /// Somebody hangs on a set that the record gives to others alone.
    SharedSet {
        /// The set.
        at: SetAt,
        /// Who; none: nobody knows yet.
        service: Option<AssetId>,
    },
    /// Something hangs on the set ahead of every meter.
    UnmeteredLoad {
        /// The set.
        at: SetAt,
    },
}

impl FalseClaim {
    /// The stable id of this kind; also of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::TagsSwapped { .. } => "false-tags-swapped",
            Self::TagReplaced { .. } => "false-tag-replaced",
            Self::PadMistaken { .. } => "false-pad-mistaken",
            Self::PadMoved { .. } => "false-pad-moved",
            Self::SetsSwapped { .. } => "false-sets-swapped",
            Self::LugsSwapped { .. } => "false-lugs-swapped",
            Self::WrongPosition { .. } => "false-wrong-position",
            Self::WrongPad { pad: Some(_), .. } => "false-wrong-pad",
            Self::WrongPad { pad: None, .. } => "false-fed-elsewhere",
            Self::MetersSwapped { .. } => "false-meters-swapped",
            Self::WrongMeterNumber { .. } => "false-wrong-meter-number",
            Self::SetMissing { .. } => "false-set-missing",
            Self::SetExtra { .. } => "false-set-extra",
            Self::WrongConductor { .. } => "false-wrong-conductor",
            Self::Splice { .. } => "false-splice",
            Self::SharedSet { service: Some(_), .. } => "false-shared-set",
            Self::SharedSet { service: None, .. } => "false-shared-by-somebody",
            Self::UnmeteredLoad { .. } => "false-unmetered-load",
        }
    }

    /// Every id.
    pub const IDS: [&'static str; 18] = [
        "false-tags-swapped",
        "false-tag-replaced",
        "false-pad-mistaken",
        "false-pad-moved",
        "false-sets-swapped",
        "false-lugs-swapped",
        "false-wrong-position",
        "false-wrong-pad",
        "false-fed-elsewhere",
        "false-meters-swapped",
        "false-wrong-meter-number",
        "false-set-missing",
        "false-set-extra",
        "false-wrong-conductor",
        "false-splice",
        "false-shared-set",
        "false-shared-by-somebody",
        "false-unmetered-load",
    ];

    /// How often such a claim is false, in a million claims of its kind. Common practice, no source:
    /// the order matters, not the figure. Metal and size are drawn from old job cards and seldom
    /// looked at again; a meter is exchanged more often than a cable; two of a kind are mixed up when
    /// both are worked on in one visit; a service on another pad than drawn is what crews warn of.
    pub const fn per_million(&self) -> u32 {
        match self {
            Self::WrongConductor { .. } => 30_000,
            Self::PadMoved { .. } => 20_000,
            Self::SetMissing { .. } => 15_000,
            Self::WrongPad { .. } | Self::LugsSwapped { .. } | Self::WrongPosition { .. } => 10_000,
            Self::WrongMeterNumber { .. } => 9_000,
            Self::SetsSwapped { .. } => 8_000,
            Self::PadMistaken { .. } => 7_000,
            Self::TagReplaced { .. } | Self::SetExtra { .. } => 6_000,
            Self::Splice { .. } => 5_000,
            Self::TagsSwapped { .. } | Self::MetersSwapped { .. } => 4_000,
            Self::SharedSet { .. } | Self::UnmeteredLoad { .. } => 3_000,
        }
    }

    /// The parts of the record that it changes. Two claims that change one part are never put
    /// together.
    pub(super) fn changes(&self) -> Vec<Slot<'_>> {
        match self {
            Self::TagsSwapped { one, other } => {
                vec![Slot::Tag(one), Slot::Tag(other), Slot::Named(one), Slot::Named(other)]
            }
            Self::TagReplaced { pad } => vec![Slot::Tag(pad)],
            Self::PadMistaken { taken, .. } => vec![Slot::Named(taken)],
            Self::PadMoved { pad } => vec![Slot::Place(pad)],
            Self::SetsSwapped { one, other } => vec![Slot::Way(one), Slot::Way(other)],
            Self::LugsSwapped { pad, .. } => vec![Slot::Lugs(pad)],
            Self::WrongPosition { service, .. } | Self::WrongPad { service, .. } => {
                vec![Slot::Way(service)]
            }
            Self::MetersSwapped { one, other } => vec![Slot::Numbers(one), Slot::Numbers(other)],
            Self::WrongMeterNumber { service } => vec![Slot::Numbers(service)],
            Self::SetMissing { pad, .. } | Self::SetExtra { pad, .. } => vec![Slot::Unplaced(pad)],
            Self::WrongConductor { set } | Self::Splice { set } => vec![Slot::Conductor(set)],
            Self::SharedSet { at, service } => {
                let who = service.iter().map(Slot::Way);
                who.chain([Slot::Others(&at.pad, &at.position)]).collect()
            }
            Self::UnmeteredLoad { at } => vec![Slot::Others(&at.pad, &at.position)],
        }
    }
}

/// Two names in their order: a swap of two is one claim, whichever is named first.
pub(super) fn in_order<T: Ord + Clone>(a: &T, b: &T) -> (T, T) {
    if a <= b { (a.clone(), b.clone()) } else { (b.clone(), a.clone()) }
}
