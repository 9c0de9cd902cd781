//! What meets at which node and what is in which pad: the record read once, for every question
//! that starts from a node or a pad.

use std::collections::{BTreeMap, BTreeSet};

use super::feature::{Device, Features, Set};
use crate::quantity::{AssetId, NodeId};

/// Names by node and by pad, each list in the order of names unless it says otherwise.
#[derive(Debug, Default)]
pub(super) struct Joins {
    pub(super) sets_to: BTreeMap<NodeId, Vec<AssetId>>,
    pub(super) sets_from: BTreeMap<NodeId, Vec<AssetId>>,
    /// By lug position, numbers in their order, then by name.
    pub(super) sets_of_pad: BTreeMap<AssetId, Vec<AssetId>>,
    pub(super) services_at: BTreeMap<NodeId, Vec<AssetId>>,
    pub(super) pedestals_at: BTreeSet<NodeId>,
    /// The first lug pair that ends at a node.
    pub(super) lug_at: BTreeMap<NodeId, AssetId>,
    /// The first transformer whose secondary is a node.
    pub(super) unit_at: BTreeMap<NodeId, AssetId>,
    /// The pads that something in them joins to a node.
    pub(super) pads_at: BTreeMap<NodeId, BTreeSet<AssetId>>,
    pub(super) nodes_of_pad: BTreeMap<AssetId, BTreeSet<NodeId>>,
    /// The far ends of the primary cables at a node.
    pub(super) cable_ends: BTreeMap<NodeId, BTreeSet<NodeId>>,
}

impl Joins {
    /// The joins of a record.
    pub(super) fn of(features: &Features) -> Self {
        let mut joins = Self::default();
        for set in features.sets.values() {
            joins.sets_to.entry(set.to.clone()).or_default().push(set.id.clone());
            joins.sets_from.entry(set.from.clone()).or_default().push(set.id.clone());
            if let Some(pad) = &set.pad {
                joins.sets_of_pad.entry(pad.clone()).or_default().push(set.id.clone());
            }
        }
        for sets in joins.sets_of_pad.values_mut() {
            sets.sort_by_cached_key(|id| features.sets.get(id).map(by_position));
        }
        for service in features.services.values() {
            joins.services_at.entry(service.node.clone()).or_default().push(service.id.clone());
        }
        joins.pedestals_at = features.pedestals.values().map(|p| p.node.clone()).collect();
        for switch in features.switches.values() {
            let ends = [&switch.from, &switch.to];
            if switch.device == Device::LugPair {
                for node in ends {
                    joins.lug_at.entry(node.clone()).or_insert_with(|| switch.id.clone());
                }
            }
            if let Some(pad) = &switch.pad {
                for node in ends {
                    joins.put(pad, node);
                }
            }
        }
        for unit in features.transformers.values() {
            joins.unit_at.entry(unit.secondary.clone()).or_insert_with(|| unit.id.clone());
            joins.put(&unit.pad, &unit.primary);
        }
        for cable in features.cables.values() {
            let mut end = |at: &NodeId, far: &NodeId| {
                joins.cable_ends.entry(at.clone()).or_default().insert(far.clone());
            };
            end(&cable.from, &cable.to);
            end(&cable.to, &cable.from);
        }
        joins
    }

    fn put(&mut self, pad: &AssetId, node: &NodeId) {
        self.pads_at.entry(node.clone()).or_default().insert(pad.clone());
        self.nodes_of_pad.entry(pad.clone()).or_default().insert(node.clone());
    }
}

fn by_position(set: &Set) -> (u32, Option<String>, AssetId) {
    let number = set.position.as_deref().and_then(|position| position.parse().ok());
    (number.unwrap_or(u32::MAX), set.position.clone(), set.id.clone())
}

#[cfg(test)]
mod tests;
