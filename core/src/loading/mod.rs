//! Amps to be expected through each opening, for the load-break rating of what opens it.
//!
//! Nobody has read them: they follow from what the record says of loads, and each answer says from
//! what ([`Basis`]). The model, for what is supplied as the switches stand:
//!
//! - A customer's own peak is the one on the record. Without it the transformer is taken to be full
//!   at its peak hour, and its customers to have equal peaks.
//! - The peaks of N customers do not fall together: N of them draw the sum of their peaks over
//!   [`diversity_factor`] of N. That is `likely`.
//! - `most` takes no diversity: ahead of transformers every one behind is full (common practice, no
//!   source; in a cold night they may be fuller still), behind them every meter base carries its
//!   rating. Where the customers' own sources can feed back more than that, it is theirs.
//! - One-phase units whose phase is not on the record are taken to hang on one phase together.
//! - Within a mesh the shares cannot be known without a study: there is no `likely`, and `most` is all
//!   that the mesh supplies.
//!
//! Below `most` a device breaks what it may meet; above `likely` it should not be tried; between the
//! two somebody reads the amps first. A reading at the place always goes before all of this.

mod behind;
mod diversity;
mod stretch;
mod tree;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

pub use diversity::diversity_factor;

use self::{
    behind::{Behind, Load},
    stretch::Stretches,
    tree::Tree,
};
use crate::plant::{Branch, BranchKind, Network, Plant, SwitchStates, derived};
use crate::quantity::{AssetId, Current, IdError, NodeId, Power, Voltage, amps};

/// What an expectation rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// It stands open: nothing flows.
    Open,
    /// The peaks on the record, of every customer behind it.
    Recorded,
    /// Ratings of transformers, for some customer or all.
    Nameplate,
}

/// Amps to be expected through a branch, on its fullest conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// At the peak hour, with diversity; none within a mesh.
    pub likely: Option<Current>,
    /// Without diversity.
    pub most: Current,
    /// What it rests on.
    pub basis: Basis,
    /// Customers behind it, or supplied by its mesh.
    pub customers: u32,
    /// How many of its conductors carry load, as far as the record tells; at least one.
    pub conductors: u32,
}

impl Basis {
    /// Where the model and its numbers come from, as it is shown beside the amps.
    pub const fn source(self) -> &'static str {
        match self {
            Self::Open => "the switch states given",
            Self::Recorded => "metered peaks on the map record; diversity: Kersting (from memory)",
            Self::Nameplate => {
                "transformer ratings, full at the peak hour (common practice, no source); diversity: \
                 Kersting (from memory)"
            }
        }
    }
}

/// The expected amps of a whole plant as its switches stand.
#[derive(Debug)]
pub struct ExpectedAmps<'a> {
    plant: &'a Plant,
    states: &'a SwitchStates,
    branches: BTreeMap<&'a AssetId, (usize, &'a Branch)>,
    stretches: Stretches,
    tree: Tree,
    behind: Vec<Behind>,
    /// All that the feeders supply together.
    all: Behind,
}

/// The expected amps through one branch; none where it is not on the sheet, or no feeder reaches it.
///
/// For many branches of one plant make a [`ExpectedAmps`] once.
pub fn expected_amps(
    plant: &Plant,
    branch: &AssetId,
    states: &SwitchStates,
) -> Result<Option<Expected>, IdError> {
    let network = Network::of(plant)?;
    Ok(ExpectedAmps::of(plant, &network, states)?.through(branch))
}

impl<'a> ExpectedAmps<'a> {
    /// Works out what every branch carries; time grows as the network.
    pub fn of(
        plant: &'a Plant,
        network: &'a Network,
        states: &'a SwitchStates,
    ) -> Result<Self, IdError> {
        let numbers: BTreeMap<&NodeId, usize> =
            network.nodes().enumerate().map(|(number, node)| (node, number)).collect();
        let number = |node: &NodeId| numbers.get(node).copied().unwrap_or(usize::MAX);
        let branches: Vec<&Branch> = network.branches().collect();
        let edges: Vec<[usize; 2]> =
            branches.iter().map(|b| [number(&b.from), number(&b.to)]).collect();
        let closed = |edge: &usize| branches.get(*edge).is_some_and(|b| !b.is_open(states));
        let within = |edge: &usize| {
            closed(edge) && branches.get(*edge).is_some_and(|b| b.kind != BranchKind::Transformer)
        };
        let mut stretches = Stretches::of(plant, numbers.len(), &edges, within, number);
        let mut at: Vec<Behind> = vec![Behind::default(); numbers.len()];
        let mut houses = Vec::new();
        for service in plant.services.values() {
            let house = number(&derived::house_node(&service.id)?);
            stretches.count(house, service);
            houses.push((house, service));
            for (own, source) in service.sources.iter().enumerate() {
                let end = number(&derived::source_node(&service.id, own + 1)?);
                if let Some(at) = at.get_mut(end).filter(|_| !source.transfer_switch) {
                    at.loose.own += source.power;
                }
            }
        }
        for (house, service) in houses {
            if let Some(at) = at.get_mut(house) {
                *at = *at + Behind::customer(service, stretches.equal_peak(house));
            }
        }
        let feeders = plant.sources.values().map(|source| number(&source.node));
        let tree = Tree::of(numbers.len(), &edges, closed, feeders);
        for (node, above, edge) in tree.upwards() {
            let Some(&here) = at.get(node) else { continue };
            let unit = branches.get(edge).and_then(|b| plant.transformers.get(&b.id));
            let carried = match unit {
                Some(unit) if stretches.is_secondary(node) => {
                    here.through(unit, stretches.rating(node))
                }
                Some(_) => here.backwards(),
                None => here,
            };
            if let Some(above) = at.get_mut(above) {
                *above = *above + carried;
            }
        }
        let branches = branches.into_iter().enumerate().map(|(edge, b)| (&b.id, (edge, b)));
        let branches = branches.collect();
        let all = tree.starts().filter_map(|node| at.get(node)).copied().sum();
        Ok(Self { plant, states, branches, stretches, tree, behind: at, all })
    }

    /// The expected amps through a branch; none where it is not on the sheet, or no feeder reaches it.
    pub fn through(&self, branch: &AssetId) -> Option<Expected> {
        let &(edge, branch) = self.branches.get(branch)?;
        if branch.is_open(self.states) {
            let none = amps(0.0);
            let basis = Basis::Open;
            return Some(Expected {
                likely: Some(none),
                most: none,
                basis,
                customers: 0,
                conductors: 1,
            });
        }
        let (top, meshed) = self.tree.beyond(edge)?;
        let behind = match top {
            Some(node) => *self.behind.get(node)?,
            None => self.all,
        };
        let side = self.tree.below(edge)?;
        let total = behind.total();
        let (likely, most, conductors) = if self.stretches.is_secondary(side) {
            let system = self.stretches.system(side)?;
            let leg = |power| behind::leg_amps(power, system);
            let likely = leg(total.likely());
            let most = likely.max(behind.bases).max(leg(total.plates)).max(leg(total.own));
            (likely, most, u32::try_from(system.legs().len()).unwrap_or(u32::MAX))
        } else {
            let switch = self.plant.switches.get(&branch.id);
            let recorded = switch.and_then(|s| s.voltage);
            let to_ground: Voltage = recorded.or_else(|| self.stretches.to_ground(side))?;
            let fullest = |of: fn(&Load) -> Power| behind.fullest(of) / to_ground;
            let likely = fullest(Load::likely);
            let most = likely.max(fullest(|l| l.plates)).max(fullest(|l| l.own));
            (likely, most, behind.phases_seen.count_ones())
        };
        Some(Expected {
            likely: (!meshed).then_some(likely),
            most,
            basis: if behind.unrecorded == 0 { Basis::Recorded } else { Basis::Nameplate },
            customers: behind.customers,
            conductors: conductors.max(1),
        })
    }
}
