//! The network by numbers, so that walks over a whole map sheet compare no names.

use std::collections::{BTreeMap, VecDeque};

use crate::plant::{Branch, Network};
use crate::quantity::NodeId;

/// One yes or no a number.
#[derive(Debug, Clone)]
pub(super) struct Flags(Vec<bool>);

impl Flags {
    pub(super) fn none(count: usize) -> Self {
        Self(vec![false; count])
    }

    pub(super) fn has(&self, number: usize) -> bool {
        self.0.get(number).copied().unwrap_or(false)
    }

    pub(super) fn put(&mut self, number: usize, yes: bool) {
        if let Some(flag) = self.0.get_mut(number) {
            *flag = yes;
        }
    }

    pub(super) fn all(&self) -> impl Iterator<Item = usize> {
        self.0.iter().enumerate().filter(|&(_, &yes)| yes).map(|(number, _)| number)
    }
}

/// A branch and the numbers of its ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strand<'a> {
    pub(super) branch: &'a Branch,
    pub(super) ends: [usize; 2],
}

/// Nodes and branches by number, both in the order of their names.
#[derive(Debug)]
pub(super) struct Web<'a> {
    names: Vec<&'a NodeId>,
    numbers: BTreeMap<&'a NodeId, usize>,
    strands: Vec<Strand<'a>>,
    at: Vec<Vec<usize>>,
}

impl<'a> Web<'a> {
    pub(super) fn of(network: &'a Network) -> Self {
        let names: Vec<&NodeId> = network.nodes().collect();
        let numbers: BTreeMap<&NodeId, usize> =
            names.iter().enumerate().map(|(number, &name)| (name, number)).collect();
        let mut at = vec![Vec::new(); names.len()];
        let mut strands = Vec::new();
        for branch in network.branches() {
            let (Some(&from), Some(&to)) = (numbers.get(&branch.from), numbers.get(&branch.to))
            else {
                continue;
            };
            for end in [from, to] {
                if let Some(list) = at.get_mut(end) {
                    list.push(strands.len());
                }
            }
            strands.push(Strand { branch, ends: [from, to] });
        }
        Self { names, numbers, strands, at }
    }

    pub(super) const fn nodes(&self) -> usize {
        self.names.len()
    }

    pub(super) const fn edges(&self) -> usize {
        self.strands.len()
    }

    pub(super) fn name(&self, node: usize) -> Option<&'a NodeId> {
        self.names.get(node).copied()
    }

    pub(super) fn number(&self, node: &NodeId) -> Option<usize> {
        self.numbers.get(node).copied()
    }

    pub(super) fn strand(&self, edge: usize) -> Option<Strand<'a>> {
        self.strands.get(edge).copied()
    }

    pub(super) fn branch(&self, edge: usize) -> Option<&'a Branch> {
        self.strand(edge).map(|s| s.branch)
    }

    /// The edges at a node, by name.
    pub(super) fn at(&self, node: usize) -> &[usize] {
        self.at.get(node).map_or(&[], Vec::as_slice)
    }

    /// The other end of an edge.
    pub(super) fn far(&self, edge: usize, node: usize) -> usize {
        match self.strand(edge).map(|s| s.ends) {
            Some([from, to]) if from == node => to,
            Some([from, _]) => from,
            None => node,
        }
    }

    /// What is reached from the starts over edges that pass, and by which edge each was come to.
    pub(super) fn walk(
        &self,
        starts: impl IntoIterator<Item = usize>,
        passes: impl Fn(usize) -> bool,
    ) -> Walk {
        let mut walk = Walk { reached: Flags::none(self.nodes()), by: BTreeMap::new() };
        let mut waiting = VecDeque::new();
        for start in starts {
            if !walk.reached.has(start) {
                walk.reached.put(start, true);
                waiting.push_back(start);
            }
        }
        while let Some(node) = waiting.pop_front() {
            for &edge in self.at(node).iter().filter(|&&edge| passes(edge)) {
                let far = self.far(edge, node);
                if !walk.reached.has(far) {
                    walk.reached.put(far, true);
                    walk.by.insert(far, (edge, node));
                    waiting.push_back(far);
                }
            }
        }
        walk
    }
}

/// A walk from some starts, nearest first.
#[derive(Debug)]
pub(super) struct Walk {
    pub(super) reached: Flags,
    /// The edge a node was come to by, and from where; none for the starts.
    pub(super) by: BTreeMap<usize, (usize, usize)>,
}

impl Walk {
    /// The edges and nodes from a node back to its start, in that order.
    pub(super) fn back(&self, mut node: usize) -> Vec<(usize, usize)> {
        let mut way = Vec::new();
        while let Some(&(edge, before)) = self.by.get(&node) {
            way.push((edge, before));
            node = before;
        }
        way
    }
}
