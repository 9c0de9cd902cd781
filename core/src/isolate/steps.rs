//! The order of a plan's steps and of its restoration, with the gates of each.

use std::collections::BTreeSet;

use super::plan::{Opening, PickUp, Step, StepAct};
use super::zone::Request;
use crate::gate::{Rule, Scope};
use crate::plant::{Conductor, Device, Plant, Service, derived};
use crate::quantity::{AssetId, IdError, NodeId};

/// What the steps are made from.
pub(super) struct Work<'a> {
    pub(super) plant: &'a Plant,
    pub(super) request: &'a Request,
    pub(super) zone: &'a BTreeSet<NodeId>,
    pub(super) openings: &'a [Opening],
    pub(super) pick_ups: &'a [PickUp],
    /// The target's meter comes out for the work itself.
    pub(super) meter_comes_out: bool,
    /// Sources are left that are grounded against or could stand behind lifted ends.
    pub(super) sources_left: bool,
}

fn step(act: StepAct, gates: &[Rule]) -> Step {
    Step { act, branch: None, leg: None, node: None, service: None, gates: gates.to_vec() }
}

fn at(act: StepAct, opening: &Opening, gates: &[Rule]) -> Step {
    Step {
        branch: Some(opening.branch.clone()),
        service: opening.service.clone(),
        ..step(act, gates)
    }
}

const LIFT: [Rule; 10] = [
    Rule::IdentifiedBeforeOpening,
    Rule::DeadFrontOnly,
    Rule::EnclosureSoundBeforeLift,
    Rule::QuestionsBeforeLift,
    Rule::MeterOutBeforeLift,
    Rule::AmpsFreshBeforeLift,
    Rule::NoLoadBeforeLift,
    Rule::NeutralStaysLanded,
    Rule::OneLegAtATime,
    Rule::AllRunsLifted,
];

const PULL: [Rule; 7] = [
    Rule::MeterNumberReadBeforePull,
    Rule::OwnSourcesOffBeforePull,
    Rule::MainOpenBeforePull,
    Rule::NoDamageBeforePull,
    Rule::BypassOpenBeforePull,
    Rule::CtMeterStays,
    Rule::SelfContainedBelow300VoltsBeforePull,
];

const PROOF: [Rule; 2] = [Rule::TesterProvenAroundProof, Rule::ProofHolds];

const CLOSING: [Rule; 4] = [
    Rule::NoClearanceHeldBeforeClosing,
    Rule::NoLinkOfferBeforeClosing,
    Rule::InspectedBeforeRestore,
    Rule::ClearSaidBeforeClosing,
];

fn closing(more: &[Rule]) -> Vec<Rule> {
    CLOSING.iter().chain(more).copied().collect()
}

impl Work<'_> {
    /// What is done, in order: customers' side first, then towards the feeders, then the proof.
    pub(super) fn forward(&self) -> Result<Vec<Step>, IdError> {
        let mut steps = vec![step(StepAct::Brief, &[])];
        for service in self.meters_out() {
            behind_meter_off(service, &mut steps)?;
        }
        for opening in self.openings.iter().filter(|o| o.service.is_some()) {
            self.open_at_customer(opening, &mut steps);
        }
        for opening in self.openings.iter().filter(|o| o.service.is_none()) {
            if opening.device == Device::LugPair && !opening.hold {
                lift(opening, self.request.at_base(), &mut steps);
            } else {
                switch_off(opening, &mut steps);
            }
        }
        let loop_gates = [Rule::LoopPointMeasured, Rule::SwitchOrder];
        steps.extend(
            self.pick_ups.iter().map(|p| Step {
                branch: Some(p.close.clone()),
                ..step(StepAct::PickUp, &loop_gates)
            }),
        );
        self.prove(&mut steps);
        Ok(steps)
    }

    /// The services whose meters are pulled: the target's for the work, others' as openings.
    fn meters_out(&self) -> impl Iterator<Item = &Service> {
        let target = self.meter_comes_out.then_some(&self.request.service);
        let pulled = self
            .openings
            .iter()
            .filter(|o| o.device == Device::Meter && !o.hold)
            .filter_map(|o| o.service.as_ref());
        let all: BTreeSet<&AssetId> = target.into_iter().chain(pulled).collect();
        all.into_iter().filter_map(|id| self.plant.services.get(id))
    }

    fn pulls(&self, service: &AssetId) -> bool {
        self.meters_out().any(|s| &s.id == service)
    }

    /// Openings at a customer that pulling the meter has not made already.
    fn open_at_customer(&self, opening: &Opening, steps: &mut Vec<Step>) {
        let done = opening.service.as_ref().is_some_and(|s| self.pulls(s));
        if opening.hold {
            steps.push(at(StepAct::SeeOpen, opening, &[]));
        } else if !done {
            let act = match opening.device {
                Device::SourceDisconnect => StepAct::SourceOff,
                _ => StepAct::OpenMain,
            };
            steps.push(at(act, opening, &[]));
        }
        steps.push(at(StepAct::TagAndLock, opening, &[]));
    }

    fn lifted(&self) -> impl DoubleEndedIterator<Item = &Opening> {
        self.openings.iter().filter(|o| o.device == Device::LugPair && !o.hold)
    }

    fn prove(&self, steps: &mut Vec<Step>) {
        let proof = [Rule::WaitAfterSourcesOff, Rule::TesterProvenAroundProof, Rule::ProofHolds];
        if self.request.at_base() {
            if self.sources_left {
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
        let at_node = |act, node: &NodeId, gates: &[Rule]| Step {
            node: Some(node.clone()),
            ..step(act, gates)
        };
        steps.extend(self.zone.iter().map(|n| at_node(StepAct::ProveDead, n, &proof)));
        let ground = [Rule::TestedBeforeGround];
        steps.extend(self.zone.iter().map(|n| at_node(StepAct::TestAndGround, n, &ground)));
    }

    /// How it is put back: grounds and shorts off, neutral before hot, towards the feeders first,
    /// then proof of a healthy supply, then the customers' side.
    pub(super) fn back(&self) -> Result<Vec<Step>, IdError> {
        let mut steps = Vec::new();
        let at_base = self.request.at_base();
        if !at_base {
            steps.extend(self.zone.iter().rev().map(|n| Step {
                node: Some(n.clone()),
                ..step(StepAct::RemoveGround, &closing(&[]))
            }));
        }
        for opening in self.lifted() {
            self.land(opening, &mut steps);
        }
        for pick_up in self.pick_ups {
            let branch = Some(pick_up.close.clone());
            let gates = closing(&[Rule::SwitchOrder]);
            steps.push(Step { branch, ..step(StepAct::EndPickUp, &gates) });
        }
        let towards = |o: &&Opening| o.service.is_none() && o.device != Device::LugPair;
        for opening in self.openings.iter().rev().filter(towards) {
            let gates = closing(&[Rule::ShortRemovedBeforeLanding, Rule::SwitchOrder]);
            steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
            if !opening.hold {
                steps.push(at(StepAct::CloseSwitch, opening, &gates));
            }
        }
        let service = Some(self.request.service.clone());
        if at_base {
            steps.push(Step { service: service.clone(), ..step(StepAct::ProveLive, &PROOF) });
        }
        self.customers_back(&mut steps)?;
        steps.push(Step { service, ..step(StepAct::ProveLive, &PROOF) });
        Ok(steps)
    }

    fn land(&self, opening: &Opening, steps: &mut Vec<Step>) {
        if self.request.at_base() && self.sources_left {
            steps.push(at(StepAct::RemoveShort, opening, &closing(&[])));
        }
        steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
        steps.push(at(StepAct::CompareInsulation, opening, &[]));
        steps.push(at(StepAct::VerifyNeutral, opening, &[]));
        let gates = closing(&[
            Rule::ShortRemovedBeforeLanding,
            Rule::InsulationComparedBeforeLanding,
            Rule::NeutralBeforeHot,
            Rule::MeterOutBeforeLanding,
            Rule::LiftedFirst,
        ]);
        for &leg in &opening.legs {
            steps.push(Step { leg: Some(leg), ..at(StepAct::LandLeg, opening, &gates) });
        }
    }

    fn customers_back(&self, steps: &mut Vec<Step>) -> Result<(), IdError> {
        let gates = closing(&[Rule::MainOpenBeforeSet]);
        let load = closing(&[Rule::LiveProvenBeforeLoad]);
        for service in self.meters_out() {
            let here = |act, branch: AssetId, gates: &[Rule]| Step {
                branch: Some(branch),
                service: Some(service.id.clone()),
                ..step(act, gates)
            };
            steps.push(here(StepAct::SetMeter, derived::meter(&service.id)?, &gates));
            steps.push(here(StepAct::CloseMain, derived::main(&service.id)?, &load));
            for number in 1..=service.sources.len() {
                let branch = derived::source(&service.id, number)?;
                steps.push(here(StepAct::SourceOn, branch, &closing(&[])));
            }
        }
        for opening in self.openings.iter().rev() {
            let Some(service) = &opening.service else { continue };
            steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
            if !opening.hold && !self.pulls(service) {
                let act = match opening.device {
                    Device::SourceDisconnect => StepAct::SourceOn,
                    _ => StepAct::CloseMain,
                };
                steps.push(at(act, opening, &load));
            }
        }
        Ok(())
    }
}

/// Shuts off what is behind a meter, reads it and pulls it.
fn behind_meter_off(service: &Service, steps: &mut Vec<Step>) -> Result<(), IdError> {
    let here = |act, branch: AssetId, gates: &[Rule]| Step {
        branch: Some(branch),
        service: Some(service.id.clone()),
        ..step(act, gates)
    };
    for number in 1..=service.sources.len() {
        steps.push(here(StepAct::SourceOff, derived::source(&service.id, number)?, &[]));
    }
    steps.push(here(StepAct::OpenMain, derived::main(&service.id)?, &[]));
    let meter = derived::meter(&service.id)?;
    steps.push(here(StepAct::ReadMeter, meter.clone(), &[]));
    steps.push(here(StepAct::PullMeter, meter, &PULL));
    Ok(())
}

/// Lifts the legs of a set one at a time; the neutral stays.
fn lift(opening: &Opening, at_base: bool, steps: &mut Vec<Step>) {
    steps.push(at(StepAct::ClampLegs, opening, &[]));
    for (i, &leg) in opening.legs.iter().enumerate() {
        let on = |act, gates: &[Rule]| Step { leg: Some(leg), ..at(act, opening, gates) };
        let mut gates = LIFT.to_vec();
        if i > 0 {
            gates.push(Rule::CapAndRestrainBeforeNext);
            gates.push(Rule::LegCheckBeforeSecondLeg);
        }
        steps.push(on(StepAct::LiftLeg, &gates));
        steps.push(on(StepAct::CapAndRestrain, &[]));
        if at_base {
            steps.push(on(StepAct::CheckLegAtBase, &[Rule::TesterProvenAroundProof]));
        }
    }
    steps.push(at(StepAct::TagAndLock, opening, &[]));
}

fn switch_off(opening: &Opening, steps: &mut Vec<Step>) {
    if opening.hold {
        steps.push(at(StepAct::SeeOpen, opening, &[]));
    } else {
        let mut gates = vec![Rule::IdentifiedBeforeOpening, Rule::SwitchOrder];
        if opening.device == Device::BayonetFuse {
            steps.push(at(StepAct::RelievePressure, opening, &[]));
            gates.push(Rule::PressureRelievedBeforeFuse);
        }
        steps.push(at(StepAct::OpenSwitch, opening, &gates));
    }
    if opening.visible_break {
        steps.push(at(StepAct::SeeGap, opening, &[]));
    }
    steps.push(at(StepAct::TagAndLock, opening, &[]));
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
