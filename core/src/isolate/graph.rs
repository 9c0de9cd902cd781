//! The bare question of an isolation: nodes, edges that open or do not, a zone, sources, customers.

use super::pickup::pick_ups;
use crate::plant::Device;

/// What opening an edge costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Price {
    /// Weight by contact and voltage; nothing for what is open already.
    pub(super) exposure: u32,
    /// Operations; nothing for what is open already.
    pub(super) operations: u32,
    /// By what means it opens.
    pub(super) device: Device,
}

impl Price {
    /// How many operations of it are a last resort.
    pub(super) fn last_resorts(self) -> u32 {
        if is_last_resort(self.device) { self.operations } else { 0 }
    }
}

/// Whether a device is operated only where nothing else does it as well for the customers.
///
/// Source: makers' sheets of bayonet fuses (not for routine disconnection, no visible break).
pub(super) const fn is_last_resort(device: Device) -> bool {
    matches!(device, Device::BayonetFuse)
}

/// What closing a loop point onto load costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Closing {
    /// Weight by contact and voltage.
    pub(super) exposure: u32,
    /// Operations.
    pub(super) operations: u32,
    /// How many of them are a last resort.
    pub(super) last_resorts: u32,
}

/// Two nodes joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Edge {
    pub(super) ends: [usize; 2],
    /// What opening it costs; none where it may not or cannot be opened.
    pub(super) price: Option<Price>,
    /// Whether it is open now.
    pub(super) open_now: bool,
    /// What closing it costs, where it is a loop point that may be closed onto load.
    pub(super) closing: Option<Closing>,
    /// The milliamps it is rated for; none where nothing is rated.
    pub(super) rated: Option<u64>,
    /// The milliamps that were read through it.
    pub(super) carries: Option<u64>,
}

/// An isolation's question. Nodes are numbered from 0.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Problem {
    pub(super) nodes: usize,
    pub(super) edges: Vec<Edge>,
    pub(super) zone: Vec<usize>,
    /// What supplies customers and must be kept from the zone.
    pub(super) feeders: Vec<usize>,
    /// What else must be kept from the zone.
    pub(super) other_sources: Vec<usize>,
    /// Where the customers are whose supply counts.
    pub(super) customers: Vec<usize>,
    /// Nodes where load hangs, with its milliamps by nameplate.
    pub(super) loads: Vec<(usize, u64)>,
}

/// What a set of openings costs, with the switching that brings customers back; smaller is better,
/// in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Cost {
    /// Customers who stay out after the pick-up.
    pub(super) customers_out: usize,
    /// Operations that are a last resort, whatever they expose to.
    pub(super) last_resorts: u32,
    pub(super) exposure: u32,
    pub(super) operations: u32,
}

impl Cost {
    /// True where the other is no worse in anything and better in something.
    pub(super) const fn is_dominated_by(self, other: Self) -> bool {
        let no_worse = other.customers_out <= self.customers_out
            && other.last_resorts <= self.last_resorts
            && other.exposure <= self.exposure
            && other.operations <= self.operations;
        let better = other.customers_out < self.customers_out
            || other.last_resorts < self.last_resorts
            || other.exposure < self.exposure
            || other.operations < self.operations;
        no_worse && better
    }
}

/// Which edges meet at each node: one list for all, so that a walk reads memory in a row.
pub(super) struct Meeting {
    /// Where the part of each node begins, and where the last ends.
    from: Vec<usize>,
    /// The edges at each node, each with the node at its other end.
    at: Vec<(usize, usize)>,
}

impl Problem {
    pub(super) fn meeting(&self) -> Meeting {
        let known = |node: usize| node < self.nodes;
        let ends = || {
            let each = self.edges.iter().enumerate().flat_map(|(number, edge)| {
                let [one, other] = edge.ends;
                [(one, (number, other)), (other, (number, one))]
            });
            each.filter(|&(node, _)| known(node))
        };
        let mut from = vec![0; self.nodes + 1];
        for (node, _) in ends() {
            if let Some(count) = from.get_mut(node + 1) {
                *count += 1;
            }
        }
        let mut sum = 0;
        for slot in &mut from {
            sum += *slot;
            *slot = sum;
        }
        let mut next = from.clone();
        let mut at = vec![(0, 0); sum];
        for (node, edge) in ends() {
            let Some(place) = next.get_mut(node) else { continue };
            if let Some(slot) = at.get_mut(*place) {
                *slot = edge;
            }
            *place += 1;
        }
        Meeting { from, at }
    }

    /// The customers that a feeder supplies now, with these edges open besides.
    pub(super) fn supplied(&self, meeting: &Meeting, open: &[usize]) -> Vec<bool> {
        let mut closed: Vec<bool> = self.edges.iter().map(|e| !e.open_now).collect();
        for &edge in open {
            set(&mut closed, edge, false);
        }
        let reached = meeting.reach(&self.feeders, |edge| is(&closed, edge));
        self.customers.iter().map(|&node| is(&reached, node)).collect()
    }

    /// True where no source reaches the zone with these edges open and every other one closed.
    #[cfg(test)]
    pub(super) fn separates(&self, meeting: &Meeting, open: &[usize]) -> bool {
        let mut closed = vec![true; self.edges.len()];
        for &edge in open {
            set(&mut closed, edge, false);
        }
        let reached = meeting.reach(&self.zone, |edge| is(&closed, edge));
        !self.feeders.iter().chain(&self.other_sources).any(|&s| is(&reached, s))
    }

    /// What the edges cost, the best pick-up for those supplied `before` counted in; and whether
    /// every pick-up was weighed.
    pub(super) fn cost(&self, meeting: &Meeting, before: &[bool], open: &[usize]) -> (Cost, bool) {
        let picked = pick_ups(self, meeting, before, open);
        let prices = || open.iter().filter_map(|&e| self.edges.get(e).and_then(|e| e.price));
        let cost = Cost {
            customers_out: picked.still_out,
            last_resorts: prices().map(Price::last_resorts).sum::<u32>() + picked.last_resorts,
            exposure: prices().map(|p| p.exposure).sum::<u32>() + picked.exposure,
            operations: prices().map(|p| p.operations).sum::<u32>() + picked.operations,
        };
        (cost, picked.complete)
    }
}

impl Meeting {
    /// How many nodes there are.
    pub(super) fn len(&self) -> usize {
        self.from.len() - 1
    }

    /// The edges at a node, each with the node at its other end.
    pub(super) fn at(&self, node: usize) -> &[(usize, usize)] {
        let end = |node: usize| self.from.get(node).copied();
        end(node)
            .zip(end(node.saturating_add(1)))
            .and_then(|(from, to)| self.at.get(from..to))
            .unwrap_or(&[])
    }

    /// Which nodes can be reached over the edges that `passes` lets through.
    pub(super) fn reach(&self, starts: &[usize], passes: impl Fn(usize) -> bool) -> Vec<bool> {
        let mut seen = vec![false; self.len()];
        let mut waiting: Vec<usize> = Vec::new();
        for &start in starts {
            if !is(&seen, start) {
                set(&mut seen, start, true);
                waiting.push(start);
            }
        }
        while let Some(node) = waiting.pop() {
            for &(edge, far) in self.at(node) {
                if !is(&seen, far) && passes(edge) {
                    set(&mut seen, far, true);
                    waiting.push(far);
                }
            }
        }
        seen
    }
}

/// A flag; false beyond the end.
pub(super) fn is(flags: &[bool], at: usize) -> bool {
    flags.get(at).copied().unwrap_or(false)
}

/// Sets a flag; nothing beyond the end.
pub(super) fn set(flags: &mut [bool], at: usize, value: bool) {
    if let Some(flag) = flags.get_mut(at) {
        *flag = value;
    }
}
