//! Pick-up switching: which loop points are closed meanwhile, so that most customers stay supplied.
//!
//! A loop point is closed only between what a feeder supplies and what none does: no two sources are
//! ever tied. What it would then carry is held against its rating, and against those of everything
//! on the way that feeds it: the amps that were read where there are any, else the nameplates of the
//! transformers behind. Where everybody comes back by the cheapest loop points, nothing is better. Else
//! up to [`MOST_WEIGHED`] loop points every choice is weighed; beyond, the one that brings most
//! customers back is taken again and again.

mod islands;

use super::graph::{Meeting, Problem};
use islands::{Islands, Way};

/// Up to how many loop points every choice is weighed.
pub(super) const MOST_WEIGHED: usize = 8;

/// A loop point that is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Closed {
    pub(super) edge: usize,
    /// Whose supply comes back by it: places in the problem's list of customers.
    pub(super) back: Vec<usize>,
    /// What it then carries at most.
    pub(super) milliamps: u64,
}

/// What can be done for those who go out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct PickedUp {
    /// Who goes out at first: places in the problem's list of customers.
    pub(super) out: Vec<usize>,
    /// In the order they are closed.
    pub(super) closings: Vec<Closed>,
    /// Loop points that would bring customers back, were something not overloaded by it.
    pub(super) overloaded: Vec<usize>,
    pub(super) still_out: usize,
    pub(super) last_resorts: u32,
    pub(super) exposure: u32,
    pub(super) operations: u32,
    /// Whether every choice was weighed.
    pub(super) complete: bool,
}

/// How good a choice is; smaller is better.
type Rank = (usize, u32, u32, u32, usize);

/// The best pick-up for those supplied `before`, with these edges open.
pub(super) fn pick_ups(
    problem: &Problem,
    meeting: &Meeting,
    before: &[bool],
    open: &[usize],
) -> PickedUp {
    let after = problem.supplied(meeting, open);
    let flags = before.iter().zip(&after).enumerate();
    let out: Vec<usize> = flags.filter(|&(_, (&b, &a))| b && !a).map(|(place, _)| place).collect();
    let none = PickedUp { still_out: out.len(), out, complete: true, ..PickedUp::default() };
    let may_close = |e: &super::graph::Edge| e.closing.is_some() && e.open_now;
    if none.out.is_empty() || !problem.edges.iter().any(may_close) {
        return none;
    }
    let islands = Islands::of(problem, meeting, open, &none.out);
    let ways = islands.ways();
    if ways.is_empty() {
        return none;
    }
    let everybody = islands.everybody().filter(|ways| islands.close(ways).is_some());
    let complete = everybody.is_some() || ways.len() <= MOST_WEIGHED;
    let best = match everybody {
        Some(best) => best,
        None if complete => weighed(&islands, ways),
        None => taken_in_turn(&islands, ways),
    };
    let overloaded = ways
        .iter()
        .filter(|way| !best.iter().any(|chosen| chosen.edge == way.edge))
        .filter(|way| islands.brings_back(way) && islands.close(&[**way]).is_none())
        .map(|way| way.edge)
        .collect();
    let closings = islands.close(&best).unwrap_or_default();
    let back: usize = closings.iter().map(|c| c.back.len()).sum();
    PickedUp {
        overloaded,
        still_out: none.out.len() - back,
        last_resorts: best.iter().map(|way| way.closing.last_resorts).sum(),
        exposure: best.iter().map(|way| way.closing.exposure).sum(),
        operations: best.iter().map(|way| way.closing.operations).sum(),
        complete,
        closings,
        ..none
    }
}

/// How good a choice would be, if it holds.
fn promised(islands: &Islands<'_>, chosen: &[Way]) -> Option<Rank> {
    let back = islands.promised(chosen)?;
    let last_resorts = chosen.iter().map(|way| way.closing.last_resorts).sum();
    let exposure = chosen.iter().map(|way| way.closing.exposure).sum();
    let operations = chosen.iter().map(|way| way.closing.operations).sum();
    Some((usize::MAX - back, last_resorts, exposure, operations, chosen.len()))
}

fn rank(islands: &Islands<'_>, chosen: &[Way]) -> Option<Rank> {
    promised(islands, chosen).filter(|_| islands.close(chosen).is_some())
}

/// The best of all choices; of equal ones the first.
fn weighed(islands: &Islands<'_>, ways: &[Way]) -> Vec<Way> {
    let mut best: Option<(Rank, Vec<Way>)> = None;
    for subset in 0..1_usize << ways.len() {
        let chosen: Vec<Way> = ways
            .iter()
            .enumerate()
            .filter(|(place, _)| subset & (1 << place) != 0)
            .map(|(_, way)| *way)
            .collect();
        let Some(promised) = promised(islands, &chosen) else { continue };
        let better = best.as_ref().is_none_or(|(rank, _)| promised < *rank);
        if better && islands.close(&chosen).is_some() {
            best = Some((promised, chosen));
        }
    }
    best.map_or_else(Vec::new, |(_, chosen)| chosen)
}

/// The loop point that brings most customers back, again and again; those that in the end bring
/// nobody back are left open.
fn taken_in_turn(islands: &Islands<'_>, ways: &[Way]) -> Vec<Way> {
    let mut chosen: Vec<Way> = Vec::new();
    loop {
        let next = ways
            .iter()
            .filter(|way| !chosen.contains(way))
            .filter_map(|way| {
                let mut with = chosen.clone();
                with.push(*way);
                Some((rank(islands, &with)?, way))
            })
            .min_by_key(|(rank, way)| (*rank, way.edge));
        let Some((_, way)) = next else { break };
        chosen.push(*way);
    }
    for way in chosen.clone().into_iter().rev() {
        let without: Vec<Way> = chosen.iter().copied().filter(|kept| *kept != way).collect();
        if rank(islands, &without).is_some_and(|less| Some(less) < rank(islands, &chosen)) {
            chosen = without;
        }
    }
    chosen
}
