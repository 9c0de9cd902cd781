//! What of the network is drawn: every way between the sources and the work zone, and the whole of
//! the target's pads. Dead ends without a say in it are left out.

use std::collections::{BTreeMap, BTreeSet};

use super::fact::Facts;
use super::web::Flags;
use crate::plant::Device;

/// With more places than this where ways part, only the shortest way to each thing that matters is
/// drawn. A sheet of loops has some tens.
const MOST_PARTINGS: usize = 120;

/// What is drawn.
pub(super) struct Shown {
    /// Which edges.
    pub(super) edges: Flags,
    /// Whether there are more ways than are drawn.
    pub(super) cut: bool,
    /// How many customers' own sources hang beside a node, out of sight.
    pub(super) own: BTreeMap<usize, usize>,
}

/// Finds what is drawn.
pub(super) fn shown(facts: &Facts<'_>) -> Shown {
    let web = &facts.web;
    let joined = web.walk(facts.zone.all(), |edge| facts.is_seen(edge)).reached;
    let ends = ends(facts);
    let mut edges = Flags::none(web.edges());
    for edge in 0..web.edges() {
        let near = web.strand(edge).is_some_and(|s| joined.has(s.ends[0]));
        edges.put(edge, near && facts.is_seen(edge));
    }
    prune(facts, &mut edges, &ends);
    let partings = (0..web.nodes()).filter(|&node| degree(facts, &edges, node) > 2).count();
    let cut = partings > MOST_PARTINGS;
    if cut {
        edges = shortest_ways(facts, &edges, &ends);
    }
    let own = own_beside(facts, &edges);
    Shown { edges, cut, own }
}

/// The nodes a dead end is kept for.
fn ends(facts: &Facts<'_>) -> Flags {
    let (web, found, stands) = (&facts.web, facts.asked.found, facts.asked.stands);
    let mut ends = facts.zone.clone();
    let mut keep = |node: usize| ends.put(node, true);
    facts.feeders.keys().for_each(|&node| keep(node));
    for node in stands.grounded.iter().chain(&stands.shorted).chain(stands.proven.keys()) {
        web.number(node).into_iter().for_each(&mut keep);
    }
    for edge in 0..web.edges() {
        let Some(strand) = web.strand(edge) else { continue };
        let branch = strand.branch;
        let touched = facts.numbers.contains_key(&branch.id)
            || stands.states.contains_key(&branch.id)
            || stands.lifted.contains_key(&branch.id);
        // Behind a service that is opened up everything is drawn to its end.
        let behind = Facts::is_derived(branch) && facts.is_seen(edge);
        if touched || behind || is_lug_of_target(facts, edge) {
            strand.ends.into_iter().for_each(&mut keep);
        }
    }
    let sets = facts.pads.iter().flat_map(|pad| facts.asked.plant.sets_of_pad(pad));
    sets.filter_map(|set| web.number(&set.from)).for_each(&mut keep);
    let target = facts.asked.plant.services.get(&found.service);
    target.and_then(|s| web.number(&s.node)).into_iter().for_each(&mut keep);
    ends
}

/// Whether the edge is a lug pair in a pad that feeds the target.
pub(super) fn is_lug_of_target(facts: &Facts<'_>, edge: usize) -> bool {
    facts.web.branch(edge).is_some_and(|branch| {
        branch.device() == Some(Device::LugPair)
            && facts.pad_of(branch).is_some_and(|pad| facts.pads.contains(pad))
    })
}

fn degree(facts: &Facts<'_>, edges: &Flags, node: usize) -> usize {
    facts.web.at(node).iter().filter(|&&edge| edges.has(edge)).count()
}

/// Takes dead ends away that end in nothing that is kept.
fn prune(facts: &Facts<'_>, edges: &mut Flags, ends: &Flags) {
    let web = &facts.web;
    let mut left: Vec<usize> = (0..web.nodes()).map(|n| degree(facts, edges, n)).collect();
    let is_end = |left: &[usize], node: usize| left.get(node) == Some(&1) && !ends.has(node);
    let mut waiting: Vec<usize> = (0..web.nodes()).filter(|&n| is_end(&left, n)).collect();
    while let Some(node) = waiting.pop() {
        let Some(&edge) = web.at(node).iter().find(|&&edge| edges.has(edge)) else { continue };
        edges.put(edge, false);
        let far = web.far(edge, node);
        for end in [node, far] {
            if let Some(count) = left.get_mut(end) {
                *count = count.saturating_sub(1);
            }
        }
        if is_end(&left, far) {
            waiting.push(far);
        }
    }
}

/// The shortest way from everything that is kept to the zone.
fn shortest_ways(facts: &Facts<'_>, edges: &Flags, ends: &Flags) -> Flags {
    let walk = facts.web.walk(facts.zone.all(), |edge| edges.has(edge));
    let mut ways = Flags::none(facts.web.edges());
    for end in ends.all() {
        for (edge, _) in walk.back(end) {
            ways.put(edge, true);
        }
    }
    // Within the zone, and what is opened itself, although no shortest way goes over it.
    for edge in edges.all() {
        let Some(strand) = facts.web.strand(edge) else { continue };
        let inside = strand.ends.iter().all(|&end| facts.zone.has(end));
        if inside || facts.numbers.contains_key(&strand.branch.id) {
            ways.put(edge, true);
        }
    }
    ways
}

/// Counts the own sources of services that are out of sight, at the node on the drawing that they
/// are nearest to. Those on the target's pads are told with their sets.
fn own_beside(facts: &Facts<'_>, edges: &Flags) -> BTreeMap<usize, usize> {
    let web = &facts.web;
    let drawn: BTreeSet<usize> =
        edges.all().filter_map(|edge| web.strand(edge)).flat_map(|s| s.ends).collect();
    let pads = facts.pads.iter().flat_map(|pad| facts.asked.plant.services_of_pad(pad));
    let told: BTreeSet<_> = pads.chain(facts.opened_up.iter().cloned()).collect();
    let mut own = BTreeMap::new();
    let with_own = facts.services.iter().filter(|(_, s)| !s.sources.is_empty());
    let out_of_sight: Vec<(usize, usize)> = with_own
        .filter(|(_, s)| !told.contains(&s.id))
        .map(|(&node, s)| (node, s.sources.len()))
        .collect();
    if out_of_sight.is_empty() {
        return own;
    }
    let walk = web.walk(drawn.iter().copied(), |edge| facts.is_seen(edge));
    for (node, count) in out_of_sight.into_iter().filter(|&(node, _)| walk.reached.has(node)) {
        let at = walk.back(node).last().map_or(node, |&(_, at)| at);
        *own.entry(at).or_insert(0) += count;
    }
    own
}
