//! One end of a feature at a node, as a row of the shelf has it.

use super::feature::LEGS;
use super::kinds::KINDS;
use super::pack::{Pack, Unpack};
use super::shelf::Feature;
use crate::plant::{Conductor, Device, VoltageSystem};
use crate::quantity::AssetId;

/// The fields that name a node.
pub(super) const NODE_FIELDS: [&str; 5] = ["from", "to", "primary", "secondary", "node"];

const TWO: u8 = 1;
const OPEN: u8 = 2;
const NAMED: u8 = 4;
const KNOWN: u8 = 8;
const LUG: u8 = 16;

/// What the checks ask of a feature that is part of the plant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known<'a> {
    /// Whether the file gave it a good name; it has the name `feature-12` otherwise.
    pub(super) named: bool,
    /// The feature.
    pub(super) feature: &'a Feature,
}

/// One end of a feature at a node.
#[derive(Debug, Clone)]
pub(super) struct End {
    /// The kind of feature; empty where it is none.
    pub(super) kind: &'static str,
    /// Which of the fields that name a node.
    pub(super) field: usize,
    /// The how many-th feature of the file it is.
    pub(super) number: u32,
    /// How findings call the feature.
    pub(super) label: String,
    flags: u8,
    /// Of a lug pair and a set.
    pub(super) pad: Option<String>,
    /// Of a lug pair and a set.
    pub(super) position: Option<String>,
    /// Of a lug pair, as bits.
    pub(super) legs: u8,
    /// Of a transformer and a service.
    pub(super) system: Option<VoltageSystem>,
}

/// In what order the ends of one node come by: those that others are held against first.
fn rank(kind: &str) -> u8 {
    match kind {
        "transformer" => 0,
        "pedestal" => 1,
        "switch" => 2,
        "service" => 3,
        _ => 4,
    }
}

impl End {
    /// The row of an end.
    #[allow(clippy::too_many_arguments, reason = "one row has this many columns")]
    pub(super) fn packed(
        node: &str,
        field: usize,
        kind: &str,
        number: u32,
        label: &str,
        two: bool,
        open: bool,
        known: Option<Known<'_>>,
    ) -> (Pack, Pack) {
        let key = Pack::default().text(node).byte(rank(kind)).number(number).field(field);
        let flag = |flag: u8, on: bool| if on { flag } else { 0 };
        let named = known.is_some_and(|known| known.named);
        let flags = flag(TWO, two) | flag(OPEN, open) | flag(NAMED, named);
        let kind = KINDS.iter().position(|known| *known == kind).unwrap_or(KINDS.len());
        let row = |flags: u8| Pack::default().field(kind).byte(flags).text(label);
        let Some(known) = known else { return (key, row(flags)) };
        let flags = flags | KNOWN;
        let row = match known.feature {
            Feature::Switch(lug) if lug.device == Device::LugPair => row(flags | LUG)
                .maybe_text(lug.pad.as_ref().map(AssetId::as_str))
                .maybe_text(lug.position.as_deref())
                .byte(bits(&lug.legs)),
            Feature::Set(set) => row(flags)
                .maybe_text(set.pad.as_ref().map(AssetId::as_str))
                .maybe_text(set.position.as_deref()),
            Feature::Transformer(unit) => row(flags).byte(system_byte(unit.system)),
            Feature::Service(service) => row(flags).byte(system_byte(service.system)),
            _ => row(flags),
        };
        (key, row)
    }

    /// The end of a row, its key read up to the node.
    pub(super) fn of(mut key: Unpack<'_>, row: &[u8]) -> Self {
        key.byte();
        let (number, field) = (key.number(), key.field());
        let mut row = Unpack::of(row);
        let kind = KINDS.get(row.field()).copied().unwrap_or_default();
        let flags = row.byte();
        let mut end = Self {
            kind,
            field,
            number,
            label: row.text(),
            flags,
            pad: None,
            position: None,
            legs: 0,
            system: None,
        };
        if end.lug() || end.known() && kind == "set" {
            (end.pad, end.position) = (row.maybe_text(), row.maybe_text());
            end.legs = row.byte();
        } else if end.known() && (kind == "transformer" || kind == "service") {
            end.system = system_of(row.byte());
        }
        end
    }

    /// The field that names the node.
    pub(super) fn field(&self) -> &'static str {
        NODE_FIELDS.get(self.field).copied().unwrap_or_default()
    }

    fn has(&self, flag: u8) -> bool {
        self.flags & flag != 0
    }

    /// Whether the feature has two ends.
    pub(super) fn two(&self) -> bool {
        self.has(TWO)
    }

    /// Whether it is normally open.
    pub(super) fn open(&self) -> bool {
        self.has(OPEN)
    }

    /// Whether it is part of the plant.
    pub(super) fn known(&self) -> bool {
        self.has(KNOWN)
    }

    /// Whether it is a lug pair there.
    pub(super) fn lug(&self) -> bool {
        self.has(LUG)
    }

    /// It is not part of the plant after all: a later one has its kind and id.
    pub(super) fn pass_over(&mut self) {
        self.flags &= !(KNOWN | LUG);
    }

    /// Its place among the ends of the file.
    pub(super) fn place(&self) -> Pack {
        Pack::default().number(self.number).field(self.field)
    }

    /// The id it has in the plant.
    pub(super) fn id(&self) -> String {
        if self.has(NAMED) { self.label.clone() } else { format!("feature-{}", self.number) }
    }
}

/// Legs as bits.
fn bits(legs: &[Conductor]) -> u8 {
    let on = LEGS.iter().enumerate().filter(|(_, (_, leg))| legs.contains(leg));
    on.map(|(place, _)| 1 << place).sum()
}

/// Bits as legs.
pub(super) fn legs(bits: u8) -> impl Iterator<Item = Conductor> {
    let on = LEGS.into_iter().enumerate().filter(move |(place, _)| bits & (1 << place) != 0);
    on.map(|(_, (_, leg))| leg)
}

/// A system as a byte that is never zero.
pub(super) fn system_byte(system: VoltageSystem) -> u8 {
    let place = VoltageSystem::ALL.iter().position(|other| *other == system);
    place.and_then(|place| u8::try_from(place + 1).ok()).unwrap_or_default()
}

/// The system of such a byte; none of zero.
pub(super) fn system_of(byte: u8) -> Option<VoltageSystem> {
    VoltageSystem::ALL.get(usize::from(byte).checked_sub(1)?).copied()
}
