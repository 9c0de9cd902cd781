//! The map sheet that a phone carries for a job: the part of the whole sheet around one service.

use std::collections::{BTreeMap, BTreeSet};

use super::groups::Groups;
use crate::plant::{Features, LonLat, Plant};
use crate::quantity::{AssetId, NodeId, metres};

/// How far from the target's pad, and from the target, other pads are taken along, metres.
///
/// A crew may walk up to a pad one or two lots away and has to find it on the sheet; the tag of that
/// pad is compared with those within 150 m of it (the default rule sheet's reach). Common practice,
/// no source.
pub const AROUND_M: f64 = 300.0;

/// Most features a phone carries for a job.
pub const MOST_CARRIED: usize = 20_000;

/// Why no sheet can be cut for a job.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AroundError {
    /// No service of that name.
    #[error("there is no service '{service}' on the map sheet: check its name")]
    UnknownService {
        /// The name that was asked for.
        service: AssetId,
    },
    /// What hangs together is more than a phone carries.
    #[error(
        "{features} features hang together with service '{service}', a phone carries at most \
         {MOST_CARRIED}: bring in a sheet that ends at this feeder's own switches"
    )]
    TooLarge {
        /// The service.
        service: AssetId,
        /// How many.
        features: usize,
    },
}

/// The part of a sheet that a phone carries for a job at a service.
///
/// It holds the whole network that the service hangs on, through open switches too, and that of
/// every pad within [`AROUND_M`]: a plan says who goes out, so nothing that is joined is cut. What
/// is cut away has no branch and no cabinet in common with what is kept. Name, edition and bounds
/// are the whole sheet's.
pub fn around(plant: &Plant, service: &AssetId) -> Result<Plant, AroundError> {
    let target = plant.services.get(service);
    let target = target.ok_or_else(|| AroundError::UnknownService { service: service.clone() })?;
    let pads = plant.pads_by_place();
    let home = plant.feeds_of(service).into_iter().filter_map(|feed| feed.pad);
    let mut near: BTreeSet<AssetId> = home.collect();
    let mut from: Vec<LonLat> =
        near.iter().filter_map(|pad| plant.pads.get(pad)).map(|pad| pad.at).collect();
    from.push(target.at);
    for place in from {
        near.extend(pads.within(place, metres(AROUND_M)).into_iter().map(|found| found.id));
    }
    let joined = Joined::of(plant);
    let mut kept: BTreeSet<usize> =
        near.iter().filter_map(|pad| joined.group(Key::Pad(pad))).collect();
    kept.extend(joined.group(Key::Node(&target.node)));
    let keeps = |key: Key<'_>| joined.group(key).is_some_and(|group| kept.contains(&group));
    let node = |node: &NodeId| keeps(Key::Node(node));
    let part = Features {
        name: plant.name.clone(),
        edition: plant.edition.clone(),
        bounds: plant.bounds,
        invented: plant.invented,
        sources: only(&plant.sources, |source| node(&source.node)),
        switches: only(&plant.switches, |switch| node(&switch.from)),
        cables: only(&plant.cables, |cable| node(&cable.from)),
        transformers: only(&plant.transformers, |unit| node(&unit.primary)),
        pads: only(&plant.pads, |pad| keeps(Key::Pad(&pad.id))),
        pedestals: only(&plant.pedestals, |pedestal| node(&pedestal.node)),
        sets: only(&plant.sets, |set| node(&set.from)),
        services: only(&plant.services, |service| node(&service.node)),
    };
    let features = part.sources.len()
        + part.switches.len()
        + part.cables.len()
        + part.transformers.len()
        + part.pads.len()
        + part.pedestals.len()
        + part.sets.len()
        + part.services.len();
    if features > MOST_CARRIED {
        return Err(AroundError::TooLarge { service: service.clone(), features });
    }
    Ok(Plant::of(part))
}

fn only<T: Clone>(all: &BTreeMap<AssetId, T>, keep: impl Fn(&T) -> bool) -> BTreeMap<AssetId, T> {
    all.iter()
        .filter(|(_, thing)| keep(thing))
        .map(|(id, thing)| (id.clone(), thing.clone()))
        .collect()
}

/// What features have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Key<'a> {
    Node(&'a NodeId),
    Pad(&'a AssetId),
}

/// Which nodes and cabinets hang together.
struct Joined<'a> {
    numbers: BTreeMap<Key<'a>, usize>,
    groups: Groups,
}

impl<'a> Joined<'a> {
    fn of(plant: &'a Plant) -> Self {
        let mut joined = Self { numbers: BTreeMap::new(), groups: Groups::default() };
        let mut join = |nodes: [&'a NodeId; 2], pad: Option<&'a AssetId>| {
            let [from, to] = nodes.map(Key::Node);
            joined.join(from, to);
            joined.join(from, pad.map_or(from, Key::Pad));
        };
        plant.switches.values().for_each(|s| join([&s.from, &s.to], s.pad.as_ref()));
        plant.cables.values().for_each(|c| join([&c.from, &c.to], None));
        plant.transformers.values().for_each(|t| join([&t.primary, &t.secondary], Some(&t.pad)));
        plant.sets.values().for_each(|s| join([&s.from, &s.to], s.pad.as_ref()));
        plant.sources.values().for_each(|s| join([&s.node, &s.node], None));
        plant.pedestals.values().for_each(|p| join([&p.node, &p.node], None));
        plant.services.values().for_each(|s| join([&s.node, &s.node], None));
        for pad in plant.pads.keys() {
            joined.join(Key::Pad(pad), Key::Pad(pad));
        }
        joined
    }

    fn number(&mut self, key: Key<'a>) -> usize {
        let next = self.numbers.len();
        let number = *self.numbers.entry(key).or_insert(next);
        if number == next {
            self.groups.add();
        }
        number
    }

    fn join(&mut self, one: Key<'a>, other: Key<'a>) {
        let (one, other) = (self.number(one), self.number(other));
        self.groups.join(one, other);
    }

    /// The group of something; none: it is not on the sheet.
    fn group(&self, key: Key<'_>) -> Option<usize> {
        self.numbers.get(&key).map(|number| self.groups.first(*number))
    }
}

#[cfg(test)]
mod tests;
