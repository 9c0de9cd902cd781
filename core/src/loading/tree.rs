//! What lies beyond each edge as seen from the feeders, and which edges lie in a mesh.
//!
//! One search from all feeders at once (as if they hung on one busbar) gives a tree. An edge is a
//! bridge where no other way leads round it: all that is beyond it goes through it. The other edges
//! belong to a mesh, and of each mesh its topmost node is kept: what is beyond that node is what the
//! mesh supplies. Tarjan's low points, without recursion, since networks are deep.

/// No node.
const NONE: usize = usize::MAX;

#[derive(Debug, Clone, Copy)]
struct Spot {
    /// When it was found.
    found: usize,
    /// The earliest found that can be reached from beyond it by one edge more.
    low: usize,
    /// The node above it, and the edge up.
    up: Option<(usize, usize)>,
    /// The topmost node of its mesh; itself where it is in none, none for the busbar.
    top: Option<usize>,
}

/// The tree from the feeders.
#[derive(Debug)]
pub(super) struct Tree {
    spots: Vec<Spot>,
    ends: Vec<[usize; 2]>,
    closed: Vec<bool>,
    /// Nodes in the order they were found, the busbar left out.
    order: Vec<usize>,
    starts: Vec<usize>,
}

impl Tree {
    /// The tree over closed edges.
    pub(super) fn of(
        nodes: usize,
        edges: &[[usize; 2]],
        closed: impl Fn(&usize) -> bool,
        feeders: impl Iterator<Item = usize>,
    ) -> Self {
        let unseen = Spot { found: NONE, low: NONE, up: None, top: None };
        let closed: Vec<bool> = (0..edges.len()).map(|edge| closed(&edge)).collect();
        // The busbar is the node after the last, and its edges are those after the last.
        let mut ends = edges.to_vec();
        ends.extend(feeders.filter(|&node| node < nodes).map(|node| [nodes, node]));
        let mut near: Vec<Vec<(usize, usize)>> = vec![Vec::new(); nodes + 1];
        for (edge, &[one, other]) in ends.iter().enumerate() {
            if closed.get(edge).copied().unwrap_or(true) {
                for (from, to) in [(one, other), (other, one)] {
                    if let Some(near) = near.get_mut(from) {
                        near.push((to, edge));
                    }
                }
            }
        }
        let mut tree = Self {
            spots: vec![unseen; nodes + 1],
            ends,
            closed,
            order: Vec::new(),
            starts: Vec::new(),
        };
        tree.search(nodes, &near);
        tree.tops(nodes);
        tree
    }

    fn search(&mut self, busbar: usize, near: &[Vec<(usize, usize)>]) {
        let mut found = 0;
        if let Some(spot) = self.spots.get_mut(busbar) {
            (spot.found, spot.low) = (found, found);
        }
        let mut walk = vec![(busbar, 0_usize)];
        while let Some((node, next)) = walk.last_mut() {
            let (node, turn) = (*node, *next);
            *next += 1;
            let Some(&(far, edge)) = near.get(node).and_then(|near| near.get(turn)) else {
                walk.pop();
                if let Some(&(above, _)) = walk.last() {
                    self.lower(above, self.at(node).map_or(NONE, |spot| spot.low));
                }
                continue;
            };
            if self.at(node).and_then(|spot| spot.up).is_some_and(|(_, up)| up == edge) {
                continue;
            }
            match self.spots.get_mut(far) {
                Some(spot) if spot.found == NONE => {
                    found += 1;
                    *spot = Spot { found, low: found, up: Some((node, edge)), top: None };
                    self.order.push(far);
                    walk.push((far, 0));
                }
                Some(spot) => {
                    let seen = spot.found;
                    self.lower(node, seen);
                }
                None => {}
            }
        }
    }

    fn lower(&mut self, node: usize, to: usize) {
        if let Some(spot) = self.spots.get_mut(node) {
            spot.low = spot.low.min(to);
        }
    }

    fn tops(&mut self, busbar: usize) {
        for node in self.order.clone() {
            let Some(spot) = self.at(node) else { continue };
            let Some((above, _)) = spot.up else { continue };
            let bridge = spot.low == spot.found;
            let top = if bridge { Some(node) } else { self.at(above).and_then(|spot| spot.top) };
            if above == busbar {
                self.starts.push(node);
            }
            if let Some(spot) = self.spots.get_mut(node) {
                spot.top = top;
            }
        }
    }

    fn at(&self, node: usize) -> Option<Spot> {
        self.spots.get(node).copied()
    }

    /// Every node below a feeder with the node above it and the edge up, the furthest first.
    pub(super) fn upwards(&self) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        self.order.iter().rev().filter_map(|&node| {
            let (above, edge) = self.at(node)?.up?;
            (edge < self.closed.len()).then_some((node, above, edge))
        })
    }

    /// The nodes that hang on the busbar.
    pub(super) fn starts(&self) -> impl Iterator<Item = usize> + '_ {
        self.starts.iter().copied()
    }

    /// Beyond which node lies all that goes through an edge or its mesh (none: all there is), and
    /// whether it is in a mesh. None for an edge that no feeder reaches.
    pub(super) fn beyond(&self, edge: usize) -> Option<(Option<usize>, bool)> {
        let node = self.below(edge)?;
        let spot = self.at(node)?;
        let bridge = spot.top == Some(node) && spot.up.is_some_and(|(_, up)| up == edge);
        Some((spot.top, !bridge))
    }

    /// The end of an edge that is further from the feeders; none where no feeder reaches it.
    pub(super) fn below(&self, edge: usize) -> Option<usize> {
        let ends = self.ends.get(edge)?;
        let seen = ends
            .iter()
            .copied()
            .filter(|&node| self.at(node).is_some_and(|spot| spot.found != NONE));
        seen.max_by_key(|&node| self.at(node).map(|spot| spot.found))
    }
}
