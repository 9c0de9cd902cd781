//! The drawn part of the network as a tree: from the feeder that supplies the zone down the main
//! way, every other way hanging off it. Where ways meet again, the second one ends in a pointer.

use std::collections::{BTreeMap, BTreeSet};

use super::fact::{Facts, Status};
use super::fold::folded;
use super::shown::{Shown, is_lug_of_target};
use crate::quantity::AssetId;

/// One thing on a rail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Part {
    /// A branch, walked from one node to the other.
    Edge { edge: usize, from: usize, to: usize },
    /// A node.
    Node(usize),
    /// Joins a node that is drawn elsewhere.
    To(usize),
    /// Pads that only pass supply on.
    Pads { pads: Vec<AssetId>, status: Status, own: usize, ways: usize },
    /// What there was no room for: how many parts, and which openings and feeders are among them.
    Beyond { parts: usize, numbers: Vec<usize>, feeders: Vec<AssetId>, status: Status },
}

/// Parts one after the other, and what they branch into at the end.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Run {
    pub(super) parts: Vec<Part>,
    pub(super) then: Vec<Run>,
}

impl Run {
    /// Every part of it and of what it branches into.
    pub(super) fn all(&self) -> Vec<&Part> {
        let mut all: Vec<&Part> = self.parts.iter().collect();
        all.extend(self.then.iter().flat_map(Run::all));
        all
    }
}

/// How many ways beside the main one are out of sight at a node.
pub(super) type Beside = BTreeMap<usize, usize>;

/// The tree, and what is out of sight beside it.
pub(super) fn tree(facts: &Facts<'_>, shown: &Shown) -> (Run, Beside) {
    let (root, main) = main_way(facts, shown);
    let mut walker = Walker {
        facts,
        shown,
        reserved: main.iter().map(|&(node, _)| node).collect(),
        main: main.into_iter().collect(),
        seen: BTreeSet::new(),
        used: BTreeSet::new(),
        beside: Beside::new(),
    };
    let Some(root) = root else { return (Run::default(), walker.beside) };
    let run = walker.from(root, Vec::new());
    (folded(facts, shown, &walker.beside, run), walker.beside)
}

/// The feeder that supplies the zone and, for each node of the way, the edge that leads on. Without
/// a feeder the drawing begins in the zone.
fn main_way(facts: &Facts<'_>, shown: &Shown) -> (Option<usize>, Vec<(usize, usize)>) {
    let normally = |edge: usize| shown.edges.has(edge) && !facts.is_open_normally(edge);
    for any in [false, true] {
        let walk = facts.web.walk(facts.zone.all(), |edge| {
            if any { shown.edges.has(edge) } else { normally(edge) }
        });
        let reached = facts.feeders.keys().filter(|&&node| walk.reached.has(node));
        let ways = reached.map(|&node| (walk.back(node), node));
        if let Some((way, root)) = ways.min_by_key(|(way, node)| (way.len(), *node)) {
            let nodes = std::iter::once(root).chain(way.iter().map(|&(_, node)| node));
            return (Some(root), nodes.zip(way.iter().map(|&(edge, _)| edge)).collect());
        }
    }
    (facts.zone.all().next(), Vec::new())
}

struct Walker<'a> {
    facts: &'a Facts<'a>,
    shown: &'a Shown,
    /// Nodes that only the main way may come to.
    reserved: BTreeSet<usize>,
    main: BTreeMap<usize, usize>,
    seen: BTreeSet<usize>,
    used: BTreeSet<usize>,
    beside: Beside,
}

impl Walker<'_> {
    /// The tree from a node on, after the parts that led to it.
    fn from(&mut self, mut at: usize, mut parts: Vec<Part>) -> Run {
        loop {
            self.seen.insert(at);
            parts.push(Part::Node(at));
            let onward = self.onward(at);
            let mut then = Vec::new();
            let only = onward.len() == 1;
            let mut next = None;
            for edge in onward {
                if !self.used.insert(edge) {
                    continue;
                }
                let far = self.facts.web.far(edge, at);
                let part = Part::Edge { edge, from: at, to: far };
                if self.is_elsewhere(at, edge, far) {
                    then.push(Run { parts: vec![part, Part::To(far)], then: Vec::new() });
                } else if only {
                    next = Some((part, far));
                } else {
                    let child = self.from(far, vec![part]);
                    then.push(child);
                }
            }
            if let Some((part, far)) = next {
                parts.push(part);
                at = far;
                continue;
            }
            let count = then.len();
            if !self.is_whole(at) {
                let quiet = |run: &Run| run.all().iter().all(|part| self.is_quiet(part));
                // Where every way is quiet, the first one says where this one ends.
                let all = then.iter().all(quiet);
                let mut first = all;
                then.retain(|child| std::mem::take(&mut first) || (!all && !quiet(child)));
            }
            if then.len() < count {
                *self.beside.entry(at).or_insert(0) += count - then.len();
            }
            if then.len() == 1
                && let Some(child) = then.pop()
            {
                parts.extend(child.parts);
                then = child.then;
            }
            return Run { parts, then };
        }
    }

    /// Whether an edge leads to what is drawn in another place.
    fn is_elsewhere(&self, at: usize, edge: usize, far: usize) -> bool {
        let main = self.main.get(&at) == Some(&edge);
        self.seen.contains(&far) || (self.reserved.contains(&far) && !main)
    }

    /// Whether everything at a node is drawn: in the target's pads, where a crew stands.
    fn is_whole(&self, node: usize) -> bool {
        self.facts.pad_of_node(node).is_some_and(|pad| self.facts.pads.contains(pad))
    }

    /// The edges that lead on: the main way and what lies in the zone first, lugs by their position,
    /// the others by name.
    fn onward(&self, node: usize) -> Vec<usize> {
        let edges = self.facts.web.at(node).iter().copied();
        let mut onward: Vec<usize> =
            edges.filter(|edge| self.shown.edges.has(*edge) && !self.used.contains(edge)).collect();
        onward.sort_by_cached_key(|&edge| {
            if is_lug_of_target(self.facts, edge) {
                let lug = self.facts.web.branch(edge).and_then(|b| self.facts.switch(b));
                let position = lug.and_then(|l| l.position.clone()).unwrap_or_default();
                (1, position.parse().unwrap_or(u32::MAX), position, edge)
            } else {
                let inside = [node, self.facts.web.far(edge, node)];
                let first = self.main.get(&node) == Some(&edge)
                    || inside.into_iter().all(|end| self.facts.zone.has(end));
                (if first { 0 } else { 2 }, 0, String::new(), edge)
            }
        });
        onward
    }

    fn is_quiet(&self, part: &Part) -> bool {
        is_quiet(self.facts, part)
    }
}

/// Whether a part has no say in what is opened here: closed, unnumbered, without a feeder, out of
/// the zone and of the target's pads, and nothing is on it.
pub(super) fn is_quiet(facts: &Facts<'_>, part: &Part) -> bool {
    match part {
        Part::Edge { edge, from, to } => {
            let Some(branch) = facts.web.branch(*edge) else { return false };
            facts.is_at_rest(branch)
                && !Facts::is_derived(branch)
                && facts.pad_of(branch).is_none_or(|pad| !facts.pads.contains(pad))
                && !(facts.zone.has(*from) && facts.zone.has(*to))
        }
        Part::Node(node) => {
            let pad = facts.pad_of_node(*node);
            let opened_up =
                facts.services.get(node).is_some_and(|s| facts.opened_up.contains(&s.id));
            !facts.zone.has(*node)
                && !facts.feeders.contains_key(node)
                && !facts.is_marked(*node)
                && !opened_up
                && pad.is_none_or(|pad| !facts.pads.contains(pad))
        }
        Part::To(_) | Part::Pads { .. } => true,
        Part::Beyond { numbers, feeders, .. } => numbers.is_empty() && feeders.is_empty(),
    }
}
