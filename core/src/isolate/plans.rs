//! The whole plan of a boundary: openings, who goes out and who is picked up, steps, cautions.

use std::collections::{BTreeMap, BTreeSet};

use super::boundary::{Boundary, boundaries};
use super::graph::{Meeting, Problem, is};
use super::opening::{Openable, Openings, whole};
use super::phases::Phases;
use super::pickup::{PickedUp, pick_ups};
use super::plan::{CustomerOut, NotPickedUp, Opening, PickUp, Plan, WhyNotPickedUp};
use super::protect::Near;
use super::question::{Question, rated, unseen};
use super::{caution, steps};
use crate::plant::Critical;
use crate::quantity::{AssetId, IdError, NodeId, in_amps};
use crate::rule_sheet::RuleSheet;

/// Makes plans of boundaries.
pub(super) struct Planner<'a> {
    pub(super) question: &'a Question<'a>,
    pub(super) looked: &'a Openings<'a>,
    pub(super) rules: &'a RuleSheet,
    pub(super) phases: &'a Phases<'a>,
}

impl Planner<'_> {
    /// The whole plan of a boundary.
    pub(super) fn plan(
        &self,
        problem: &Problem,
        meeting: &Meeting,
        boundary: &Boundary,
    ) -> Result<Plan, IdError> {
        let question = self.question;
        let (plant, request) = (question.plant, question.request);
        let openables = boundary.edges.iter().filter_map(|&edge| question.opened(edge));
        let load = |opening: &Opening| self.looked.expected(opening);
        let told = |opening: &Opening| Opening { expected: load(opening), ..opening.clone() };
        let mut openings: Vec<Opening> = openables.map(|o| told(&o.opening)).collect();
        steps::in_order(&mut openings);
        let before = problem.supplied(meeting, &[]);
        let picked = pick_ups(problem, meeting, &before, &boundary.edges);
        let pick_ups = self.picked(&picked);
        let back_out = self.back_out(problem, meeting, &before, &boundary.edges);
        let customers_out = self.out(&picked, &pick_ups, &back_out);
        let dead_numbers = meeting.reach(&problem.zone, |e| !boundary.edges.contains(&e));
        let numbers = question.numbers.iter();
        let dead: BTreeSet<NodeId> = numbers
            .filter(|&(_, &number)| is(&dead_numbers, number))
            .map(|(node, _)| (*node).clone())
            .collect();
        let target = plant.services.get(&request.service);
        let made = caution::Made {
            openings: &openings,
            customers_out: &customers_out,
            pick_ups: &pick_ups,
        };
        let work = steps::Work {
            plant,
            request,
            zone: question.zone,
            openings: &openings,
            pick_ups: &pick_ups,
            may_tie: self.rules.allow_paralleling,
            meter_comes_out: target.is_some_and(|s| self.looked.meter_comes_out(s)),
            sources_left: target.is_some_and(|s| {
                !s.sources.is_empty() || !request.sources_ruled_out.contains(&s.id)
            }),
        };
        let mut plan = Plan {
            steps: work.forward()?,
            restoration: work.back()?,
            cautions: caution::cautions(plant, request, &made, &dead),
            exposure: boundary.cost.exposure,
            operations: boundary.cost.operations,
            last_resorts: boundary.cost.last_resorts,
            still_out: picked.still_out,
            not_picked_up: picked
                .overloaded
                .iter()
                .filter_map(|&edge| question.branches.get(edge))
                .map(|b| NotPickedUp { branch: b.id.clone(), rule: WhyNotPickedUp::Overload })
                .collect(),
            customers_out,
            pick_ups,
            openings,
        };
        let near = Near {
            plant,
            rules: self.rules,
            phases: self.phases,
            target: &request.service,
            primary: self.looked.primary,
            at_base: request.at_base(),
        };
        near.note(&mut plan);
        caution::at_step::note(&mut plan, plant);
        Ok(plan)
    }

    /// The plans that only the missing visible break stands against.
    pub(super) fn not_offered(&self) -> Result<Vec<Plan>, IdError> {
        if !self.question.openable.iter().flatten().any(unseen) {
            return Ok(Vec::new());
        }
        let wider = self.question.problem(|o| o.why_not.is_none() || unseen(o))?;
        let meeting = wider.meeting();
        let has_unseen = |boundary: &&Boundary| {
            let opened = |&edge: &usize| self.question.opened(edge);
            boundary.edges.iter().filter_map(opened).any(unseen)
        };
        let found = boundaries(&wider, &BTreeSet::new());
        let of = found.boundaries.iter().filter(has_unseen);
        of.map(|boundary| self.plan(&wider, &meeting, boundary)).collect()
    }

    fn picked(&self, picked: &PickedUp) -> Vec<PickUp> {
        let services: Vec<&AssetId> = self.question.customers().collect();
        let name = |&place: &usize| services.get(place).map(|id| (*id).clone());
        let closings = picked.closings.iter().filter_map(|closed| {
            let openable: &Openable<'_> = self.question.opened(closed.edge)?;
            let closing = openable.closing?;
            Some(PickUp {
                close: openable.opening.branch.clone(),
                customers_back: closed.back.iter().filter_map(name).collect(),
                amps: whole_amps(closed.milliamps),
                rated_amps: openable
                    .switch
                    .map_or(0, |s| whole(libm::floor(in_amps(rated(s, true))))),
                operations: closing.operations,
                exposure: closing.exposure,
            })
        });
        closings.collect()
    }

    /// Who is fed by a loop point that was closed for this work, and so goes out once more when it is
    /// opened again: their places, each with that loop point.
    fn back_out(
        &self,
        problem: &Problem,
        meeting: &Meeting,
        before: &[bool],
        boundary: &[usize],
    ) -> BTreeMap<usize, &AssetId> {
        let mut fed = BTreeMap::new();
        let mut open = boundary.to_vec();
        let branches = self.question.branches.iter().enumerate();
        for (edge, branch) in branches {
            if !self.question.request.picked_up.contains(&branch.id) || open.contains(&edge) {
                continue;
            }
            open.push(edge);
            let after = problem.supplied(meeting, &open);
            for (place, _) in
                before.iter().zip(&after).enumerate().filter(|(_, (b, a))| **b && !**a)
            {
                fed.entry(place).or_insert(&branch.id);
            }
        }
        fed
    }

    /// Who goes out, those whom it would endanger first. Where two sources may be tied, whoever is
    /// picked up never goes out.
    fn out(
        &self,
        picked: &PickedUp,
        pick_ups: &[PickUp],
        back_out: &BTreeMap<usize, &AssetId>,
    ) -> Vec<CustomerOut> {
        let services: Vec<&AssetId> = self.question.customers().collect();
        let places: BTreeSet<usize> = picked.out.iter().chain(back_out.keys()).copied().collect();
        let mut all: Vec<CustomerOut> = places
            .into_iter()
            .filter_map(|place| {
                let service = self.question.plant.services.get(*services.get(place)?)?;
                let by = pick_ups.iter().find(|p| p.customers_back.contains(&service.id));
                let meanwhile = back_out.get(&place).filter(|_| !picked.out.contains(&place));
                Some(CustomerOut {
                    service: service.id.clone(),
                    premises: service.premises.clone(),
                    critical: service.critical,
                    back_by: by.map(|p| &p.close).or(meanwhile.copied()).cloned(),
                })
            })
            .filter(|out| !self.rules.allow_paralleling || out.back_by.is_none())
            .collect();
        all.sort_by(|a, b| {
            (urgency(a.critical), &a.service).cmp(&(urgency(b.critical), &b.service))
        });
        all
    }
}

/// Who is named first.
const fn urgency(critical: Option<Critical>) -> u8 {
    match critical {
        Some(Critical::LifeSupport) => 0,
        Some(Critical::WellPump) => 1,
        Some(Critical::TrafficLight) => 2,
        None => 3,
    }
}

fn whole_amps(milliamps: u64) -> u32 {
    u32::try_from(milliamps.div_ceil(1000)).unwrap_or(u32::MAX)
}
