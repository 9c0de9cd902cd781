//! What a set of nodes cuts off from the feeders, found close to the set and not by walking the whole
//! network: a node whose way to a feeder is known to avoid the set needs no search.

use std::collections::VecDeque;

use crate::isolate::graph::{Meeting, Problem, is};

/// A list of nodes that is emptied at once.
#[derive(Debug, Default)]
pub(super) struct Marks {
    at: Vec<u32>,
    turn: u32,
}

/// The marks that a look at one set needs.
#[derive(Debug, Default)]
pub(super) struct Sight {
    /// The set.
    pub(super) inside: Marks,
    seen: Marks,
    /// A feeder is reached around the set.
    free: Marks,
    /// The known way to a feeder leads through the set.
    blocked: Marks,
}

/// A way to a feeder for each node, over some edges.
pub(super) struct Near {
    passes: Vec<bool>,
    /// The node before each on its way from a feeder; itself for a feeder, none where there is none.
    up: Vec<Option<usize>>,
}

impl Marks {
    /// Marks none of so many nodes.
    pub(super) fn clear(&mut self, nodes: usize) {
        if self.at.len() != nodes || self.turn == u32::MAX {
            (self.at, self.turn) = (vec![0; nodes], 0);
        }
        self.turn += 1;
    }

    /// Marks a node; false where it was marked already.
    pub(super) fn set(&mut self, node: usize) -> bool {
        let turn = self.turn;
        self.at.get_mut(node).is_some_and(|at| std::mem::replace(at, turn) != turn)
    }

    pub(super) fn has(&self, node: usize) -> bool {
        self.at.get(node) == Some(&self.turn)
    }
}

impl Sight {
    /// Looks at this set alone.
    pub(super) fn look_at(&mut self, nodes: usize, inside: &[usize]) {
        self.inside.clear(nodes);
        for &node in inside {
            self.inside.set(node);
        }
    }
}

impl Near {
    /// Over the edges that are let through.
    pub(super) fn of(problem: &Problem, meeting: &Meeting, passes: Vec<bool>) -> Self {
        let mut up = vec![None; problem.nodes];
        let mut waiting: VecDeque<(usize, usize)> =
            problem.feeders.iter().map(|&feeder| (feeder, feeder)).collect();
        while let Some((node, before)) = waiting.pop_front() {
            let Some(slot @ None) = up.get_mut(node) else { continue };
            *slot = Some(before);
            let near = meeting.at(node).iter().filter(|&&(edge, _)| is(&passes, edge));
            waiting.extend(near.map(|&(_, far)| (far, node)));
        }
        Self { passes, up }
    }

    /// The nodes outside the set that no feeder reaches but through it, as far as they touch it or
    /// each other; counts the nodes that were looked at.
    pub(super) fn cut_off(
        &self,
        meeting: &Meeting,
        inside: &[usize],
        sight: &mut Sight,
        looked: &mut usize,
    ) -> Vec<usize> {
        for marks in [&mut sight.seen, &mut sight.free, &mut sight.blocked] {
            marks.clear(self.up.len());
        }
        let mut cut_off = Vec::new();
        let mut walk = Vec::new();
        for &(edge, start) in inside.iter().flat_map(|&node| meeting.at(node)) {
            if !is(&self.passes, edge) || sight.inside.has(start) || !sight.seen.set(start) {
                continue;
            }
            walk.clear();
            walk.push(start);
            let mut next = 0;
            let mut free = false;
            while let Some(&node) = walk.get(next) {
                next += 1;
                if self.is_free(node, sight, looked) {
                    free = true;
                    break;
                }
                for &(edge, far) in meeting.at(node) {
                    if !is(&self.passes, edge) || sight.inside.has(far) {
                        continue;
                    }
                    // What was walked before and is not free is cut off, and has no way here.
                    if sight.free.has(far) {
                        free = true;
                    } else if sight.seen.set(far) {
                        walk.push(far);
                    }
                }
                if free {
                    break;
                }
            }
            *looked += next;
            if free {
                for &node in &walk {
                    sight.free.set(node);
                }
            } else {
                cut_off.append(&mut walk);
            }
        }
        cut_off
    }

    /// True where the known way from a feeder to a node avoids the set.
    fn is_free(&self, node: usize, sight: &mut Sight, looked: &mut usize) -> bool {
        let mut at = node;
        let free = loop {
            *looked += 1;
            if sight.free.has(at) {
                break true;
            }
            if sight.inside.has(at) || sight.blocked.has(at) {
                break false;
            }
            match self.up.get(at).copied().flatten() {
                Some(before) if before == at => break true,
                Some(before) => at = before,
                None => break false,
            }
        };
        // The same holds for all on the way.
        let end = at;
        at = node;
        while at != end {
            if free {
                sight.free.set(at)
            } else {
                sight.blocked.set(at)
            };
            match self.up.get(at).copied().flatten() {
                Some(before) if before != at => at = before,
                _ => break,
            }
        }
        if free {
            sight.free.set(end);
        }
        free
    }
}
