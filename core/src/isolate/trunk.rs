//! The trunk of a network: what lies on ways between zone and feeders, with its dead ends folded in.
//!
//! No minimal cut between zone and feeders has an edge in a dead end, and whoever hangs on one that
//! is closed now is supplied exactly when its root is. What hangs on one that is open now is supplied
//! by nobody, and no loop point in it can bring anybody back. The other sources in a dead end are
//! parted from its root by the same edges whatever is done elsewhere.

use super::cut::UNCUT;
use super::graph::{Edge, Price, Problem, is, set};

/// A network without its dead ends.
pub(super) struct Trunk {
    /// The network that is left, with numbers of its own; no other sources are in it.
    pub(super) problem: Problem,
    /// The edges of the whole network that its edges are.
    pub(super) edges: Vec<usize>,
    /// The other sources that hang on each of its nodes.
    pub(super) hung: Vec<Option<Hung>>,
}

/// Other sources in the dead ends of a node, or at itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Hung {
    /// What parting them from the node weighs; [`UNCUT`] where nothing does.
    pub(super) weight: i128,
    /// The edges of the whole network that do it, those nearest to the node.
    pub(super) edges: Vec<usize>,
}

impl Hung {
    fn and(&mut self, other: Self) {
        self.weight = self.weight.saturating_add(other.weight).min(UNCUT);
        self.edges.extend(other.edges);
    }

    /// The same seen from beyond an edge: the edge itself, where it weighs no more.
    fn behind(self, edge: usize, price: Option<Price>) -> Self {
        match price.map(weight) {
            Some(weight) if weight <= self.weight => Self { weight, edges: vec![edge] },
            _ => self,
        }
    }
}

/// What an edge weighs among others that part the other sources: last resorts before exposure before
/// operations, each with room for any sum of the next.
pub(super) fn weight(price: Price) -> i128 {
    let [first, then, last] =
        [price.last_resorts(), price.exposure, price.operations].map(i128::from);
    (first << 64) + (then << 32) + last
}

/// Where the customers of a folded node are counted now.
#[derive(Clone, Copy)]
enum Root {
    Itself,
    Nowhere,
    At(usize),
}

impl Trunk {
    pub(super) fn of(whole: &Problem) -> Self {
        let meeting = whole.meeting();
        let mut protected = vec![false; whole.nodes];
        for &node in whole.zone.iter().chain(&whole.feeders) {
            set(&mut protected, node, true);
        }
        let mut hung: Vec<Option<Hung>> = vec![None; whole.nodes];
        for &node in &whole.other_sources {
            if let Some(slot) = hung.get_mut(node) {
                *slot = Some(Hung { weight: UNCUT, edges: Vec::new() });
            }
        }
        let mut gone = vec![false; whole.nodes];
        let mut root = vec![Root::Itself; whole.nodes];
        let mut waiting: Vec<usize> = (0..whole.nodes).collect();
        while let Some(node) = waiting.pop() {
            if is(&gone, node) || is(&protected, node) {
                continue;
            }
            let left = meeting.at(node).iter().filter(|&&(_, far)| far != node && !is(&gone, far));
            let mut left = left.copied();
            match (left.next(), left.next()) {
                (None, _) => {
                    set(&mut gone, node, true);
                    if let Some(slot) = root.get_mut(node) {
                        *slot = Root::Nowhere;
                    }
                }
                (Some((number, far)), None) => {
                    set(&mut gone, node, true);
                    let edge = whole.edges.get(number);
                    if let Some(slot) = root.get_mut(node) {
                        let closed = edge.is_some_and(|e| !e.open_now);
                        *slot = if closed { Root::At(far) } else { Root::Nowhere };
                    }
                    let here = hung.get_mut(node).and_then(Option::take);
                    if let (Some(here), Some(slot)) = (here, hung.get_mut(far)) {
                        let here = here.behind(number, edge.and_then(|e| e.price));
                        slot.get_or_insert_default().and(here);
                    }
                    waiting.push(far);
                }
                _ => {}
            }
        }
        let mut numbers: Vec<Option<usize>> = vec![None; whole.nodes];
        let mut nodes = 0;
        for (slot, _) in numbers.iter_mut().zip(&gone).filter(|(_, gone)| !**gone) {
            *slot = Some(nodes);
            nodes += 1;
        }
        let number = |node: &usize| numbers.get(*node).copied().flatten();
        let mut problem = Problem { nodes, ..Problem::default() };
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
            loop {
                match root.get(at)? {
                    Root::Itself => return number(&at),
                    Root::Nowhere => return None,
                    Root::At(next) => at = *next,
                }
            }
        };
        problem.customers = whole.customers.iter().filter_map(settle).collect();
        let kept = hung.into_iter().zip(&gone).filter(|(_, gone)| !**gone);
        Self { problem, edges, hung: kept.map(|(hung, _)| hung).collect() }
    }
}
