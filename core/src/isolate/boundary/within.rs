//! What is left to be opened inside a cut towards the feeders: the cheapest way to part the zone from
//! the other sources, and which edges are then needed at all.

use std::collections::{BTreeMap, BTreeSet};

use super::Search;
use crate::isolate::cut::{UNCUT, cheapest_cut};
use crate::isolate::graph::{Cost, Edge, Meeting, Problem, is, set};
use crate::isolate::trunk::{Hung, weight};
use crate::plant::Device;

/// A cut with what parts the other sources.
pub(super) struct Completed {
    /// Edges of the whole problem, in order; each is needed.
    pub(super) edges: Vec<usize>,
    /// By what means they part the zone from the feeders.
    pub(super) means: Vec<Device>,
    /// They cost no less than this.
    pub(super) least: Cost,
    /// The trunk was cut again for the other sources.
    pub(super) used_trunk: bool,
}

/// The inside of a cut: nodes and edges with numbers of their own.
pub(super) struct Within<'a> {
    search: &'a Search<'a>,
    /// The trunk's nodes inside, in order: their places are their numbers here.
    inside: &'a [usize],
    /// The edges of the cut, each with its inner end.
    cut: Vec<(usize, usize)>,
    /// The trunk's edges inside, in order.
    edges: Vec<usize>,
    /// The network inside, with one node more that stands for all other sources, and an edge to it
    /// from every node where some hang.
    problem: Problem,
    meeting: Meeting,
    hung: Vec<(usize, &'a Hung)>,
}

impl<'a> Within<'a> {
    pub(super) fn new(search: &'a Search<'a>, inside: &'a [usize], cut: &[(usize, usize)]) -> Self {
        let here = |node: usize| inside.binary_search(&node).ok();
        let mut edges = BTreeSet::new();
        for &node in inside {
            let at = search.trunk_meeting.at(node).iter();
            edges.extend(at.filter(|(_, far)| here(*far).is_some()).map(|(edge, _)| *edge));
        }
        let edges: Vec<usize> = edges.into_iter().collect();
        let of_trunk = &search.trunk.problem;
        let zone = of_trunk.zone.iter().filter_map(|&node| here(node)).collect();
        let mut problem = Problem {
            nodes: inside.len() + 1,
            zone,
            other_sources: vec![inside.len()],
            ..Problem::default()
        };
        for edge in edges.iter().filter_map(|&edge| of_trunk.edges.get(edge)) {
            let ends = edge.ends.map(|end| here(end).unwrap_or(usize::MAX));
            problem.edges.push(Edge { ends, ..*edge });
        }
        let hangs = |(number, node): (usize, &usize)| {
            Some((number, search.trunk.hung.get(*node)?.as_ref()?))
        };
        let hung: Vec<(usize, &Hung)> = inside.iter().enumerate().filter_map(hangs).collect();
        for &(node, _) in &hung {
            problem.edges.push(Edge { ends: [node, inside.len()], ..Edge::default() });
        }
        let meeting = problem.meeting();
        let inner = |&(edge, far): &(usize, usize)| {
            let ends = of_trunk.edges.get(edge)?.ends;
            let near = ends.into_iter().find(|&end| end != far).and_then(here)?;
            Some((edge, near))
        };
        let cut = cut.iter().filter_map(inner).collect();
        Self { search, inside, cut, edges, problem, meeting, hung }
    }

    /// The cut and the cheapest one towards the other sources, which uses edges of the trunk only
    /// where `in_trunk` says so; `customers` is what the cut puts out at the least.
    pub(super) fn complete(&self, customers: usize, in_trunk: bool) -> Option<Completed> {
        let capacity = |edge: usize| {
            Some(match edge.checked_sub(self.edges.len()) {
                Some(hung) => self.hung.get(hung).map_or(UNCUT, |(_, hung)| hung.weight),
                None if !in_trunk => UNCUT,
                None => self.problem.edges.get(edge).and_then(|e| e.price).map_or(UNCUT, weight),
            })
        };
        let (edges, zone) = (&self.problem.edges, &self.problem.zone);
        let to = &self.problem.other_sources;
        let more = cheapest_cut(edges, &self.meeting, zone, to, capacity)?;
        let (opened, hung): (Vec<usize>, Vec<usize>) =
            more.into_iter().partition(|&edge| edge < self.edges.len());
        let used_trunk = !opened.is_empty();
        let opened: BTreeSet<usize> = opened.into_iter().collect();
        let hung: BTreeSet<usize> = hung.into_iter().collect();
        let needed = self.needed(opened, &hung);
        let trunk = || needed.cut.iter().chain(&needed.opened).copied();
        let of_hung = hung.iter().filter_map(|&edge| self.hung.get(edge - self.edges.len()));
        let of_hung: Vec<usize> = of_hung.flat_map(|(_, hung)| hung.edges.clone()).collect();
        let problem = self.search.problem;
        let mut least = self.search.price_of(trunk());
        for price in of_hung.iter().filter_map(|&edge| problem.edges.get(edge)?.price) {
            least.last_resorts += price.last_resorts();
            least.exposure += price.exposure;
            least.operations += price.operations;
        }
        if needed.cut.len() == self.cut.len() {
            least.customers_out = customers;
        }
        let whole = trunk().filter_map(|edge| self.search.trunk.edges.get(edge).copied());
        let mut edges: Vec<usize> = whole.chain(of_hung).collect();
        edges.sort_unstable();
        let means = self.search.means(needed.towards.into_iter());
        Some(Completed { edges, means, least, used_trunk })
    }

    /// Which edges of the trunk are needed, with these opened inside and these dead ends parted:
    /// tried one after the other, the last first. What parts a dead end is needed in any case.
    fn needed(&self, mut opened: BTreeSet<usize>, parted: &BTreeSet<usize>) -> Needed {
        let passes = |opened: &BTreeSet<usize>, edge: usize| {
            edge < self.edges.len() && !opened.contains(&edge)
        };
        let mut dead = self.meeting.reach(&self.problem.zone, |edge| passes(&opened, edge));
        // Beyond the cut is a feeder, and what is not parted is a source.
        let mut live = vec![false; self.inside.len()];
        for (place, &(node, _)) in self.hung.iter().enumerate() {
            if !parted.contains(&(self.edges.len() + place)) {
                set(&mut live, node, true);
            }
        }
        let mut entrances = Vec::new();
        let mut needed = Needed::default();
        let cut = self.cut.iter().map(|&(edge, near)| (edge, Err(near)));
        let inner = opened.iter().filter_map(|&edge| Some((*self.edges.get(edge)?, Ok(edge))));
        let all: BTreeMap<usize, Result<usize, usize>> = cut.chain(inner).collect();
        for (edge, what) in all.into_iter().rev() {
            match what {
                Err(near) if is(&dead, near) => needed.cut.push(edge),
                Err(near) => {
                    entrances.push(near);
                    set(&mut live, near, true);
                }
                Ok(here) => {
                    opened.remove(&here);
                    let ends = self.problem.edges.get(here).map_or([0, 0], |e| e.ends);
                    if ends.map(|end| is(&dead, end)) == [true, true]
                        || !ends.iter().any(|&end| is(&dead, end))
                    {
                        continue;
                    }
                    let more = self.meeting.reach(&ends, |edge| passes(&opened, edge));
                    if more.iter().zip(&live).any(|(&more, &live)| more && live) {
                        opened.insert(here);
                        needed.opened.push(edge);
                    } else {
                        for (dead, more) in dead.iter_mut().zip(more) {
                            *dead |= more;
                        }
                    }
                }
            }
        }
        needed.towards.clone_from(&needed.cut);
        if !entrances.is_empty() {
            let reached = self.meeting.reach(&entrances, |edge| passes(&opened, edge));
            let touches = |here: &&usize| {
                let ends = self.problem.edges.get(**here).map_or([0, 0], |e| e.ends);
                ends.iter().any(|&end| is(&reached, end))
            };
            let inner = opened.iter().filter(touches);
            needed.towards.extend(inner.filter_map(|&here| self.edges.get(here)));
        }
        needed
    }
}

/// Edges of the trunk that are needed.
#[derive(Default)]
struct Needed {
    /// Of the cut towards the feeders.
    cut: Vec<usize>,
    /// Inside it.
    opened: Vec<usize>,
    /// Those of both that a feeder reaches.
    towards: Vec<usize>,
}
