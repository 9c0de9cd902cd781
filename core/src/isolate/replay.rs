//! A plan played step by step on the network it was made for.
//!
//! At no step may anybody lose supply who is not told of, may a source reach the zone between the
//! proof of dead and the first closing, or may two feeders be tied that were not before (unless the
//! rule sheet permits it). A plan that breaks this is withdrawn, never offered: the search and the
//! order of the steps are made so that it does not happen, and this is what sees to it.

use super::graph::{Meeting, Problem, is, set};
use super::plan::{Breach, Opening, Plan, Step, StepAct, Turn};
use super::question::Question;
use crate::quantity::AssetId;

/// Plays plans on one network.
pub(super) struct Replay<'a> {
    pub(super) question: &'a Question<'a>,
    pub(super) problem: &'a Problem,
    pub(super) meeting: &'a Meeting,
    pub(super) may_tie: bool,
}

impl Replay<'_> {
    /// The first step that does what it must not, counted through the steps there and back; none
    /// where all hold.
    pub(super) fn breach(&self, plan: &Plan) -> Option<(usize, Breach)> {
        let problem = self.problem;
        let mut closed: Vec<bool> = problem.edges.iter().map(|e| !e.open_now).collect();
        let at_first = self.feeders_apart(&closed);
        let before = problem.supplied(self.meeting, &[]);
        let told: Vec<bool> = self
            .question
            .customers()
            .map(|id| plan.customers_out.iter().any(|out| &out.service == id))
            .collect();
        let mut proven_dead = false;
        for (number, step) in plan.steps.iter().chain(&plan.restoration).enumerate() {
            let effect = effect(step, &plan.openings);
            if let (Some(effect), Some(edge)) = (&effect, self.edge(step.branch.as_ref())) {
                set(&mut closed, edge, matches!(effect, Turn::Closes));
            }
            proven_dead |= step.act == StepAct::ProveDead;
            let closes_in = matches!(effect, Some(Turn::Closes)) && step.act != StepAct::PickUp;
            proven_dead &= !closes_in;
            // Only what opens takes supply away.
            if matches!(effect, Some(Turn::Opens)) {
                let supplied = self.meeting.reach(&problem.feeders, |edge| is(&closed, edge));
                let nodes = problem.customers.iter().map(|&node| is(&supplied, node));
                let mut lost = before.iter().zip(nodes).zip(&told);
                if lost.any(|((&before, now), &told)| before && !now && !told) {
                    return Some((number, Breach::CustomerLost));
                }
            }
            let turned = effect.is_some() || step.act == StepAct::ProveDead;
            if turned && proven_dead && self.reaches_zone(&closed) {
                return Some((number, Breach::ZoneEnergised));
            }
            // Only what closes ties.
            let joins = matches!(effect, Some(Turn::Closes));
            if joins && ties(&at_first, &self.feeders_apart(&closed)) {
                return Some((number, Breach::SourcesTied));
            }
        }
        None
    }

    fn edge(&self, branch: Option<&AssetId>) -> Option<usize> {
        let branches = &self.question.branches;
        branches.binary_search_by(|b| Some(&b.id).cmp(&branch)).ok()
    }

    fn reaches_zone(&self, closed: &[bool]) -> bool {
        let reached = self.meeting.reach(&self.problem.zone, |edge| is(closed, edge));
        let sources = self.problem.feeders.iter().chain(&self.problem.other_sources);
        sources.into_iter().any(|&source| is(&reached, source))
    }

    /// For each feeder the first one it is joined to; none where that does not matter.
    fn feeders_apart(&self, closed: &[bool]) -> Vec<usize> {
        let feeders = &self.problem.feeders;
        if self.may_tie || feeders.len() < 2 {
            return Vec::new();
        }
        let mut first: Vec<Option<usize>> = vec![None; feeders.len()];
        for (number, &feeder) in feeders.iter().enumerate() {
            if first.get(number).copied().flatten().is_some() {
                continue;
            }
            let reached = self.meeting.reach(&[feeder], |edge| is(closed, edge));
            for (slot, &other) in first.iter_mut().zip(feeders) {
                if slot.is_none() && is(&reached, other) {
                    *slot = Some(number);
                }
            }
        }
        first.into_iter().map(Option::unwrap_or_default).collect()
    }
}

/// True where two feeders are joined now that were apart at first.
fn ties(at_first: &[usize], now: &[usize]) -> bool {
    let pairs = at_first.iter().zip(now);
    pairs
        .clone()
        .any(|(was, is)| pairs.clone().any(|(was_too, is_too)| is == is_too && was != was_too))
}

/// What a step opens or closes: a set is open with the last of its legs off.
fn effect(step: &Step, openings: &[Opening]) -> Option<Turn> {
    let of_branch = openings.iter().find(|o| Some(&o.branch) == step.branch.as_ref());
    let more_legs = step.act == StepAct::LiftLeg
        && step.leg.as_ref() != of_branch.and_then(|opening| opening.legs.last());
    step.act.turn().filter(|_| !more_legs)
}
