//! Boundaries: sets of openings after which no source reaches the zone, cheapest first.
//!
//! The search splits the question in two. Who goes out depends only on how the *feeders* are cut
//! off: every such minimal cut is tried from the zone outward, in the order of the customers whom no
//! pick-up could keep on (a cut farther out never keeps more). What parts the zone from the *other*
//! sources inside what the cut leaves is then a cheapest cut, for everybody in there is out already.
//! So the first of the result is the cheapest boundary there is, which a test holds against trying
//! all subsets. Both look only at the trunk of the network, with dead ends folded in, and only as far
//! around the zone as they come (`near`, `within`): a far away town costs nothing.
//!
//! Where the search ends at its bound, the order says what is still certain: no cut that was not
//! looked at keeps more customers on than the next one that waits. If the best keeps more than that,
//! it is the best there is all the same, and only alternatives may be missing.

mod near;
mod within;

use std::collections::{BTreeMap, BTreeSet};

use super::compact::Compact;
use super::cut::{UNCUT, cheapest_cut};
use super::graph::{Cost, Meeting, Price, Problem, is};
use super::plan::Proof;
use super::trunk::Trunk;
use crate::plant::Device;
use near::{Near, Sight};
use within::{Completed, Within};

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
    /// The zone's side, in order.
    inside: Vec<usize>,
    /// Decided to stay on the feeders' side, in order.
    outside: Vec<usize>,
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
    let search = Search::new(problem, &meeting, passed_over);
    let mut run = Run { floor: floor_of(problem, &meeting), ..Run::default() };
    let inside = search.together(&search.trunk.problem.zone);
    search.push(&mut run, State { inside, outside: Vec::new() });
    while let Some((key, state)) = run.waiting.pop_first() {
        let (customers, ..) = key;
        if run.course.nothing_better(Cost { customers_out: customers, ..run.floor }) {
            return run.course.end(None);
        }
        if run.course.is_over() {
            run.waiting.insert(key, state);
            break;
        }
        run.course.steps += 1;
        search.step(&mut run, customers, state);
    }
    let next = run.waiting.first_key_value().map(|((customers, ..), _)| *customers);
    run.course.end(next)
}

/// The boundary of the fewest openings; none where there is none.
pub(super) fn fewest(problem: &Problem) -> Option<Vec<usize>> {
    let may_open = |edge: usize| problem.edges.get(edge).is_some_and(|e| e.price.is_some());
    separated_by(problem, |edge| if may_open(edge) { 1 } else { UNCUT })
}

/// The cheapest edges that part the zone from every source, by this price each.
pub(super) fn separated_by(problem: &Problem, price: impl Fn(usize) -> i128) -> Option<Vec<usize>> {
    let meeting = problem.meeting();
    let to: Vec<usize> = problem.feeders.iter().chain(&problem.other_sources).copied().collect();
    cheapest_cut(&problem.edges, &meeting, &problem.zone, &to, |edge| Some(price(edge)))
}

/// Last resorts, exposure and operations that no boundary goes below, each by itself.
fn floor_of(problem: &Problem, meeting: &Meeting) -> Cost {
    let to: Vec<usize> = problem.feeders.iter().chain(&problem.other_sources).copied().collect();
    let least = |part: fn(Price) -> u32| -> u32 {
        let price = |edge: usize| {
            problem.edges.get(edge).map(|e| e.price.map_or(UNCUT, |p| i128::from(part(p))))
        };
        let cut = cheapest_cut(&problem.edges, meeting, &problem.zone, &to, price);
        let edges = cut.unwrap_or_default().into_iter();
        edges.filter_map(|edge| problem.edges.get(edge)?.price).map(part).sum()
    };
    Cost {
        customers_out: 0,
        last_resorts: least(Price::last_resorts),
        exposure: least(|p| p.exposure),
        operations: least(|p| p.operations),
    }
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

/// A search under way.
#[derive(Default)]
struct Run {
    waiting: Waiting,
    course: Course,
    sight: Sight,
    /// No boundary costs less than this.
    floor: Cost,
}

struct Search<'a> {
    problem: &'a Problem,
    meeting: &'a Meeting,
    trunk: Trunk,
    trunk_meeting: Meeting,
    /// Which customers of the whole problem are supplied now.
    before: Vec<bool>,
    /// How many customers at each node of the trunk are supplied now.
    supplied: Vec<usize>,
    /// Ways to the feeders over every edge of the trunk.
    every: Near,
    /// Ways to the feeders over what is closed or may be closed onto load.
    kept: Near,
    /// Boundaries to be left out.
    passed_over: &'a BTreeSet<Vec<usize>>,
}

impl<'a> Search<'a> {
    fn new(
        problem: &'a Problem,
        meeting: &'a Meeting,
        passed_over: &'a BTreeSet<Vec<usize>>,
    ) -> Self {
        let trunk = Trunk::of(problem);
        let of = &trunk.problem;
        let trunk_meeting = of.meeting();
        let mut supplied = vec![0; of.nodes];
        let before = of.supplied(&trunk_meeting, &[]);
        for (&node, _) in of.customers.iter().zip(before).filter(|(_, before)| *before) {
            if let Some(count) = supplied.get_mut(node) {
                *count += 1;
            }
        }
        let every = Near::of(of, &trunk_meeting, vec![true; of.edges.len()]);
        let passes = of.edges.iter().map(|e| !e.open_now || e.closing.is_some()).collect();
        let kept = Near::of(of, &trunk_meeting, passes);
        let before = problem.supplied(meeting, &[]);
        Self { problem, meeting, trunk, trunk_meeting, before, supplied, every, kept, passed_over }
    }

    /// What hangs together with these nodes over what does not open, in order.
    fn together(&self, nodes: &[usize]) -> Vec<usize> {
        let fixed =
            |edge: usize| self.trunk.problem.edges.get(edge).is_none_or(|e| e.price.is_none());
        let mut found: BTreeSet<usize> = nodes.iter().copied().collect();
        let mut waiting = nodes.to_vec();
        while let Some(node) = waiting.pop() {
            for &(edge, far) in self.trunk_meeting.at(node) {
                if fixed(edge) && found.insert(far) {
                    waiting.push(far);
                }
            }
        }
        found.into_iter().collect()
    }

    /// Decides on one node at the edge of a state, or takes its cut where nothing is left to decide.
    fn step(&self, run: &mut Run, customers: usize, state: State) {
        run.sight.look_at(self.trunk.problem.nodes, &state.inside);
        let cut = self.edge_of(&state.inside, &run.sight);
        let undecided = cut.iter().find(|(_, far)| state.outside.binary_search(far).is_err());
        let Some(&(_, far)) = undecided else {
            run.course.looked += 1;
            self.take(&state.inside, &cut, customers, run);
            return;
        };
        // Over what does not open, a decision holds for the whole island.
        let island = self.together(&[far]);
        let farther =
            State { inside: both(&state.inside, &island), outside: state.outside.clone() };
        let outside = both(&state.outside, &island);
        self.push(run, State { inside: state.inside, outside });
        self.push(run, farther);
    }

    /// Adds a state, with what its inside cuts off from every feeder taken inside as well; drops it
    /// where that would take in a feeder or what was decided to stay outside.
    fn push(&self, run: &mut Run, mut state: State) {
        let trunk = &self.trunk.problem;
        let (sight, looked) = (&mut run.sight, &mut run.course.nodes);
        sight.look_at(trunk.nodes, &state.inside);
        *looked += state.inside.len();
        if trunk.feeders.iter().any(|&feeder| sight.inside.has(feeder)) {
            return;
        }
        let more = self.every.cut_off(&self.trunk_meeting, &state.inside, sight, looked);
        if more.iter().any(|node| state.outside.binary_search(node).is_ok()) {
            return;
        }
        for &node in &more {
            sight.inside.set(node);
        }
        state.inside = both(&state.inside, &more);
        // A pick-up could keep whoever is neither inside nor reached through it alone.
        let dark = self.kept.cut_off(&self.trunk_meeting, &state.inside, sight, looked);
        let supplied = state.inside.iter().chain(&dark).filter_map(|&n| self.supplied.get(n));
        let customers = supplied.sum();
        run.course.count += 1;
        run.waiting.insert((customers, state.inside.len(), run.course.count), state);
    }

    /// The edges of the trunk from inside to outside, in order, each with its outer end.
    fn edge_of(&self, inside: &[usize], sight: &Sight) -> Vec<(usize, usize)> {
        let at = inside.iter().flat_map(|&node| self.trunk_meeting.at(node));
        let mut crossing: Vec<(usize, usize)> =
            at.filter(|&&(_, far)| !sight.inside.has(far)).copied().collect();
        crossing.sort_unstable();
        crossing
    }

    /// Completes a cut towards the feeders by the cheapest one towards the other sources, and keeps
    /// it where it is the cheapest by its means.
    fn take(&self, inside: &[usize], cut: &[(usize, usize)], customers: usize, run: &mut Run) {
        let course = &mut run.course;
        let least = Cost { customers_out: customers, ..self.price_of(cut.iter().map(|c| c.0)) };
        // Whatever is outside is reached by a feeder around the inside.
        let means = self.means(cut.iter().map(|c| c.0));
        let beaten = course.best.get(&means).is_some_and(|b| b.cost < least);
        if beaten || course.nothing_better(least) {
            return;
        }
        let within = Within::new(self, inside, cut);
        // The cheapest way to part the other sources may make the cut itself needless, and so be
        // another boundary; the cheapest that leaves the trunk alone is this one's own price.
        for in_trunk in [true, false] {
            course.nodes += 8 * inside.len();
            let Some(Completed { edges, means, least, used_trunk }) =
                within.complete(customers, in_trunk)
            else {
                continue;
            };
            let best = course.best.get(&means);
            if best.is_none_or(|best| best.cost >= least) {
                course.nodes += 8 * self.problem.nodes;
                let (cost, weighed) = self.problem.cost(self.meeting, &self.before, &edges);
                course.unweighed |= !weighed;
                let left_out = self.passed_over.contains(&edges);
                course.passed_over |= left_out;
                let better = best.is_none_or(|b| (cost, &edges) < (b.cost, &b.edges));
                if better && !left_out {
                    course.best.insert(means.clone(), Boundary { edges, cost, means });
                }
            }
            if !used_trunk {
                break;
            }
        }
    }

    /// What these edges of the trunk cost by themselves.
    fn price_of(&self, edges: impl Iterator<Item = usize>) -> Cost {
        let prices = edges.filter_map(|edge| self.trunk.problem.edges.get(edge)?.price);
        prices.fold(Cost::default(), |sum, price| Cost {
            customers_out: 0,
            last_resorts: sum.last_resorts + price.last_resorts(),
            exposure: sum.exposure + price.exposure,
            operations: sum.operations + price.operations,
        })
    }

    /// By what means these edges of the trunk are opened; what is held open is not in it.
    fn means(&self, edges: impl Iterator<Item = usize>) -> Vec<Device> {
        let edges = edges.filter_map(|edge| self.trunk.problem.edges.get(edge));
        let opened = edges.filter(|edge| !edge.open_now);
        let mut means: Vec<Device> = opened.filter_map(|e| e.price.map(|p| p.device)).collect();
        means.sort_unstable();
        means
    }
}

/// Two lists in order as one.
fn both(one: &[usize], other: &[usize]) -> Vec<usize> {
    let mut all: Vec<usize> = one.iter().chain(other).copied().collect();
    all.sort_unstable();
    all.dedup();
    all
}

#[cfg(test)]
mod tests;
