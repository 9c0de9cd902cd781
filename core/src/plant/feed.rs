//! Which pad, lug position and set feed a service, by the record; and who its neighbours are.

use std::collections::BTreeSet;

use super::{feature::Set, indexed::Plant};
use crate::quantity::{AssetId, NodeId};

/// How the record says a service is fed from one lug.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Feed {
    /// The service.
    pub service: AssetId,
    /// The pad the set leaves; none where the record does not say.
    pub pad: Option<AssetId>,
    /// The lug position in that pad.
    pub position: Option<String>,
    /// The lug pair; none where the record has none there.
    pub lug: Option<AssetId>,
    /// The transformer whose secondary the lug is on.
    pub transformer: Option<AssetId>,
    /// The sets from the lug to the service, through pedestals, in that order; never empty.
    pub sets: Vec<AssetId>,
}

/// Why the record does not name one feed for a service.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FeedError {
    /// No service of that name.
    #[error("there is no service '{service}' on the map sheet: check its name")]
    UnknownService {
        /// The name that was asked for.
        service: AssetId,
    },
    /// No set ends at the service.
    #[error("the map sheet shows no cable set to service '{service}': find its feed in the field")]
    NotFed {
        /// The service.
        service: AssetId,
    },
    /// Several lugs feed it.
    #[error("the map sheet shows {count} feeds to service '{service}': every one must be opened")]
    Several {
        /// The service.
        service: AssetId,
        /// How many.
        count: usize,
    },
}

impl Plant {
    /// Every feed of a service that the record shows, by lug; empty where it shows none.
    pub fn feeds_of(&self, service: &AssetId) -> Vec<Feed> {
        let Some(target) = self.services.get(service) else { return Vec::new() };
        let joins = self.joins();
        let mut feeds = Vec::new();
        // Each set is walked once: a hostile mesh of pedestals costs no more than its sets.
        let mut seen = BTreeSet::new();
        let mut waiting: Vec<(NodeId, Vec<AssetId>)> = vec![(target.node.clone(), Vec::new())];
        while let Some((node, walked)) = waiting.pop() {
            for set in self.named(joins.sets_to.get(&node)) {
                if !seen.insert(&set.id) {
                    continue;
                }
                let mut sets = vec![set.id.clone()];
                sets.extend(walked.iter().cloned());
                if joins.pedestals_at.contains(&set.from) && set.pad.is_none() {
                    waiting.push((set.from.clone(), sets));
                } else {
                    feeds.push(self.feed_from(service, set, sets));
                }
            }
        }
        feeds.sort();
        feeds
    }

    /// The one feed of a service.
    pub fn feed_of(&self, service: &AssetId) -> Result<Feed, FeedError> {
        if !self.services.contains_key(service) {
            return Err(FeedError::UnknownService { service: service.clone() });
        }
        let mut feeds = self.feeds_of(service);
        match (feeds.pop(), feeds.len()) {
            (Some(feed), 0) => Ok(feed),
            (None, _) => Err(FeedError::NotFed { service: service.clone() }),
            (Some(_), more) => {
                Err(FeedError::Several { service: service.clone(), count: more + 1 })
            }
        }
    }

    fn feed_from(&self, service: &AssetId, first: &Set, sets: Vec<AssetId>) -> Feed {
        let joins = self.joins();
        let lug = joins.lug_at.get(&first.from).and_then(|lug| self.switches.get(lug));
        let bus = lug.map(|l| if l.to == first.from { &l.from } else { &l.to });
        let units = bus.into_iter().chain([&first.from]).filter_map(|at| joins.unit_at.get(at));
        let transformer = units.min().and_then(|unit| self.transformers.get(unit));
        Feed {
            service: service.clone(),
            pad: first
                .pad
                .clone()
                .or_else(|| lug.and_then(|l| l.pad.clone()))
                .or_else(|| transformer.map(|t| t.pad.clone())),
            position: first.position.clone().or_else(|| lug.and_then(|l| l.position.clone())),
            lug: lug.map(|l| l.id.clone()),
            transformer: transformer.map(|t| t.id.clone()),
            sets,
        }
    }

    /// The sets that leave a pad, by lug position (numbers in their order), then by name.
    pub fn sets_of_pad(&self, pad: &AssetId) -> Vec<&Set> {
        self.named(self.joins().sets_of_pad.get(pad)).collect()
    }

    fn named<'a>(&'a self, sets: Option<&'a Vec<AssetId>>) -> impl Iterator<Item = &'a Set> {
        sets.into_iter().flatten().filter_map(|id| self.sets.get(id))
    }

    /// The services behind a set, through pedestals.
    pub fn services_of_set(&self, set: &AssetId) -> BTreeSet<AssetId> {
        let joins = self.joins();
        let mut services = BTreeSet::new();
        let mut walked = BTreeSet::new();
        let mut waiting: Vec<&Set> = self.sets.get(set).into_iter().collect();
        while let Some(at) = waiting.pop() {
            if walked.insert(at.id.clone()) {
                services.extend(joins.services_at.get(&at.to).into_iter().flatten().cloned());
                waiting.extend(self.named(joins.sets_from.get(&at.to)));
            }
        }
        services
    }

    /// The services a pad feeds by the record.
    pub fn services_of_pad(&self, pad: &AssetId) -> BTreeSet<AssetId> {
        self.sets_of_pad(pad).iter().flat_map(|s| self.services_of_set(&s.id)).collect()
    }

    /// The other services on the pads that feed this one.
    pub fn neighbours_of(&self, service: &AssetId) -> BTreeSet<AssetId> {
        let pads: BTreeSet<AssetId> =
            self.feeds_of(service).into_iter().filter_map(|f| f.pad).collect();
        let mut near: BTreeSet<AssetId> =
            pads.iter().flat_map(|pad| self.services_of_pad(pad)).collect();
        near.remove(service);
        near
    }

    /// The pads one primary cable away.
    pub fn next_pads(&self, pad: &AssetId) -> BTreeSet<AssetId> {
        let joins = self.joins();
        let nodes = joins.nodes_of_pad.get(pad).into_iter().flatten();
        let ends = nodes.filter_map(|node| joins.cable_ends.get(node)).flatten();
        let mut next: BTreeSet<AssetId> =
            ends.filter_map(|end| joins.pads_at.get(end)).flatten().cloned().collect();
        next.remove(pad);
        next
    }
}
