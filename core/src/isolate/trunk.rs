//! The trunk of a network: what lies on ways between zone and feeders, with its dead ends folded in.
//!
//! No minimal cut between zone and feeders has an edge in a dead end, and whoever hangs on one that
//! is closed now is supplied exactly when its root is. What hangs on one that is open now is supplied
//! by nobody, and no loop point in it can bring anybody back.

use std::collections::BTreeMap;

use super::graph::{Edge, Problem, is, set};

/// A network without its dead ends.
pub(super) struct Trunk {
    /// The network that is left, with numbers of its own; no other sources are in it.
    pub(super) problem: Problem,
    /// The edges of the whole network that its edges are.
    pub(super) edges: Vec<usize>,
}

impl Trunk {
    pub(super) fn of(whole: &Problem) -> Self {
        let meeting = whole.meeting();
        let mut keep = vec![false; whole.nodes];
        for &node in whole.zone.iter().chain(&whole.feeders) {
            set(&mut keep, node, true);
        }
        let protected = keep;
        let mut gone = vec![false; whole.nodes];
        // Where the customers of a folded node are counted now: itself at first.
        let mut root: BTreeMap<usize, Option<usize>> = BTreeMap::new();
        let left = |gone: &[bool], node: usize| -> Vec<(usize, usize)> {
            let here = meeting.at(node).iter().copied();
            here.filter(|&(_, far)| far != node && !is(gone, far)).collect()
        };
        let mut waiting: Vec<usize> = (0..whole.nodes).collect();
        while let Some(node) = waiting.pop() {
            if is(&gone, node) || is(&protected, node) {
                continue;
            }
            match left(&gone, node).as_slice() {
                [] => {
                    set(&mut gone, node, true);
                    root.insert(node, None);
                }
                [(edge, far)] => {
                    set(&mut gone, node, true);
                    let closed = whole.edges.get(*edge).is_some_and(|e| !e.open_now);
                    root.insert(node, closed.then_some(*far));
                    waiting.push(*far);
                }
                _ => {}
            }
        }
        let mut numbers: BTreeMap<usize, usize> = BTreeMap::new();
        for node in (0..whole.nodes).filter(|&n| !is(&gone, n)) {
            let next = numbers.len();
            numbers.insert(node, next);
        }
        let number = |node: &usize| numbers.get(node).copied();
        let mut problem = Problem { nodes: numbers.len(), ..Problem::default() };
        let mut edges = Vec::new();
        for (at, edge) in whole.edges.iter().enumerate() {
            if let (Some(one), Some(other)) = (number(&edge.ends[0]), number(&edge.ends[1]))
                && one != other
            {
                problem.edges.push(Edge { ends: [one, other], ..*edge });
                edges.push(at);
            }
        }
        problem.zone = whole.zone.iter().filter_map(number).collect();
        problem.feeders = whole.feeders.iter().filter_map(number).collect();
        let settle = |&customer: &usize| {
            let mut at = customer;
            while let Some(next) = root.get(&at) {
                at = (*next)?;
            }
            number(&at)
        };
        problem.customers = whole.customers.iter().filter_map(settle).collect();
        Self { problem, edges }
    }
}
