//! The order of a plan's steps and of its restoration, with the gates of each.

mod at_customer;
mod devices;
mod gates;
mod loop_points;

use std::collections::BTreeSet;

use super::plan::{Opening, PickUp, Step, StepAct};
use super::zone::Request;
use crate::gate::{Rule, Scope};
use crate::plant::{Conductor, Device, Plant};
use crate::quantity::{AssetId, IdError, NodeId};
use gates::{PROOF, closing};

/// What the steps are made from.
pub(super) struct Work<'a> {
    pub(super) plant: &'a Plant,
    pub(super) request: &'a Request,
    pub(super) zone: &'a BTreeSet<NodeId>,
    pub(super) openings: &'a [Opening],
    pub(super) pick_ups: &'a [PickUp],
    /// Two sources may be tied: loop points are closed before anything is opened.
    pub(super) may_tie: bool,
    /// The target's meter comes out for the work itself.
    pub(super) meter_comes_out: bool,
    /// Sources are left that are grounded against or could stand behind lifted ends.
    pub(super) sources_left: bool,
}

fn step(act: StepAct, gates: &[Rule]) -> Step {
    Step {
        act,
        branch: None,
        leg: None,
        node: None,
        service: None,
        gates: gates.to_vec(),
        protection: None,
        cautions: Vec::new(),
    }
}

fn at_branch(act: StepAct, branch: &AssetId, gates: &[Rule]) -> Step {
    Step { branch: Some(branch.clone()), ..step(act, gates) }
}

fn at(act: StepAct, opening: &Opening, gates: &[Rule]) -> Step {
    Step {
        branch: Some(opening.branch.clone()),
        service: opening.service.clone(),
        ..step(act, gates)
    }
}

fn at_node(act: StepAct, node: &NodeId, gates: &[Rule]) -> Step {
    Step { node: Some(node.clone()), ..step(act, gates) }
}

impl Work<'_> {
    /// What is done, in order: what is asked, customers' side, then towards the feeders, then the
    /// proof.
    pub(super) fn forward(&self) -> Result<Vec<Step>, IdError> {
        let mut steps = vec![step(StepAct::Brief, &[])];
        devices::ask(self.openings, &self.loop_points(), &mut steps);
        if self.may_tie {
            self.pick_up(&mut steps);
        }
        for service in self.meters_out() {
            self.behind_meter_off(service, &mut steps)?;
        }
        for opening in self.openings.iter().filter(|o| o.service.is_some()) {
            self.open_at_customer(opening, &mut steps);
        }
        for opening in self.openings.iter().filter(|o| o.service.is_none()) {
            devices::open(opening, self.request, &mut steps);
        }
        if !self.may_tie {
            self.pick_up(&mut steps);
        }
        self.prove(&mut steps);
        Ok(steps)
    }

    /// The sets whose legs this work lifts or has lifted.
    fn lifted(&self) -> impl DoubleEndedIterator<Item = &Opening> {
        self.openings.iter().filter(|o| o.device == Device::LugPair && !self.stays_open(&o.branch))
    }

    /// Whether a branch is left open in the end: it was found so, or it is a loop point that was
    /// closed for this work alone.
    fn stays_open(&self, branch: &AssetId) -> bool {
        let found_open = self.found_open(branch) && !self.request.opened_here.contains(branch);
        found_open || self.request.picked_up.contains(branch)
    }

    fn found_open(&self, branch: &AssetId) -> bool {
        let held = || self.openings.iter().any(|o| o.hold && o.branch == *branch);
        self.request.is_open(branch) || held()
    }

    /// Whether lifted ends are shorted to neutral.
    fn shorts(&self) -> bool {
        self.request.at_base() && self.sources_left
    }

    fn prove(&self, steps: &mut Vec<Step>) {
        let proof = [Rule::WaitAfterSourcesOff, Rule::TesterProvenAroundProof, Rule::ProofHolds];
        if self.request.at_base() {
            if self.shorts() {
                steps.extend(self.lifted().map(|o| {
                    at(StepAct::ShortLiftedToNeutral, o, &[Rule::LiftedTestedBeforeShort])
                }));
            }
            let service = Some(self.request.service.clone());
            steps.push(Step { service: service.clone(), ..step(StepAct::ProveDead, &proof) });
            if self.lifted().next().is_some() {
                steps.push(Step { service, ..step(StepAct::ShowBusLive, &[Rule::ProofHolds]) });
            }
            return;
        }
        steps.extend(self.zone.iter().map(|n| at_node(StepAct::ProveDead, n, &proof)));
        let ground = [Rule::TestedBeforeGround];
        steps.extend(self.zone.iter().map(|n| at_node(StepAct::TestAndGround, n, &ground)));
    }

    /// How it is put back: grounds and shorts off, neutral before hot, towards the feeders first,
    /// then proof of a healthy supply, then the customers' side.
    pub(super) fn back(&self) -> Result<Vec<Step>, IdError> {
        let mut steps = Vec::new();
        if !self.request.at_base() {
            let grounds = self.zone.iter().rev();
            steps.extend(grounds.map(|n| at_node(StepAct::RemoveGround, n, &closing(&[]))));
        }
        for opening in self.lifted() {
            devices::land(opening, self.shorts(), &mut steps);
        }
        // What is to be tied last was closed first: a loop point is opened again before anything
        // ties, or where that is allowed after everything is closed.
        if !self.may_tie {
            self.end_pick_up(&mut steps);
        }
        for opening in self.openings.iter().rev().filter(|o| o.service.is_none()) {
            let stays_open = self.stays_open(&opening.branch);
            if opening.device != Device::LugPair || stays_open {
                devices::close(opening, stays_open, &mut steps);
            }
        }
        if self.may_tie {
            self.end_pick_up(&mut steps);
        }
        let service = Some(self.request.service.clone());
        // Before any load, whatever was worked on; and again with it.
        let live = Step { service, ..step(StepAct::ProveLive, &PROOF) };
        steps.push(live.clone());
        let unloaded = steps.len();
        self.customers_back(&mut steps)?;
        if steps.len() > unloaded {
            steps.push(live);
        }
        Ok(steps)
    }
}

/// The order in which openings are made: customers' side, then secondary, then primary, by name.
pub(super) fn in_order(openings: &mut [Opening]) {
    openings.sort_by_key(|o| {
        let place = match o.device {
            Device::SourceDisconnect => 0,
            Device::Main => 1,
            Device::Meter => 2,
            Device::LugPair => 3,
            Device::BayonetFuse => 4,
            Device::Elbow => 5,
            Device::CutOut | Device::Breaker | Device::FeederSwitch => 6,
        };
        (place, o.branch.clone())
    });
}

/// The legs of a system that lifting must leave dead, for words that name them.
pub(super) fn three_phase(legs: &[Conductor]) -> bool {
    legs.contains(&Conductor::L3)
}

/// Whether the scope is a cable's.
pub(super) const fn is_cable(scope: &Scope) -> bool {
    matches!(scope, Scope::Cable { .. })
}
