//! Isolation plans: which openings part the work zone from every source, in what order, at what
//! price, and what cannot be done.
//!
//! A source is a feeder, a customer's own generator, panels or battery on the record, and the house
//! of every customer for whom nobody has ruled one out. Whether a source reaches the zone is judged
//! with every branch closed that the plan does not open or hold open: a loop point that is open
//! today is a way that somebody may close. Who goes out is judged with what stands open now.
//!
//! Plans are ranked by the customers who lose supply, then by the exposure of the operations, then
//! by their number. [`MOST_CUTS`] bounds the search; [`Isolation::complete`] says whether it was hit.

mod boundary;
mod caution;
mod cut;
mod graph;
mod opening;
mod plan;
mod steps;
mod trunk;
mod zone;

#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

pub use crate::gate::Scope;
pub use plan::{
    Caution, CautionId, Infeasible, Isolation, NotAllowed, Opening, PickUp, Plan, SourceKind,
    SourceRef, Step, StepAct, WhyNot,
};
pub use zone::{Request, RequestError};

use crate::plant::{Branch, Network, Plant, derived};
use crate::quantity::{AssetId, IdError, NodeId};
use crate::rule_sheet::RuleSheet;
use boundary::{Boundary, boundaries, fewest_openings};
use graph::{Edge, Problem, is};
use opening::{Openable, Openings};

/// How many boundaries towards the feeders are looked at before the search ends.
pub const MOST_CUTS: usize = boundary::MOST_CUTS;

/// The isolation plans for a service and scope.
pub fn isolate(
    plant: &Plant,
    request: &Request,
    rules: &RuleSheet,
) -> Result<Isolation, RequestError> {
    let zone = zone::zone(plant, request, rules)?;
    let network = Network::of(plant)?;
    for branch in request.states.keys() {
        if network.branch(branch).and_then(Branch::device).is_none() {
            return Err(RequestError::NoSuchSwitch { branch: branch.clone() });
        }
    }
    let (sources, grounded_against) = zone::sources(plant, request)?
        .into_iter()
        .partition(|s| request.at_base() || s.kind != SourceKind::PossibleCustomer);
    let openings = Openings::new(plant, request, rules, &zone)?;
    let question = Question::new(request, &network, &zone, sources, &openings);
    let allowed = question.problem(plant, |o| o.why_not.is_none())?;
    let found = boundaries(&allowed);
    let offered = found
        .boundaries
        .iter()
        .map(|boundary| question.plan(plant, &openings, &allowed, boundary))
        .collect::<Result<Vec<Plan>, IdError>>()?;
    let not_offered = question.not_offered(plant, &openings)?;
    let (not_allowed, may_open) = question.sorted_branches();
    Ok(Isolation {
        service: request.service.clone(),
        scope: request.scope.clone(),
        fewest_openings: fewest_openings(&allowed),
        infeasible: offered.is_empty().then(|| question.blocked()).flatten(),
        complete: found.complete,
        zone: zone.iter().cloned().collect(),
        sources: question.sources,
        grounded_against,
        may_open,
        not_allowed,
        plans: offered,
        not_offered,
    })
}

/// A network with its branches looked at, and the numbers the search knows them by.
struct Question<'a> {
    request: &'a Request,
    network: &'a Network,
    zone: &'a BTreeSet<NodeId>,
    sources: Vec<SourceRef>,
    branches: Vec<&'a Branch>,
    openable: Vec<Option<Openable<'a>>>,
    numbers: BTreeMap<&'a NodeId, usize>,
}

impl<'a> Question<'a> {
    fn new(
        request: &'a Request,
        network: &'a Network,
        zone: &'a BTreeSet<NodeId>,
        sources: Vec<SourceRef>,
        openings: &Openings<'a>,
    ) -> Self {
        let branches: Vec<&Branch> = network.branches().collect();
        let openable = branches.iter().map(|b| openings.look(b)).collect();
        let numbers = network.nodes().enumerate().map(|(number, node)| (node, number)).collect();
        Self { request, network, zone, sources, branches, openable, numbers }
    }

    fn number(&self, node: &NodeId) -> Option<usize> {
        self.numbers.get(node).copied()
    }

    /// The bare question, with the branches that `may` lets through as what opens.
    fn problem(
        &self,
        plant: &Plant,
        may: impl Fn(&Openable<'_>) -> bool,
    ) -> Result<Problem, IdError> {
        let mut edges = Vec::new();
        for (branch, openable) in self.branches.iter().zip(&self.openable) {
            let end = |node| self.number(node).unwrap_or(usize::MAX);
            edges.push(Edge {
                ends: [end(&branch.from), end(&branch.to)],
                price: openable.as_ref().filter(|o| may(o)).map(Openable::price),
                open_now: branch.is_open(&self.request.states),
            });
        }
        let at = |kind: fn(SourceKind) -> bool| {
            let of_kind = self.sources.iter().filter(move |s| kind(s.kind));
            of_kind.filter_map(|s| self.number(&s.node)).collect()
        };
        let mut customers = Vec::new();
        for service in self.customers(plant) {
            customers.extend(self.number(&derived::house_node(service)?));
        }
        Ok(Problem {
            nodes: self.numbers.len(),
            edges,
            zone: self.zone.iter().filter_map(|n| self.number(n)).collect(),
            feeders: at(|k| k == SourceKind::Feeder),
            other_sources: at(|k| k != SourceKind::Feeder),
            customers,
        })
    }

    /// The services whose supply counts, in the order of the problem's customers.
    fn customers<'p>(&self, plant: &'p Plant) -> impl Iterator<Item = &'p AssetId> {
        plant.services.keys().filter(|id| *id != &self.request.service)
    }

    fn sorted_branches(&self) -> (Vec<NotAllowed>, Vec<AssetId>) {
        let mut not_allowed = Vec::new();
        let mut may_open = Vec::new();
        for openable in self.openable.iter().flatten() {
            let branch = openable.opening.branch.clone();
            match openable.why_not {
                Some(rule) => not_allowed.push(NotAllowed { branch, rule }),
                None => may_open.push(branch),
            }
        }
        (not_allowed, may_open)
    }

    /// The plans that only the missing visible break stands against.
    fn not_offered(&self, plant: &Plant, openings: &Openings<'_>) -> Result<Vec<Plan>, IdError> {
        let unseen = |o: &Openable<'_>| o.why_not == Some(WhyNot::NoVisibleBreak);
        let wider = self.problem(plant, |o| o.why_not.is_none() || unseen(o))?;
        let has_unseen = |boundary: &&Boundary| {
            let opened = |&edge: &usize| self.openable.get(edge).and_then(Option::as_ref);
            boundary.edges.iter().filter_map(opened).any(unseen)
        };
        boundaries(&wider)
            .boundaries
            .iter()
            .filter(has_unseen)
            .map(|boundary| self.plan(plant, openings, &wider, boundary))
            .collect()
    }

    /// The whole plan of a boundary.
    fn plan(
        &self,
        plant: &Plant,
        looked: &Openings<'_>,
        problem: &Problem,
        boundary: &Boundary,
    ) -> Result<Plan, IdError> {
        let opened = |&edge: &usize| self.openable.get(edge).and_then(Option::as_ref);
        let mut openings: Vec<Opening> =
            boundary.edges.iter().filter_map(opened).map(|o| o.opening.clone()).collect();
        steps::in_order(&mut openings);
        let meeting = problem.meeting();
        let before = problem.supplied(&meeting, &[]);
        let after = problem.supplied(&meeting, &boundary.edges);
        let lost = |supplied: &[bool]| -> Vec<AssetId> {
            let flags = before.iter().zip(supplied).map(|(&b, &a)| b && !a);
            let named = self.customers(plant).zip(flags);
            named.filter(|&(_, out)| out).map(|(id, _)| id.clone()).collect()
        };
        let customers_out = lost(&after);
        let dead_numbers = meeting.reach(&problem.zone, |e| !boundary.edges.contains(&e));
        let dead: BTreeSet<NodeId> = self
            .numbers
            .iter()
            .filter(|&(_, &number)| is(&dead_numbers, number))
            .map(|(node, _)| (*node).clone())
            .collect();
        let target = plant.services.get(&self.request.service);
        let pick_ups = self.pick_ups(problem, boundary, &customers_out, &lost);
        let made = caution::Made {
            openings: &openings,
            customers_out: &customers_out,
            pick_ups: &pick_ups,
        };
        let work = steps::Work {
            plant,
            request: self.request,
            zone: self.zone,
            openings: &openings,
            pick_ups: &pick_ups,
            meter_comes_out: target.is_some_and(|s| looked.meter_comes_out(s)),
            sources_left: target.is_some_and(|s| {
                !s.sources.is_empty() || !self.request.sources_ruled_out.contains(&s.id)
            }),
        };
        Ok(Plan {
            steps: work.forward()?,
            restoration: work.back()?,
            cautions: caution::cautions(plant, self.request, &made, &dead),
            exposure: boundary.cost.exposure,
            operations: boundary.cost.operations,
            customers_out,
            pick_ups,
            openings,
        })
    }

    /// Loop points that are open now and whose closing brings customers back: between what a feeder
    /// supplies and what it does not, so that no two sources are tied.
    fn pick_ups(
        &self,
        problem: &Problem,
        boundary: &Boundary,
        out: &[AssetId],
        lost: &impl Fn(&[bool]) -> Vec<AssetId>,
    ) -> Vec<PickUp> {
        let meeting = problem.meeting();
        let mut back: Vec<PickUp> = Vec::new();
        let mut now = problem.clone();
        for (number, openable) in self.openable.iter().enumerate() {
            let Some(openable) = openable else { continue };
            // Closing puts load on it, so it must be made for load.
            let makes_load =
                openable.switch.is_some_and(|s| s.load_break > crate::quantity::amps(0.0));
            if !openable.opening.hold || !makes_load || boundary.edges.contains(&number) {
                continue;
            }
            let still: Vec<AssetId> = lost(&now.supplied(&meeting, &boundary.edges));
            let mut closed = now.clone();
            if let Some(edge) = closed.edges.get_mut(number) {
                edge.open_now = false;
            }
            let fed = meeting.reach(&now.feeders, |e| {
                !boundary.edges.contains(&e) && now.edges.get(e).is_some_and(|e| !e.open_now)
            });
            let ends = now.edges.get(number).map_or([0, 0], |e| e.ends);
            if ends.iter().all(|&end| is(&fed, end)) {
                continue;
            }
            let left = lost(&closed.supplied(&meeting, &boundary.edges));
            let customers_back: Vec<AssetId> =
                still.iter().filter(|id| !left.contains(id)).cloned().collect();
            if !customers_back.is_empty() {
                debug_assert!(customers_back.iter().all(|id| out.contains(id)));
                back.push(PickUp { close: openable.opening.branch.clone(), customers_back });
                now = closed;
            }
        }
        back
    }

    /// A way from a source to the zone on which nothing may be opened.
    fn blocked(&self) -> Option<Infeasible> {
        let fixed: BTreeSet<&AssetId> = self
            .branches
            .iter()
            .zip(&self.openable)
            .filter(|(_, o)| o.as_ref().is_none_or(|o| o.why_not.is_some()))
            .map(|(b, _)| &b.id)
            .collect();
        self.sources.iter().find_map(|source| {
            let path = self.network.way([&source.node], self.zone, |b| fixed.contains(&b.id))?;
            Some(Infeasible { source: source.clone(), path })
        })
    }
}
