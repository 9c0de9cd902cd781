//! Plans as they are told: each is played first, and what breaks a rule as it is played is left out.
//!
//! A search keeps the cheapest boundary of each means. Where one is withdrawn, the next best by the
//! same means would be missing, so the question is searched again without it. What is then told is
//! weighed against what is told alone: a plan that only a withdrawn one beats is not dear, and the
//! first plan is called the best only where no withdrawn one cost less. Another way to part the
//! customers' own sources may lie behind each withdrawn one, and costs no less than it.

use std::collections::BTreeSet;

use super::boundary::{Found, boundaries};
use super::graph::{Cost, Meeting, Problem};
use super::plan::{Breach, Plan, Proof, Withdrawn};
use super::plans::Planner;
use crate::quantity::IdError;

/// How often the question is searched again.
const MOST_SEARCHES: usize = 16;

/// Plans as they are told.
#[derive(Default)]
pub(super) struct Told {
    pub(super) plans: Vec<Plan>,
    pub(super) dearer: Vec<Plan>,
    pub(super) withdrawn: Vec<Withdrawn>,
    /// The cheapest that was withdrawn.
    beaten_by: Option<Cost>,
}

/// What is certain of the first plan, and whether an alternative may be missing.
pub(super) struct Certain {
    pub(super) proof: Proof,
    pub(super) complete: bool,
    /// Nothing parts the zone from its sources, whatever it would do when it is played.
    pub(super) infeasible: bool,
}

/// The plans that hold when they are played, by what `breach` says of each.
pub(super) fn told(
    planner: &Planner<'_>,
    problem: &Problem,
    meeting: &Meeting,
    breach: impl Fn(&Plan) -> Option<(usize, Breach)>,
) -> Result<(Told, Certain), IdError> {
    let mut told = Told::default();
    let mut passed_over = BTreeSet::new();
    let mut searches = 0;
    loop {
        searches += 1;
        let found = boundaries(problem, &passed_over);
        let mut holding = Vec::new();
        let before = passed_over.len();
        for boundary in &found.boundaries {
            let plan = planner.plan(problem, meeting, boundary)?;
            let Some((step, breach)) = breach(&plan) else {
                holding.push((boundary.cost, plan));
                continue;
            };
            passed_over.insert(boundary.edges.clone());
            told.beaten_by = Some(told.beaten_by.map_or(boundary.cost, |c| c.min(boundary.cost)));
            let branches = plan.openings.into_iter().map(|o| o.branch).collect();
            told.withdrawn.push(Withdrawn { branches, step: step + 1, breach });
        }
        if passed_over.len() == before || searches == MOST_SEARCHES {
            return Ok(told.of(holding, &found));
        }
    }
}

impl Told {
    fn of(mut self, holding: Vec<(Cost, Plan)>, found: &Found) -> (Self, Certain) {
        let costs: Vec<Cost> = holding.iter().map(|(cost, _)| *cost).collect();
        let proof = self.proof(costs.first().copied(), found);
        for (cost, plan) in holding {
            let dear = costs.iter().any(|other| cost.is_dominated_by(*other));
            if dear { &mut self.dearer } else { &mut self.plans }.push(plan);
        }
        let certain = Certain {
            proof,
            complete: found.complete && self.withdrawn.is_empty(),
            infeasible: self.plans.is_empty() && self.withdrawn.is_empty(),
        };
        (self, certain)
    }

    /// What is certain of the first that holds.
    fn proof(&self, best: Option<Cost>, found: &Found) -> Proof {
        let hidden = self.beaten_by.filter(|beaten_by| best.is_none_or(|best| *beaten_by < best));
        let Some(hidden) = hidden else { return found.proof };
        let least = match found.proof {
            Proof::Optimal => usize::MAX,
            Proof::BestWithinBound { customers_out_at_least, .. } => customers_out_at_least,
        };
        Proof::BestWithinBound {
            cuts_looked_at: found.looked,
            customers_out_at_least: least.min(hidden.customers_out),
        }
    }
}
