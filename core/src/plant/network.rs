//! The network the record describes: named nodes joined by branches, some of which open.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    feature::{Device, Normally},
    indexed::Plant,
};
use crate::quantity::{AssetId, IdError, NodeId};

/// Whether a switch stands open or closed now.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SwitchState {
    /// Open: nothing flows through it.
    Open,
    /// Closed.
    Closed,
}

/// Switches that do not stand as they normally do, by branch name.
pub type SwitchStates = BTreeMap<AssetId, SwitchState>;

/// What joins two nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BranchKind {
    /// Something that opens, and its normal state.
    Opens(Device, Normally),
    /// A primary cable.
    Cable,
    /// A transformer; it joins two voltages and carries supply and backfeed alike.
    Transformer,
    /// A secondary cable set.
    Set,
    /// The straight connection at a service without a meter.
    Unmetered,
}

/// What a branch of the network is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Branch {
    /// Name of the switch, cable, transformer or set, or a derived name such as `V014/meter`.
    pub id: AssetId,
    /// One end.
    pub from: NodeId,
    /// The other end.
    pub to: NodeId,
    /// What it is.
    pub kind: BranchKind,
}

/// The names of what is derived from a service. Each fails only for a service whose name is so long
/// that the derived one is no name any more; the map sheet's own limit of 40 characters rules it out.
pub mod derived {
    use crate::quantity::{AssetId, IdError, NodeId};

    /// The branch through the meter: `V014/meter`, from the service's node to its load side.
    pub fn meter(service: &AssetId) -> Result<AssetId, IdError> {
        AssetId::new(format!("{service}/meter"))
    }

    /// The branch through the customer's disconnect: `V014/main`, from load side to house.
    pub fn main(service: &AssetId) -> Result<AssetId, IdError> {
        AssetId::new(format!("{service}/main"))
    }

    /// The disconnect of the customer's own source, counted from 1: `V014/source-1`. It hangs on the
    /// load side of the base, ahead of the main, since such a connection is allowed and common.
    pub fn source(service: &AssetId, number: usize) -> Result<AssetId, IdError> {
        AssetId::new(format!("{service}/source-{number}"))
    }

    /// The load side of the meter base: `V014:load`.
    pub fn load_node(service: &AssetId) -> Result<NodeId, IdError> {
        NodeId::new(format!("{service}:load"))
    }

    /// Behind the customer's disconnect: `V014:house`. A source nobody told of hangs here.
    pub fn house_node(service: &AssetId) -> Result<NodeId, IdError> {
        NodeId::new(format!("{service}:house"))
    }

    /// Where the customer's own source feeds in: `V014:source-1`.
    pub fn source_node(service: &AssetId, number: usize) -> Result<NodeId, IdError> {
        NodeId::new(format!("{service}:source-{number}"))
    }
}

/// Every branch of a plant, its own and the derived ones, and what meets at each node.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Network {
    branches: BTreeMap<AssetId, Branch>,
    at_node: BTreeMap<NodeId, BTreeSet<AssetId>>,
}

impl Network {
    /// The network of a plant.
    pub fn of(plant: &Plant) -> Result<Self, IdError> {
        let mut network = Self::default();
        for s in plant.switches.values() {
            let kind = BranchKind::Opens(s.device, s.normally);
            network.join(&s.id, &s.from, &s.to, kind);
        }
        for c in plant.cables.values() {
            network.join(&c.id, &c.from, &c.to, BranchKind::Cable);
        }
        for t in plant.transformers.values() {
            network.join(&t.id, &t.primary, &t.secondary, BranchKind::Transformer);
        }
        for s in plant.sets.values() {
            network.join(&s.id, &s.from, &s.to, BranchKind::Set);
        }
        for service in plant.services.values() {
            let id = &service.id;
            let load = derived::load_node(id)?;
            let closed = |device| BranchKind::Opens(device, Normally::Closed);
            let meter = if service.meters.is_empty() {
                BranchKind::Unmetered
            } else {
                closed(Device::Meter)
            };
            network.join(&derived::meter(id)?, &service.node, &load, meter);
            let house = derived::house_node(id)?;
            network.join(&derived::main(id)?, &load, &house, closed(Device::Main));
            for number in 1..=service.sources.len() {
                let branch = derived::source(id, number)?;
                let end = derived::source_node(id, number)?;
                network.join(&branch, &load, &end, closed(Device::SourceDisconnect));
            }
        }
        Ok(network)
    }

    /// Adds a branch; one of the same name is replaced.
    pub fn join(&mut self, id: &AssetId, from: &NodeId, to: &NodeId, kind: BranchKind) {
        self.at_node.entry(from.clone()).or_default().insert(id.clone());
        self.at_node.entry(to.clone()).or_default().insert(id.clone());
        let branch = Branch { id: id.clone(), from: from.clone(), to: to.clone(), kind };
        self.branches.insert(id.clone(), branch);
    }

    /// The branch of that name.
    pub fn branch(&self, id: &AssetId) -> Option<&Branch> {
        self.branches.get(id)
    }

    /// Every branch, by name.
    pub fn branches(&self) -> impl Iterator<Item = &Branch> {
        self.branches.values()
    }

    /// Every node, by name.
    pub fn nodes(&self) -> impl Iterator<Item = &NodeId> {
        self.at_node.keys()
    }

    /// True where some branch ends at the node.
    pub fn has_node(&self, node: &NodeId) -> bool {
        self.at_node.contains_key(node)
    }

    /// The branches that meet at a node, by name.
    pub fn at(&self, node: &NodeId) -> impl Iterator<Item = &Branch> {
        self.at_node.get(node).into_iter().flatten().filter_map(|id| self.branches.get(id))
    }

    /// Every node that can be reached from the given ones over branches that `passes` lets through,
    /// the given ones included.
    pub fn reach<'a>(
        &self,
        starts: impl IntoIterator<Item = &'a NodeId>,
        passes: impl Fn(&Branch) -> bool,
    ) -> BTreeSet<NodeId> {
        let mut seen: BTreeSet<NodeId> = starts.into_iter().cloned().collect();
        let mut waiting: VecDeque<NodeId> = seen.iter().cloned().collect();
        while let Some(node) = waiting.pop_front() {
            for branch in self.at(&node).filter(|b| passes(b)) {
                let far = branch.far_end(&node);
                if seen.insert(far.clone()) {
                    waiting.push_back(far.clone());
                }
            }
        }
        seen
    }

    /// The branches of one shortest way from a start to a goal over branches that `passes` lets
    /// through, in order from the start; none where there is no way. Ties break by name.
    pub fn way<'a>(
        &self,
        starts: impl IntoIterator<Item = &'a NodeId>,
        goals: &BTreeSet<NodeId>,
        passes: impl Fn(&Branch) -> bool,
    ) -> Option<Vec<AssetId>> {
        let mut came: BTreeMap<NodeId, Option<(NodeId, AssetId)>> =
            starts.into_iter().map(|n| (n.clone(), None)).collect();
        let mut waiting: VecDeque<NodeId> = came.keys().cloned().collect();
        while let Some(node) = waiting.pop_front() {
            if goals.contains(&node) {
                let mut way = Vec::new();
                let mut at = node;
                while let Some(Some((before, by))) = came.get(&at).cloned() {
                    way.push(by);
                    at = before;
                }
                way.reverse();
                return Some(way);
            }
            for branch in self.at(&node).filter(|b| passes(b)) {
                let far = branch.far_end(&node);
                if !came.contains_key(far) {
                    came.insert(far.clone(), Some((node.clone(), branch.id.clone())));
                    waiting.push_back(far.clone());
                }
            }
        }
        None
    }
}

impl Branch {
    /// The end that is not `node`; for a branch that does not end there, its `from`.
    pub fn far_end(&self, node: &NodeId) -> &NodeId {
        if &self.from == node { &self.to } else { &self.from }
    }

    /// The device that opens it; none where nothing does.
    pub const fn device(&self) -> Option<Device> {
        match self.kind {
            BranchKind::Opens(device, _) => Some(device),
            _ => None,
        }
    }

    /// Whether it stands open now: by `states` where it is named there, else by its normal state.
    pub fn is_open(&self, states: &SwitchStates) -> bool {
        match (self.kind, states.get(&self.id)) {
            (BranchKind::Opens(..), Some(state)) => *state == SwitchState::Open,
            (BranchKind::Opens(_, normally), None) => normally == Normally::Open,
            _ => false,
        }
    }
}
