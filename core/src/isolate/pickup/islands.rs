//! What lies dark after the openings: islands joined by loop points, and what a choice of loop
//! points makes everything carry.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::Closed;
use crate::isolate::graph::{Closing, Edge, Meeting, Problem, is, set};

/// The place of everything that a feeder supplies; islands are counted from 1.
const FED: usize = 0;

/// A loop point between two places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Way {
    pub(super) edge: usize,
    pub(super) closing: Closing,
    places: [usize; 2],
}

/// Nodes in the order they are reached, each with the edge it hangs on and the node before.
type Tree = Vec<(usize, Option<(usize, usize)>)>;

/// The islands left by a set of openings.
pub(super) struct Islands<'a> {
    problem: &'a Problem,
    meeting: &'a Meeting,
    /// What is closed and stays so.
    closed: Vec<bool>,
    /// The island of each node; none where it is in none.
    place: Vec<Option<usize>>,
    count: usize,
    fed: Vec<bool>,
    /// Customers by place.
    customers: BTreeMap<usize, Vec<usize>>,
    /// Milliamps of each place: read where it was fed until now, else by nameplate.
    milliamps: Vec<u64>,
    /// The least rating of anything closed in each island; none where nothing in it is rated.
    least_rated: Vec<Option<u64>>,
    /// The number of each node in its island.
    number: Vec<usize>,
    /// How many nodes each place has.
    sizes: Vec<usize>,
    /// Milliamps by nameplate, by node.
    loads: Vec<u64>,
    /// On the feeders' side: the edge and node before each node, and what each edge carries.
    before: Vec<Option<(usize, usize)>>,
    carried: Vec<u64>,
    ways: Vec<Way>,
}

impl<'a> Islands<'a> {
    /// The islands with these edges open, as far as loop points reach them; `out` are the customers
    /// who went out.
    pub(super) fn of(
        problem: &'a Problem,
        meeting: &'a Meeting,
        open: &[usize],
        out: &[usize],
    ) -> Self {
        let mut closed: Vec<bool> = problem.edges.iter().map(|e| !e.open_now).collect();
        for &edge in open {
            set(&mut closed, edge, false);
        }
        let fed = meeting.reach(&problem.feeders, |edge| is(&closed, edge));
        let mut islands = Self {
            problem,
            meeting,
            closed,
            place: vec![None; problem.nodes],
            count: 0,
            fed,
            customers: BTreeMap::new(),
            milliamps: Vec::new(),
            least_rated: Vec::new(),
            number: Vec::new(),
            sizes: vec![0],
            loads: Vec::new(),
            before: Vec::new(),
            carried: Vec::new(),
            ways: Vec::new(),
        };
        islands.number = vec![usize::MAX; problem.nodes];
        islands.find_ways(open);
        if islands.ways.is_empty() {
            return islands;
        }
        islands.loads = vec![0; problem.nodes];
        for &(node, milliamps) in &problem.loads {
            add(&mut islands.loads, node, milliamps);
        }
        for &customer in out {
            let node = problem.customers.get(customer);
            if let Some(place) = node.and_then(|&node| islands.place.get(node).copied().flatten()) {
                islands.customers.entry(place).or_default().push(customer);
            }
        }
        islands.weigh_islands(open);
        islands.weigh_feeders();
        islands
    }

    /// The loop points that come into question, in order.
    pub(super) fn ways(&self) -> &[Way] {
        &self.ways
    }

    /// True where it joins the feeders' side to an island with customers.
    pub(super) fn brings_back(&self, way: &Way) -> bool {
        way.places.contains(&FED)
            && way.places.iter().any(|place| self.customers.contains_key(place))
    }

    /// The cheapest loop points that bring everybody back whom any could, where no island without
    /// customers lies between; none where one does.
    ///
    /// Prim's algorithm: every island must be joined, so the cheapest tree is the cheapest choice.
    pub(super) fn everybody(&self) -> Option<Vec<Way>> {
        let islands = self.ways.iter().flat_map(|way| way.places);
        if islands.into_iter().any(|place| place != FED && !self.customers.contains_key(&place)) {
            return None;
        }
        let mut joined = BTreeSet::from([FED]);
        let mut chosen = Vec::new();
        loop {
            let leads_out =
                |way: &&Way| way.places.iter().filter(|place| joined.contains(place)).count() == 1;
            let price = |way: &&Way| {
                let Closing { last_resorts, exposure, operations } = way.closing;
                (last_resorts, exposure, operations, way.edge)
            };
            let Some(&way) = self.ways.iter().filter(leads_out).min_by_key(price) else {
                return Some(chosen);
            };
            joined.extend(way.places);
            chosen.push(way);
        }
    }

    fn edge(&self, number: usize) -> Option<&'a Edge> {
        self.problem.edges.get(number)
    }

    fn place_of(&self, node: usize) -> Option<usize> {
        if is(&self.fed, node) { Some(FED) } else { self.place.get(node).copied().flatten() }
    }

    /// From the feeders' side over loop points from island to island.
    fn find_ways(&mut self, open: &[usize]) {
        let numbered = self.problem.edges.iter().enumerate();
        let mut candidates: Vec<(usize, Closing)> = numbered
            .filter(|(number, edge)| edge.open_now && !open.contains(number))
            .filter_map(|(number, edge)| Some((number, edge.closing?)))
            .collect();
        let mut before = usize::MAX;
        while candidates.len() < before {
            before = candidates.len();
            candidates.retain(|&(number, closing)| {
                let Some(edge) = self.edge(number) else { return false };
                if edge.ends.iter().all(|&end| self.place_of(end).is_none()) {
                    return true;
                }
                for end in edge.ends {
                    if self.place_of(end).is_none() {
                        self.count += 1;
                        self.walk(end, self.count);
                    }
                }
                let places = edge.ends.map(|end| self.place_of(end).unwrap_or(FED));
                if places[0] != places[1] {
                    self.ways.push(Way { edge: number, closing, places });
                }
                false
            });
        }
        self.ways.sort_by_key(|way| way.edge);
    }

    /// Puts the nodes of one island down under its number.
    fn walk(&mut self, from: usize, island: usize) {
        let mut waiting = VecDeque::from([from]);
        let (mut size, mut least) = (0, None);
        while let Some(node) = waiting.pop_front() {
            let Some(slot @ None) = self.place.get_mut(node) else { continue };
            *slot = Some(island);
            if let Some(number) = self.number.get_mut(node) {
                *number = size;
            }
            size += 1;
            for &(edge, far) in self.meeting.at(node) {
                if is(&self.closed, edge) {
                    waiting.push_back(far);
                    let rated = self.problem.edges.get(edge).and_then(|e| e.rated);
                    least = [least, rated].into_iter().flatten().min();
                }
            }
        }
        self.sizes.push(size);
        self.least_rated.resize(island, None);
        self.least_rated.push(least);
    }

    /// What was read where an island was fed until now, else what stands on its nameplates.
    fn weigh_islands(&mut self, open: &[usize]) {
        self.milliamps = vec![0; self.count + 1];
        for (&island, &load) in self.place.iter().zip(&self.loads) {
            if let Some(island) = island {
                add(&mut self.milliamps, island, load);
            }
        }
        let mut entrances: BTreeMap<usize, Vec<Option<u64>>> = BTreeMap::new();
        for edge in open.iter().filter_map(|&number| self.edge(number)).filter(|e| !e.open_now) {
            let islands: BTreeSet<usize> = edge
                .ends
                .iter()
                .filter_map(|&end| self.place.get(end).copied().flatten())
                .collect();
            for island in islands {
                entrances.entry(island).or_default().push(edge.carries);
            }
        }
        for (island, read) in entrances {
            if let ([Some(read)], Some(slot)) = (read.as_slice(), self.milliamps.get_mut(island)) {
                *slot = *read;
            }
        }
    }

    /// What everything on the feeders' side carries now.
    fn weigh_feeders(&mut self) {
        let nodes = self.problem.nodes;
        let mut tree = Tree::new();
        let mut seen = vec![false; nodes];
        let mut waiting: VecDeque<(usize, Option<(usize, usize)>)> =
            self.problem.feeders.iter().map(|&feeder| (feeder, None)).collect();
        while let Some((node, by)) = waiting.pop_front() {
            if is(&seen, node) {
                continue;
            }
            set(&mut seen, node, true);
            tree.push((node, by));
            for &(edge, far) in self.meeting.at(node) {
                if is(&self.closed, edge) && !is(&seen, far) {
                    waiting.push_back((far, Some((edge, node))));
                }
            }
        }
        self.before = vec![None; nodes];
        self.carried = vec![0; self.problem.edges.len()];
        let mut behind = self.loads.clone();
        for (node, by) in tree.into_iter().rev() {
            let Some((edge, before)) = by else { continue };
            let here = at(&behind, node);
            add(&mut behind, before, here);
            let read = self.edge(edge).and_then(|e| e.carries);
            add(&mut self.carried, edge, read.unwrap_or(here));
            if let Some(slot) = self.before.get_mut(node) {
                *slot = by;
            }
        }
    }

    /// How many come back by these, if they hold; none where they would tie or lie apart.
    pub(super) fn promised(&self, chosen: &[Way]) -> Option<usize> {
        let order = outwards(chosen)?;
        Some(order.iter().filter_map(|(.., to)| self.customers.get(to)).map(Vec::len).sum())
    }

    /// The chosen loop points in the order they are closed, each joining what is supplied to an
    /// island; none where they would tie, lie apart, or overload something.
    pub(super) fn close(&self, chosen: &[Way]) -> Option<Vec<Closed>> {
        let order = outwards(chosen)?;
        let mut behind: BTreeMap<usize, u64> = BTreeMap::new();
        for &(_, from, to) in order.iter().rev() {
            let own = at(&self.milliamps, to);
            let whole = behind.get(&to).copied().unwrap_or(0) + own;
            behind.insert(to, whole);
            *behind.entry(from).or_default() += whole;
        }
        // What other islands draw through a node, and what ways to the feeders carry more.
        let mut drawn: BTreeMap<usize, u64> = BTreeMap::new();
        let mut more: BTreeMap<usize, u64> = BTreeMap::new();
        for (way, from, to) in order.iter().rev() {
            let milliamps = behind.get(to).copied().unwrap_or(0);
            let edge = self.edge(way.edge)?;
            let [one, other] = edge.ends;
            let (near, far) =
                if self.place_of(one) == Some(*from) { (one, other) } else { (other, one) };
            if !holds(edge, milliamps) || !self.island_holds(*to, far, milliamps, &drawn) {
                return None;
            }
            *drawn.entry(near).or_default() += milliamps;
            let mut node = near;
            while let Some((edge, before)) = self.before.get(node).copied().flatten() {
                *more.entry(edge).or_default() += milliamps;
                node = before;
            }
        }
        let fits = more.iter().all(|(&edge, &added)| {
            self.edge(edge).is_none_or(|e| holds(e, at(&self.carried, edge) + added))
        });
        fits.then(|| {
            order
                .into_iter()
                .map(|(way, _, to)| Closed {
                    edge: way.edge,
                    back: self.customers.get(&to).cloned().unwrap_or_default(),
                    milliamps: behind.get(&to).copied().unwrap_or(0),
                })
                .collect()
        })
    }

    /// Whether everything in an island holds what it carries when fed from `entrance`: the
    /// nameplates behind it and what other islands draw, and never more than the whole.
    fn island_holds(
        &self,
        island: usize,
        entrance: usize,
        whole: u64,
        drawn: &BTreeMap<usize, u64>,
    ) -> bool {
        let least = self.least_rated.get(island).copied().flatten();
        if least.is_none_or(|least| whole <= least) {
            return true;
        }
        let size = self.sizes.get(island).copied().unwrap_or(0);
        let here = |node: usize| self.number.get(node).copied().unwrap_or(usize::MAX);
        let mut seen = vec![false; size];
        set(&mut seen, here(entrance), true);
        let mut tree = Tree::with_capacity(size);
        tree.push((entrance, None));
        let mut next = 0;
        while let Some(&(node, _)) = tree.get(next) {
            next += 1;
            for &(edge, far) in self.meeting.at(node) {
                if is(&self.closed, edge) && !is(&seen, here(far)) {
                    set(&mut seen, here(far), true);
                    tree.push((far, Some((edge, node))));
                }
            }
        }
        let mut behind = vec![0; size];
        for &(node, by) in tree.iter().rev() {
            let Some((edge, before)) = by else { continue };
            let carried = at(&behind, here(node))
                + at(&self.loads, node)
                + drawn.get(&node).copied().unwrap_or(0);
            add(&mut behind, here(before), carried);
            if self.edge(edge).is_some_and(|e| !holds(e, carried.min(whole))) {
                return false;
            }
        }
        true
    }
}

/// The chosen loop points outwards, each with the place it comes from and the one it feeds; none
/// where they would tie or lie apart.
fn outwards(chosen: &[Way]) -> Option<Vec<(Way, usize, usize)>> {
    let mut left = chosen.to_vec();
    let mut joined = BTreeSet::from([FED]);
    let mut order = Vec::new();
    while !left.is_empty() {
        let at =
            left.iter().position(|way| way.places.iter().any(|place| joined.contains(place)))?;
        let way = left.remove(at);
        let [one, other] = way.places;
        let (from, to) = if joined.contains(&one) { (one, other) } else { (other, one) };
        if !joined.insert(to) {
            return None;
        }
        order.push((way, from, to));
    }
    Some(order)
}

fn at(milliamps: &[u64], place: usize) -> u64 {
    milliamps.get(place).copied().unwrap_or(0)
}

fn add(milliamps: &mut [u64], place: usize, more: u64) {
    if let Some(sum) = milliamps.get_mut(place) {
        *sum = sum.saturating_add(more);
    }
}

fn holds(edge: &Edge, milliamps: u64) -> bool {
    edge.rated.is_none_or(|rated| milliamps <= rated)
}
