//! Isolation plans: which openings part the work zone from every source, in what order, at what
//! price, and what cannot be done.
//!
//! A source is a feeder, a customer's own generator, panels or battery on the record, and the house
//! of every customer for whom nobody has ruled one out. Whether a source reaches the zone is judged
//! with every branch closed that the plan does not open or hold open: a loop point that is open
//! today is a way that somebody may close. Who goes out is judged with what stands open now.
//!
//! Plans are ranked by the customers who stay out after the pick-up that is offered, then by the
//! operations of bayonet fuses, which are the last resort whatever they expose to, then by the
//! exposure of all operations, then by their number. [`MOST_CUTS`] and [`MOST_NODES`] bound the
//! search; [`Isolation::proof`] says what is certain of the first plan, [`Isolation::complete`]
//! whether an alternative may be missing. Each plan is played step by step before it is offered.

mod boundary;
mod caution;
mod compact;
mod cut;
mod graph;
mod infeasible;
mod load;
mod opening;
mod phases;
mod pickup;
mod plan;
mod plans;
mod protect;
mod question;
mod read;
mod replay;
mod steps;
mod told;
mod trunk;
mod venting;
mod zone;

#[cfg(test)]
mod tests;

pub use crate::gate::Scope;
pub use plan::{
    Breach, Caution, CautionId, Change, CustomerOut, ExpectedLoad, Infeasible, Isolation, KeepAway,
    LoadBasis, NotAllowed, NotPickedUp, Opening, PickUp, Plan, Proof, Protection, SourceKind,
    SourceRef, Step, StepAct, Turn, WhyNot, WhyNotPickedUp, Withdrawn,
};
pub use read::{AmpsLack, ReadAmps};
pub use venting::{VENTINGS_BEFORE_DRAWN, VENTINGS_BEFORE_PUT_BACK};
pub use zone::{Request, RequestError};

use crate::plant::{Branch, Network, Plant};
use crate::quantity::{AssetId, IdError};
use crate::rule_sheet::RuleSheet;
use boundary::fewest;
use load::Loads;
use opening::Openings;
use phases::Phases;
use plans::Planner;
use question::Question;
use replay::Replay;

/// How many boundaries towards the feeders are looked at before the search ends.
pub const MOST_CUTS: usize = boundary::MOST_CUTS;
/// How many nodes are looked at, counted as often as they are, before the search ends.
pub const MOST_NODES: usize = boundary::MOST_NODES;

/// What a switch is expected to break as everything stands now, and whether its amps are read first;
/// none where it is on no sheet. The plan's own expectation, for who is about to open it.
pub fn expected_load(
    plant: &Plant,
    request: &Request,
    switch: &AssetId,
) -> Result<Option<ExpectedLoad>, IdError> {
    load::expected_at(plant, request, switch)
}

/// The isolation plans for a service and scope.
#[allow(
    clippy::redundant_closure_for_method_calls,
    reason = "the method alone is for one lifetime of what it plays on, the closure for any"
)]
pub fn isolate(
    plant: &Plant,
    request: &Request,
    rules: &RuleSheet,
) -> Result<Isolation, RequestError> {
    isolate_by(plant, request, rules, |replay, plan| replay.breach(plan))
}

/// The same, with `breach` to say what a plan does wrong when it is played.
fn isolate_by(
    plant: &Plant,
    request: &Request,
    rules: &RuleSheet,
    breach: impl Fn(&Replay<'_>, &Plan) -> Option<(usize, Breach)>,
) -> Result<Isolation, RequestError> {
    let zone = zone::zone(plant, request, rules)?;
    let network = Network::of(plant)?;
    for branch in request.states.keys() {
        if network.branch(branch).and_then(Branch::device).is_none() {
            return Err(RequestError::NoSuchSwitch { branch: branch.clone() });
        }
    }
    for branch in request.loads.keys() {
        if network.branch(branch).is_none() {
            return Err(RequestError::NoSuchBranch { branch: branch.clone() });
        }
    }
    let (sources, grounded_against) = sources_of(plant, request)?;
    let tied = load::tied(&network, plant, request, rules);
    let loads = Loads::of(plant, &network, request, tied.as_ref())?;
    let openings = Openings::new(plant, request, rules, &zone, &loads)?;
    let question = Question::new(plant, request, &network, &zone, sources, &openings);
    let allowed = question.problem(|o| o.why_not.is_none())?;
    let meeting = allowed.meeting();
    let phases = Phases::new(plant, &network);
    let planner = Planner { question: &question, looked: &openings, rules, phases: &phases };
    let replay = Replay {
        question: &question,
        problem: &allowed,
        meeting: &meeting,
        may_tie: rules.allow_paralleling,
    };
    let breach = |plan: &Plan| breach(&replay, plan);
    let (told, certain) = told::told(&planner, &allowed, &meeting, breach)?;
    let not_offered = planner.not_offered()?;
    let (not_allowed, may_open) = question.sorted_branches(&openings);
    let all = told.plans.iter().chain(&told.dearer).chain(&not_offered);
    let near = question.around(&allowed, &meeting, all);
    let rejected = not_allowed.iter().map(|one| &one.branch);
    let not_allowed_near = rejected.filter(|branch| near.contains(branch)).cloned().collect();
    Ok(Isolation {
        service: request.service.clone(),
        scope: request.scope.clone(),
        fewest_openings: fewest(&allowed).map(|cut| cut.len()),
        infeasible: if certain.infeasible {
            infeasible::infeasible(&question, rules, &loads)?
        } else {
            None
        },
        complete: certain.complete,
        proof: certain.proof,
        zone: zone.iter().cloned().collect(),
        sources: question.sources,
        grounded_against,
        may_open,
        not_allowed,
        not_allowed_near,
        plans: told.plans,
        dearer: told.dearer,
        withdrawn: told.withdrawn,
        not_offered,
    })
}

/// The sources that must be kept from the zone, and those that are tested and grounded against.
fn sources_of(
    plant: &Plant,
    request: &Request,
) -> Result<(Vec<SourceRef>, Vec<SourceRef>), IdError> {
    let all = zone::sources(plant, request)?;
    let parted = |s: &SourceRef| request.at_base() || s.kind != SourceKind::PossibleCustomer;
    Ok(all.into_iter().partition(parted))
}
