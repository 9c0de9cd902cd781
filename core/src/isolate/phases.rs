//! Whether hands near a part of the primary are near one phase or several, by the record.

use std::{cell::RefCell, collections::BTreeMap, collections::BTreeSet};

use crate::plant::{
    Branch, BranchKind, Device, Network, Plant, Transformer, VoltageSystem::Split120_240,
};
use crate::quantity::{AssetId, NodeId};

/// What was found of the places that were asked for.
pub(super) struct Phases<'a> {
    plant: &'a Plant,
    network: &'a Network,
    /// None: no unit there tells.
    known: RefCell<BTreeMap<NodeId, Option<bool>>>,
}

impl<'a> Phases<'a> {
    pub(super) fn new(plant: &'a Plant, network: &'a Network) -> Self {
        Self { plant, network, known: RefCell::default() }
    }

    /// Whether more than one phase may be exposed at a branch. Unless the record says one, it is so.
    pub(super) fn several_at(&self, branch: &AssetId) -> bool {
        let branch = self.network.branch(branch);
        self.several(branch.into_iter().flat_map(|branch| [&branch.from, &branch.to]))
    }

    /// The same at some of these nodes.
    pub(super) fn several<'n>(&self, nodes: impl IntoIterator<Item = &'n NodeId>) -> bool {
        let told: BTreeSet<bool> = nodes.into_iter().filter_map(|node| self.told(node)).collect();
        told.contains(&true) || told.is_empty()
    }

    /// The same in the pad of some units, where their secondary is worked on.
    pub(super) fn several_in_pad_of(&self, units: &[&Transformer]) -> bool {
        units.is_empty() || self.several(units.iter().map(|unit| &unit.primary))
    }

    /// By the units on the same lateral: what cables, elbows and fuses join is of the same phases,
    /// while a cut-out or a switch may be where one phase leaves three.
    fn told(&self, node: &NodeId) -> Option<bool> {
        if let Some(known) = self.known.borrow().get(node) {
            return *known;
        }
        let passes = |branch: &Branch| {
            use BranchKind::{Cable, Opens};
            matches!(branch.kind, Cable | Opens(Device::Elbow | Device::BayonetFuse, _))
        };
        let reached = self.network.reach([node], passes);
        let units = self.plant.transformers.values();
        let units: Vec<_> = units.filter(|unit| reached.contains(&unit.primary)).collect();
        let told = (!units.is_empty()).then(|| several(&units));
        self.known.borrow_mut().extend(reached.into_iter().map(|node| (node, told)));
        told
    }
}

/// Whether units have more than one phase between them. A one-phase unit that does not say on which
/// phase it hangs is taken to hang on that of the others.
fn several(units: &[&Transformer]) -> bool {
    let phases = units.iter().filter_map(|unit| unit.phase.as_deref());
    let letters = phases.flat_map(str::chars).map(|letter| letter.to_ascii_uppercase());
    let phases: BTreeSet<char> = letters.filter(|l| ('A'..='C').contains(l)).collect();
    phases.len() > 1 || units.iter().any(|unit| unit.system != Split120_240)
}
