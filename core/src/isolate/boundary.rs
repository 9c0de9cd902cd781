//! Boundaries: sets of openings after which no source reaches the zone, cheapest first.
//!
//! The search splits the question in two. Who goes out depends only on how the *feeders* are cut
//! off: every such minimal cut is tried from the zone outward, in the order of the customers whom no
//! pick-up could keep on (a cut farther out never keeps more). What parts the zone from the *other*
//! sources inside what the cut leaves is then a cheapest cut, for everybody in there is out already.
//! So the first of the result is the cheapest boundary there is, which a test holds against trying
//! all subsets. The first part looks only at the trunk of the network: dead ends are folded in.
//!
//! Where the search ends at its bound, the order says what is still certain: no cut that was not
//! looked at keeps more customers on than the next one that waits. If the best keeps more than that,
//! it is the best there is all the same, and only alternatives may be missing.

use std::collections::{BTreeMap, BTreeSet};

use super::compact::Compact;
use super::cut::{UNCUT, cheapest_cut};
use super::graph::{Cost, Meeting, Price, Problem, is, set};
use super::plan::Proof;
use super::trunk::Trunk;
use crate::plant::Device;

/// How many cuts towards the feeders are looked at.
pub(super) const MOST_CUTS: usize = 4096;
/// How many steps of the search are taken once there is a boundary.
const MOST_STEPS: usize = 32_768;
/// After how many steps what is worse in everything is no longer looked for.
const TOLD_IN_FULL: usize = 256;
/// How many nodes are looked at, counted as often as they are, once there is a boundary: some
/// seconds of one core on a phone.
pub(super) const MOST_NODES: usize = 1 << 27;

/// A set of openings, and what it costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Boundary {
    /// Its edges, in order; each is needed.
    pub(super) edges: Vec<usize>,
    pub(super) cost: Cost,
    /// What is opened towards the feeders; what is held open is not in it.
    pub(super) means: Vec<Device>,
}

/// The boundaries found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Found {
    /// The cheapest of each means, cheapest first; empty where there is none.
    pub(super) boundaries: Vec<Boundary>,
    /// Whether everything that is better in something was looked at.
    pub(super) complete: bool,
    /// What is certain of the first.
    pub(super) proof: Proof,
    /// How many cuts towards the feeders were looked at.
    pub(super) looked: usize,
}

/// Orders what waits: customers out, then how far out, then when it came.
type Waiting = BTreeMap<(usize, usize, usize), State>;

struct State {
    /// The zone's side.
    inside: Vec<bool>,
    /// Decided to stay on the feeders' side.
    outside: Vec<bool>,
}

/// The cheapest boundary of each means, those in `passed_over` left out.
pub(super) fn boundaries(whole: &Problem, passed_over: &BTreeSet<Vec<usize>>) -> Found {
    let Compact { problem, edges } = Compact::of(whole);
    let here = |whole: &usize| edges.binary_search(whole).ok();
    let passed_over =
        passed_over.iter().map(|boundary| boundary.iter().filter_map(here).collect()).collect();
    let mut found = boundaries_of(&problem, &passed_over);
    for boundary in &mut found.boundaries {
        boundary.edges = boundary.edges.iter().filter_map(|&e| edges.get(e).copied()).collect();
    }
    found
}

fn boundaries_of(problem: &Problem, passed_over: &BTreeSet<Vec<usize>>) -> Found {
    let meeting = problem.meeting();
    let none = Found { boundaries: Vec::new(), complete: true, proof: Proof::Optimal, looked: 0 };
    let fixed = |edge: usize| problem.edges.get(edge).is_some_and(|e| e.price.is_none());
    let island = meeting.reach(&problem.zone, fixed);
    if problem.feeders.iter().chain(&problem.other_sources).any(|&s| is(&island, s)) {
        return none;
    }
    let floor = floor_of(problem, &meeting);
    let trunk = Trunk::of(problem);
    let trunk_meeting = trunk.problem.meeting();
    let before = trunk.problem.supplied(&trunk_meeting, &[]);
    let search = Search { problem, meeting, trunk, trunk_meeting, before, passed_over };
    let fixed =
        |edge: usize| search.trunk.problem.edges.get(edge).is_none_or(|e| e.price.is_none());
    let island = search.trunk_meeting.reach(&search.trunk.problem.zone, fixed);
    let nodes = search.trunk.problem.nodes;
    let mut waiting = Waiting::new();
    let mut course = Course::default();
    let outside = vec![false; nodes];
    search.push(&mut waiting, &mut course, State { inside: island, outside });
    while let Some(((customers, far_out, count), state)) = waiting.pop_first() {
        if course.nothing_better(Cost { customers_out: customers, ..floor }) {
            return course.end(None);
        }
        if course.is_over() {
            waiting.insert((customers, far_out, count), state);
            break;
        }
        course.steps += 1;
        let boundary = search.edge_of(&state.inside);
        let undecided = boundary.iter().find(|&&(_, far)| !is(&state.outside, far));
        let Some(&(_, far)) = undecided else {
            course.looked += 1;
            let cut: BTreeSet<usize> =
                boundary.iter().filter_map(|&(e, _)| search.trunk.edges.get(e).copied()).collect();
            search.take(&cut, customers, &mut course);
            continue;
        };
        let mut inside = state.inside.clone();
        set(&mut inside, far, true);
        let mut outside = state.outside.clone();
        set(&mut outside, far, true);
        // Over what does not open, a decision holds for the whole island.
        let together = search.trunk_meeting.reach(&[far], fixed);
        for node in 0..nodes {
            if is(&together, node) {
                set(&mut inside, node, true);
                set(&mut outside, node, true);
            }
        }
        let farther = State { inside, outside: state.outside };
        search.push(&mut waiting, &mut course, State { inside: state.inside, outside });
        search.push(&mut waiting, &mut course, farther);
    }
    course.end(waiting.first_key_value().map(|((customers, ..), _)| *customers))
}

/// The boundary of the fewest openings; none where there is none.
pub(super) fn fewest(problem: &Problem) -> Option<Vec<usize>> {
    let may_open = |edge: usize| problem.edges.get(edge).is_some_and(|e| e.price.is_some());
    separated_by(problem, |edge| if may_open(edge) { 1 } else { UNCUT })
}

/// The cheapest edges that part the zone from every source, by this price each.
pub(super) fn separated_by(problem: &Problem, price: impl Fn(usize) -> u64) -> Option<Vec<usize>> {
    let meeting = problem.meeting();
    let to: Vec<usize> = problem.feeders.iter().chain(&problem.other_sources).copied().collect();
    cheapest_cut(&problem.edges, &meeting, &problem.zone, &to, |edge| Some(price(edge)))
}

/// The exposure and the operations that no boundary goes below, each by itself.
fn floor_of(problem: &Problem, meeting: &Meeting) -> Cost {
    let to: Vec<usize> = problem.feeders.iter().chain(&problem.other_sources).copied().collect();
    let least = |part: fn(Price) -> u32| -> u32 {
        let price = |edge: usize| {
            problem.edges.get(edge).map(|e| e.price.map_or(UNCUT, |p| u64::from(part(p))))
        };
        let cut = cheapest_cut(&problem.edges, meeting, &problem.zone, &to, price);
        let edges = cut.unwrap_or_default().into_iter();
        edges.filter_map(|edge| problem.edges.get(edge)?.price).map(part).sum()
    };
    Cost { customers_out: 0, exposure: least(|p| p.exposure), operations: least(|p| p.operations) }
}

/// How far the search has come.
#[derive(Default)]
struct Course {
    best: BTreeMap<Vec<Device>, Boundary>,
    /// Cuts looked at, steps taken, nodes looked at.
    looked: usize,
    steps: usize,
    nodes: usize,
    /// Numbers what waits.
    count: usize,
    /// A pick-up had so many loop points that not every choice was weighed.
    unweighed: bool,
    /// A boundary was left out as it was asked for.
    passed_over: bool,
}

impl Course {
    /// True where nothing that is left can be better in anything than what was found. A short search
    /// goes on all the same: what is worse in everything is told too.
    fn nothing_better(&self, least: Cost) -> bool {
        self.steps >= TOLD_IN_FULL
            && self.best.values().any(|b| b.cost == least || least.is_dominated_by(b.cost))
    }

    /// True where the bound is reached and there is a boundary, if only one to be left out.
    fn is_over(&self) -> bool {
        let over = self.looked >= MOST_CUTS || self.steps >= MOST_STEPS || self.nodes >= MOST_NODES;
        over && (self.passed_over || !self.best.is_empty())
    }

    /// What was found; `next` are the customers that the next cut would put out for good, if any
    /// waits.
    fn end(self, next: Option<usize>) -> Found {
        let mut boundaries: Vec<Boundary> = self.best.into_values().collect();
        boundaries.sort_by(|a, b| (a.cost, &a.edges).cmp(&(b.cost, &b.edges)));
        let least = boundaries.first().map(|best| best.cost.customers_out);
        let beaten = next.is_some_and(|next| least.is_some_and(|least| next <= least));
        let proof = if beaten || self.unweighed {
            let customers_out_at_least = next.or(least).unwrap_or(0).min(least.unwrap_or(0));
            Proof::BestWithinBound { cuts_looked_at: self.looked, customers_out_at_least }
        } else {
            Proof::Optimal
        };
        Found { boundaries, complete: next.is_none(), proof, looked: self.looked }
    }
}

/// A cut with what parts the other sources.
struct Completed {
    boundary: Boundary,
    /// Every pick-up was weighed.
    weighed: bool,
    /// The trunk was cut again for the other sources.
    used_trunk: bool,
}

struct Search<'a> {
    problem: &'a Problem,
    meeting: Meeting,
    trunk: Trunk,
    trunk_meeting: Meeting,
    /// Which of the trunk's customers are supplied now.
    before: Vec<bool>,
    /// Boundaries to be left out.
    passed_over: &'a BTreeSet<Vec<usize>>,
}

impl Search<'_> {
    /// Adds a state, with what its inside cuts off from every feeder taken inside as well; drops it
    /// where that would take in a feeder or what was decided to stay outside.
    fn push(&self, waiting: &mut Waiting, course: &mut Course, mut state: State) {
        let trunk = &self.trunk.problem;
        course.nodes += trunk.nodes;
        if trunk.feeders.iter().any(|&f| is(&state.inside, f)) {
            return;
        }
        let beyond = self.trunk_meeting.reach(&trunk.feeders, |edge| {
            let ends = trunk.edges.get(edge).map_or([0, 0], |e| e.ends);
            !ends.iter().any(|&end| is(&state.inside, end))
        });
        let mut size = 0;
        for node in 0..trunk.nodes {
            if !is(&beyond, node) {
                if is(&state.outside, node) {
                    return;
                }
                set(&mut state.inside, node, true);
                size += 1;
            }
        }
        let cut: Vec<usize> = self.edge_of(&state.inside).into_iter().map(|(e, _)| e).collect();
        let customers = trunk.cannot_be_kept(&self.trunk_meeting, &self.before, &cut);
        course.count += 1;
        waiting.insert((customers, size, course.count), state);
    }

    /// The edges of the trunk from inside to outside, each with its outer end.
    fn edge_of(&self, inside: &[bool]) -> Vec<(usize, usize)> {
        let crossing = self.trunk.problem.edges.iter().enumerate().filter_map(|(number, edge)| {
            match edge.ends.map(|end| is(inside, end)) {
                [true, false] => Some((number, edge.ends[1])),
                [false, true] => Some((number, edge.ends[0])),
                _ => None,
            }
        });
        crossing.collect()
    }

    /// Completes a cut towards the feeders by the cheapest one towards the other sources, and keeps
    /// it where it is the cheapest by its means.
    fn take(&self, cut: &BTreeSet<usize>, customers: usize, course: &mut Course) {
        let edges: Vec<usize> = cut.iter().copied().collect();
        let means = self.means(&edges);
        let prices = || edges.iter().filter_map(|&e| self.problem.edges.get(e)?.price);
        let least = Cost {
            customers_out: customers,
            exposure: prices().map(|p| p.exposure).sum(),
            operations: prices().map(|p| p.operations).sum(),
        };
        let beaten = course.best.get(&means).is_some_and(|b| b.cost < least);
        if beaten || course.nothing_better(least) {
            return;
        }
        // The cheapest way to part the other sources may make the cut itself needless, and so be
        // another boundary; the cheapest that leaves the trunk alone is this one's own price.
        for in_trunk in [true, false] {
            course.nodes += self.problem.nodes * (8 + edges.len());
            let Some(Completed { boundary, weighed, used_trunk }) = self.complete(cut, in_trunk)
            else {
                continue;
            };
            course.unweighed |= !weighed;
            let left_out = self.passed_over.contains(&boundary.edges);
            course.passed_over |= left_out;
            let better = course
                .best
                .get(&boundary.means)
                .is_none_or(|b| (boundary.cost, &boundary.edges) < (b.cost, &b.edges));
            if better && !left_out {
                course.best.insert(boundary.means.clone(), boundary);
            }
            if !used_trunk {
                break;
            }
        }
    }

    /// By what means the edges part the zone from the feeders.
    fn means(&self, edges: &[usize]) -> Vec<Device> {
        let reached = self.meeting.reach(&self.problem.feeders, |edge| !edges.contains(&edge));
        let towards = edges.iter().filter_map(|&edge| self.problem.edges.get(edge));
        let mut means: Vec<Device> = towards
            .filter(|e| !e.open_now && e.ends.iter().any(|&end| is(&reached, end)))
            .filter_map(|e| e.price.map(|p| p.device))
            .collect();
        means.sort_unstable();
        means
    }

    /// The cut and the cheapest one towards the other sources, which uses edges of the trunk only
    /// where `in_trunk` says so.
    fn complete(&self, cut: &BTreeSet<usize>, in_trunk: bool) -> Option<Completed> {
        let problem = self.problem;
        let price = |edge: usize| {
            if cut.contains(&edge) {
                return None;
            }
            let weight = |p: Price| (u64::from(p.exposure) << 24) + u64::from(p.operations);
            if !in_trunk && self.trunk.edges.binary_search(&edge).is_ok() {
                return Some(UNCUT);
            }
            problem.edges.get(edge).map(|e| e.price.map_or(UNCUT, weight))
        };
        let other = &problem.other_sources;
        let more = cheapest_cut(&problem.edges, &self.meeting, &problem.zone, other, price)?;
        let used_trunk = more.iter().any(|edge| self.trunk.edges.binary_search(edge).is_ok());
        let mut edges: Vec<usize> = cut.iter().copied().chain(more).collect();
        edges.sort_unstable();
        edges.dedup();
        // A cut towards the other sources may also stand between the zone and a feeder.
        for edge in edges.clone().into_iter().rev() {
            let without: Vec<usize> = edges.iter().copied().filter(|&e| e != edge).collect();
            if problem.separates(&self.meeting, &without) {
                edges = without;
            }
        }
        let (cost, weighed) = problem.cost(&self.meeting, &edges);
        let means = self.means(&edges);
        Some(Completed { boundary: Boundary { edges, cost, means }, weighed, used_trunk })
    }
}

#[cfg(test)]
mod tests;
