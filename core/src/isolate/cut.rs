//! The cheapest set of edges that parts two sets of nodes: augmenting paths (Edmonds and Karp).

use std::collections::VecDeque;

use super::graph::{Edge, Meeting, is, set};

/// Capacity of an edge that may not be cut: above any sum of weights, and sums of it still fit.
pub(super) const UNCUT: i128 = 1 << 100;

/// The edges of the cheapest cut between `from` and `to`, the one nearest to `from`, in order; none
/// where only edges that may not be cut part them.
///
/// `capacity` gives each edge's price; edges for which it is none are not there.
pub(super) fn cheapest_cut(
    edges: &[Edge],
    meeting: &Meeting,
    from: &[usize],
    to: &[usize],
    capacity: impl Fn(usize) -> Option<i128>,
) -> Option<Vec<usize>> {
    let capacities: Vec<i128> = (0..edges.len()).map(|e| capacity(e).unwrap_or(0)).collect();
    // Flow from the first end of each edge to its second.
    let mut flow = vec![0_i128; edges.len()];
    let room = |flow: &[i128], edge: usize, node: usize| {
        let at = flow.get(edge).copied().unwrap_or(0);
        let forward = edges.get(edge).is_some_and(|e| e.ends[0] == node);
        let most = capacities.get(edge).copied().unwrap_or(0);
        if forward { most - at } else { most + at }
    };
    let mut goal = vec![false; meeting.len()];
    for &node in to {
        set(&mut goal, node, true);
    }
    loop {
        let (seen, path) = search(meeting, from, &goal, |edge, node| room(&flow, edge, node) > 0);
        let Some(path) = path else {
            let mut cut = Vec::new();
            for (number, edge) in edges.iter().enumerate() {
                let [one, other] = edge.ends;
                if is(&seen, one) != is(&seen, other) {
                    match capacity(number) {
                        Some(most) if most >= UNCUT => return None,
                        Some(_) => cut.push(number),
                        None => {}
                    }
                }
            }
            return Some(cut);
        };
        // No step at all: a start is a goal, and nothing can part them.
        let least = path.iter().map(|&(edge, node)| room(&flow, edge, node)).min()?;
        for (edge, node) in path {
            let forward = edges.get(edge).is_some_and(|e| e.ends[0] == node);
            if let Some(at) = flow.get_mut(edge) {
                *at += if forward { least } else { -least };
            }
        }
    }
}

type Steps = Vec<(usize, usize)>;

/// What can be reached, and the edges of a shortest way to a goal, each with the node it leaves.
fn search(
    meeting: &Meeting,
    from: &[usize],
    goal: &[bool],
    passes: impl Fn(usize, usize) -> bool,
) -> (Vec<bool>, Option<Steps>) {
    let mut seen = vec![false; meeting.len()];
    let mut came: Vec<Option<(usize, usize)>> = vec![None; meeting.len()];
    let mut waiting: VecDeque<usize> = VecDeque::new();
    for &start in from {
        set(&mut seen, start, true);
        waiting.push_back(start);
    }
    while let Some(node) = waiting.pop_front() {
        if is(goal, node) {
            let mut path = Vec::new();
            let mut at = node;
            while let Some((edge, before)) = came.get(at).copied().flatten() {
                path.push((edge, before));
                at = before;
            }
            return (seen, Some(path));
        }
        for &(edge, far) in meeting.at(node) {
            if !is(&seen, far) && passes(edge, node) {
                set(&mut seen, far, true);
                if let Some(step) = came.get_mut(far) {
                    *step = Some((edge, node));
                }
                waiting.push_back(far);
            }
        }
    }
    (seen, None)
}
