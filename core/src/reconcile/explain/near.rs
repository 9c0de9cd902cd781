//! The record of the neighbourhood: the pads that the evidence or the target's claim names, and those
//! next to them along the cable. Nothing else of the sheet is looked at.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    plant::{Pad, Plant, Set},
    quantity::AssetId,
    sighting::SetAt,
};

/// How the record says a service is fed.
#[derive(Debug, Clone)]
pub(super) struct Way {
    /// The lug.
    pub(super) at: SetAt,
    /// Whether the set from the lug ends at the service and feeds nobody else.
    pub(super) alone: bool,
    /// The set that ends at the service.
    pub(super) last: AssetId,
}

/// The record of the neighbourhood.
pub(super) struct Near<'a> {
    pub(super) plant: &'a Plant,
    /// Pads whose tags and places are compared.
    pub(super) pads: BTreeMap<&'a AssetId, &'a Pad>,
    /// Services with one way, of the pads that were looked into and those the evidence names.
    pub(super) ways: BTreeMap<AssetId, Way>,
    /// Sets by lug.
    pub(super) lugs: BTreeMap<SetAt, &'a Set>,
    /// Sets by pad.
    pub(super) counts: BTreeMap<&'a AssetId, u16>,
}

impl<'a> Near<'a> {
    /// What the evidence names, and no service besides: enough to tell whether anything contradicts.
    pub(super) fn named(
        plant: &'a Plant,
        pads: &BTreeSet<AssetId>,
        services: &BTreeSet<AssetId>,
    ) -> Self {
        let mut near = Self {
            plant,
            pads: BTreeMap::new(),
            ways: BTreeMap::new(),
            lugs: BTreeMap::new(),
            counts: BTreeMap::new(),
        };
        for service in services {
            near.add_way(service);
        }
        for pad in pads {
            near.look_into(pad);
            near.add_pads(&plant.next_pads(pad));
        }
        near
    }

    /// With every service of those pads and of the next along the cable: enough to say why.
    pub(super) fn whole(mut self) -> Self {
        let pads: Vec<&AssetId> = self.pads.keys().copied().collect();
        for pad in pads {
            self.look_into(pad);
            for service in self.plant.services_of_pad(pad) {
                self.add_way(&service);
            }
        }
        self
    }

    fn add_pads(&mut self, pads: &BTreeSet<AssetId>) {
        let known = pads.iter().filter_map(|pad| self.plant.pads.get(pad));
        self.pads.extend(known.map(|pad| (&pad.id, pad)));
    }

    fn look_into(&mut self, pad: &AssetId) {
        let Some(pad) = self.plant.pads.get(pad) else { return };
        self.pads.insert(&pad.id, pad);
        if self.counts.contains_key(&pad.id) {
            return;
        }
        let sets = self.plant.sets_of_pad(&pad.id);
        self.counts.insert(&pad.id, u16::try_from(sets.len()).unwrap_or(u16::MAX));
        for set in sets {
            if let Some(position) = &set.position {
                let at = SetAt { pad: pad.id.clone(), position: position.clone() };
                self.lugs.insert(at, set);
            }
        }
    }

    fn add_way(&mut self, service: &AssetId) {
        if self.ways.contains_key(service) {
            return;
        }
        let Ok(feed) = self.plant.feed_of(service) else { return };
        let (Some(pad), Some(position), Some(last)) = (feed.pad, feed.position, feed.sets.last())
        else {
            return;
        };
        let alone = feed.sets.len() == 1 && self.plant.services_of_set(last).len() == 1;
        let way = Way { at: SetAt { pad, position }, alone, last: last.clone() };
        self.ways.insert(service.clone(), way);
    }

    /// Whether the record has a set in this pad for that service alone.
    pub(super) fn has_own_set(&self, service: &AssetId, pad: &AssetId) -> bool {
        self.ways.get(service).is_some_and(|way| way.alone && way.at.pad == *pad)
    }

    /// The services that the record has on a set.
    pub(super) fn on(&self, at: &SetAt) -> impl Iterator<Item = &AssetId> {
        self.ways.iter().filter(move |(_, way)| way.at == *at).map(|(service, _)| service)
    }

    /// The services that the record has on a pad.
    pub(super) fn of_pad(&self, pad: &AssetId) -> impl Iterator<Item = &AssetId> {
        self.ways.iter().filter(move |(_, way)| way.at.pad == *pad).map(|(service, _)| service)
    }
}
