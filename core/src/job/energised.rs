//! Where a feeder reaches as everything stands, what a proof of dead covers, and where a ground may be
//! put.
//!
//! A ground goes on what was tested dead at that very place, freshly, and only where nothing closed leads
//! to a feeder: what is dead while a feeder's way to it stands closed may be live again at any moment.

use std::{borrow::Cow, collections::BTreeSet};

use super::{present::lugs, sheets::Sheets, state::State};
use crate::{
    plant::{Network, Plant, Switch, derived},
    proof::Zone,
    quantity::{IdError, Instant, NodeId},
    sighting::SetAt,
};

/// Why a ground may not be put at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum GroundLack {
    /// No fresh proof of dead covers it.
    NotProven,
    /// A feeder reaches it over what stands closed on record.
    FeederReaches,
}

impl GroundLack {
    /// Every one of them.
    pub const ALL: [Self; 2] = [Self::NotProven, Self::FeederReaches];

    /// The stable id, and the id of its sentence.
    pub const fn id(self) -> &'static str {
        match self {
            Self::NotProven => "ground-not-proven",
            Self::FeederReaches => "ground-feeder-reaches",
        }
    }
}

impl State {
    /// The map as the field corrected it; none where a correction does not fit.
    pub(super) fn map<'a>(&self, sheets: &Sheets<'a>) -> Option<Cow<'a, Plant>> {
        if self.map_corrections.is_empty() {
            return Some(Cow::Borrowed(sheets.plant));
        }
        self.corrected(sheets.plant).ok().map(Cow::Owned)
    }

    /// Every place that a feeder reaches over what stands closed.
    fn reached(&self, plant: &Plant) -> Result<BTreeSet<NodeId>, IdError> {
        let (network, states) = (Network::of(plant)?, self.present(plant)?.states);
        let feeders = plant.sources.values().map(|source| &source.node);
        Ok(network.reach(feeders, |branch| !branch.is_open(&states)))
    }

    /// The places that a fresh proof of dead covers; none where the map does not say.
    fn freshly_dead(&self, sheets: &Sheets<'_>, plant: &Plant, now: &Instant) -> BTreeSet<NodeId> {
        let fresh = self.proofs.dead.values().filter(|dead| dead.is_fresh(now, sheets.rules));
        fresh.flat_map(|dead| covered(plant, dead.zone()).unwrap_or_default()).collect()
    }

    /// Where a ground may be put now, by name.
    pub(crate) fn may_be_grounded(&self, sheets: &Sheets<'_>, now: &Instant) -> BTreeSet<NodeId> {
        let Some(plant) = self.map(sheets) else { return BTreeSet::new() };
        let dead = self.freshly_dead(sheets, &plant, now);
        if dead.is_empty() {
            return dead;
        }
        match self.reached(&plant) {
            Ok(live) => dead.into_iter().filter(|node| !live.contains(node)).collect(),
            Err(_) => BTreeSet::new(),
        }
    }

    /// Why a ground may not be put at a place now; empty: it may.
    pub(super) fn ground_lacks(
        &self,
        sheets: &Sheets<'_>,
        node: &NodeId,
        now: &Instant,
    ) -> Vec<String> {
        if self.may_be_grounded(sheets, now).contains(node) {
            return Vec::new();
        }
        let proven = self
            .map(sheets)
            .is_some_and(|plant| self.freshly_dead(sheets, &plant, now).contains(node));
        let why = if proven { GroundLack::FeederReaches } else { GroundLack::NotProven };
        vec![node.to_string(), why.id().to_owned()]
    }

    /// Whether a ground is on the zone that a clearance covers.
    pub(super) fn zone_grounded(&self, sheets: &Sheets<'_>) -> bool {
        let (Some(plant), Some(zone)) = (self.map(sheets), self.work_zone()) else { return false };
        let nodes = covered(&plant, &zone).unwrap_or_default();
        nodes.iter().any(|node| self.physical.grounds.contains_key(node))
    }
}

/// The side of a lug pair that is no transformer's.
pub(crate) fn load_side(plant: &Plant, lug: &Switch) -> NodeId {
    let is_bus = plant.transformers.values().any(|unit| unit.secondary == lug.to);
    if is_bus { lug.from.clone() } else { lug.to.clone() }
}

/// What a proof of a zone covers: the places that were read, and nothing beyond them. A cable is
/// dead when both its ends are. Where the record does not say which of several buses or lugs was
/// read, none counts.
pub(crate) fn covered(plant: &Plant, zone: &Zone) -> Result<BTreeSet<NodeId>, IdError> {
    let nodes: BTreeSet<NodeId> = match zone {
        Zone::MeterBase { service } => {
            let line = plant.services.get(service).map(|s| s.node.clone());
            return Ok(line.into_iter().chain([derived::load_node(service)?]).collect());
        }
        Zone::LiftedLegs { pad, position } => {
            let set = SetAt { pad: pad.clone(), position: position.clone() };
            lugs(plant, &set).map(|lug| load_side(plant, lug)).collect()
        }
        Zone::PadBus { pad } => {
            let units = plant.transformers.values().filter(|unit| unit.pad == *pad);
            units.map(|unit| unit.secondary.clone()).collect()
        }
    };
    Ok(if nodes.len() == 1 { nodes } else { BTreeSet::new() })
}
