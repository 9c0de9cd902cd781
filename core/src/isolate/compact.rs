//! A network with everything drawn together that nothing ever parts: cables, sets, transformers.

use super::graph::{Edge, Problem};

/// A network without what never opens.
pub(super) struct Compact {
    /// The network that is left, with numbers of its own.
    pub(super) problem: Problem,
    /// The edges of the whole network that its edges are.
    pub(super) edges: Vec<usize>,
}

impl Compact {
    pub(super) fn of(whole: &Problem) -> Self {
        let mut head: Vec<usize> = (0..whole.nodes).collect();
        for edge in whole.edges.iter().filter(|edge| is_plain(edge)) {
            let [one, other] = edge.ends.map(|end| find(&mut head, end));
            let (low, high) = if one < other { (one, other) } else { (other, one) };
            if let Some(slot) = head.get_mut(high) {
                *slot = low;
            }
        }
        let mut number = vec![usize::MAX; whole.nodes];
        let mut nodes = 0;
        for node in 0..whole.nodes {
            let first = find(&mut head, node);
            // A head has the lowest number of its group, so it is numbered before the others.
            let here = number.get(first).copied().unwrap_or(usize::MAX);
            let here = if here == usize::MAX {
                nodes += 1;
                nodes - 1
            } else {
                here
            };
            if let Some(slot) = number.get_mut(node) {
                *slot = here;
            }
        }
        let new = |node: &usize| number.get(*node).copied().unwrap_or(usize::MAX);
        let once = |list: &[usize]| {
            let mut list: Vec<usize> = list.iter().map(new).collect();
            list.sort_unstable();
            list.dedup();
            list
        };
        let mut edges = Vec::new();
        let mut left = Vec::new();
        for (place, edge) in whole.edges.iter().enumerate() {
            let ends = edge.ends.each_ref().map(new);
            if ends[0] != ends[1] {
                left.push(Edge { ends, ..*edge });
                edges.push(place);
            }
        }
        let problem = Problem {
            nodes,
            edges: left,
            zone: once(&whole.zone),
            feeders: once(&whole.feeders),
            other_sources: once(&whole.other_sources),
            customers: whole.customers.iter().map(new).collect(),
            loads: whole.loads.iter().map(|(node, load)| (new(node), *load)).collect(),
        };
        Self { problem, edges }
    }
}

/// True for what nothing parts and no rating bounds.
const fn is_plain(edge: &Edge) -> bool {
    edge.price.is_none() && !edge.open_now && edge.closing.is_none() && edge.rated.is_none()
}

/// The head of a node's group; the way to it is halved meanwhile.
fn find(head: &mut [usize], node: usize) -> usize {
    let mut at = node;
    loop {
        let up = head.get(at).copied().unwrap_or(at);
        if up == at {
            return at;
        }
        let further = head.get(up).copied().unwrap_or(up);
        if let Some(slot) = head.get_mut(at) {
            *slot = further;
        }
        at = further;
    }
}
