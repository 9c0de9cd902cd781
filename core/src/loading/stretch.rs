//! Stretches of one voltage: what is joined without a transformer in between.

use super::diversity_factor;
use crate::plant::{Plant, Service, VoltageSystem};
use crate::quantity::{NodeId, Power, Voltage};

/// One stretch.
#[derive(Debug, Clone, Copy, Default)]
struct Stretch {
    /// Ratings of the units that feed it, where it is a secondary.
    rating: Power,
    /// Its system, where it is a secondary.
    system: Option<VoltageSystem>,
    /// The lowest volts to ground the record has on it, where it is a primary.
    to_ground: Option<Voltage>,
    customers: u32,
}

/// The stretch of every node.
#[derive(Debug)]
pub(super) struct Stretches {
    of_node: Vec<usize>,
    stretches: Vec<Stretch>,
}

impl Stretches {
    /// The stretches of a plant over the edges that join within one voltage.
    pub(super) fn of(
        plant: &Plant,
        nodes: usize,
        edges: &[[usize; 2]],
        within: impl Fn(&usize) -> bool,
        number: impl Fn(&NodeId) -> usize,
    ) -> Self {
        let mut same = Same { of: (0..nodes).collect() };
        for edge in (0..edges.len()).filter(within) {
            if let Some(&[one, other]) = edges.get(edge) {
                same.join(one, other);
            }
        }
        let of_node: Vec<usize> = (0..nodes).map(|node| same.first(node)).collect();
        let mut all = Self { of_node, stretches: vec![Stretch::default(); nodes] };
        for source in plant.sources.values() {
            all.on_primary(number(&source.node), source.line_to_line / libm::sqrt(3.0));
        }
        for unit in plant.transformers.values() {
            let root = if unit.system.legs().len() > 2 { libm::sqrt(3.0) } else { 1.0 };
            all.on_primary(number(&unit.primary), unit.primary_voltage / root);
            if let Some(stretch) = all.mutably(number(&unit.secondary)) {
                stretch.rating += unit.rating;
                stretch.system = stretch.system.or(Some(unit.system));
            }
        }
        all
    }

    fn on_primary(&mut self, node: usize, to_ground: Voltage) {
        if let Some(stretch) = self.mutably(node) {
            let lowest = stretch.to_ground.map_or(to_ground, |known| known.min(to_ground));
            stretch.to_ground = Some(lowest);
        }
    }

    /// Counts a customer at their house.
    pub(super) fn count(&mut self, house: usize, service: &Service) {
        if let Some(stretch) = self.mutably(house) {
            stretch.customers = stretch.customers.saturating_add(1);
            stretch.system = stretch.system.or(Some(service.system));
        }
    }

    /// The peak of each customer of a stretch, where all its units are full at the peak hour and all
    /// its customers alike.
    pub(super) fn equal_peak(&self, node: usize) -> Power {
        let Some(stretch) = self.get(node) else { return Power::default() };
        let customers = stretch.customers.max(1);
        stretch.rating * diversity_factor(customers) / f64::from(customers)
    }

    /// The ratings together of the units that feed a stretch.
    pub(super) fn rating(&self, node: usize) -> Power {
        self.get(node).map_or_else(Power::default, |stretch| stretch.rating)
    }

    /// True for the secondary side of a unit, and for what hangs on none.
    pub(super) fn is_secondary(&self, node: usize) -> bool {
        self.system(node).is_some()
    }

    pub(super) fn system(&self, node: usize) -> Option<VoltageSystem> {
        self.get(node)?.system
    }

    /// Volts to ground of a primary.
    pub(super) fn to_ground(&self, node: usize) -> Option<Voltage> {
        self.get(node)?.to_ground
    }

    fn get(&self, node: usize) -> Option<&Stretch> {
        self.stretches.get(*self.of_node.get(node)?)
    }

    fn mutably(&mut self, node: usize) -> Option<&mut Stretch> {
        self.stretches.get_mut(*self.of_node.get(node)?)
    }
}

/// Which nodes are the same stretch: each points towards the first of its own.
struct Same {
    of: Vec<usize>,
}

impl Same {
    fn first(&mut self, node: usize) -> usize {
        let mut at = node;
        while let Some(&next) = self.of.get(at) {
            if next == at {
                break;
            }
            // Every second step is shortened, which keeps the ways short.
            let beyond = self.of.get(next).copied().unwrap_or(next);
            if let Some(entry) = self.of.get_mut(at) {
                *entry = beyond;
            }
            at = beyond;
        }
        at
    }

    fn join(&mut self, one: usize, other: usize) {
        let (a, b) = (self.first(one), self.first(other));
        if let Some(entry) = self.of.get_mut(a.max(b)) {
            *entry = a.min(b);
        }
    }
}
