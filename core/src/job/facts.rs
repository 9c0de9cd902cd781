//! Which step an event is, with its facts.

use std::collections::BTreeSet;

use super::{
    facts_lift::{Lug, is_lug_pair},
    known::Known,
    roles::writes,
    sheets::Sheets,
    state::State,
};
use crate::{
    caution::{BriefingFacts, unbriefed},
    event::{Body, ClearanceOp, Event, Operation},
    gate::{GroundFacts, ProofFacts, Standing, Step},
    plant::{VoltageSystem, derived},
    proof::Zone,
    quantity::{DeviceId, PersonId},
};

impl State {
    /// What holds whatever the step.
    pub(super) fn standing(&self, sheets: &Sheets<'_>, event: &Event) -> Standing {
        let header = match (&self.header, &event.body) {
            (Some(header), _) => Some(header),
            (None, Body::JobOpened(opening)) => Some(opening),
            (None, _) => None,
        };
        let role = header.and_then(|header| {
            header.crew.iter().find(|member| member.person == event.person).map(|m| m.role)
        });
        let declared = self.deviations.get(&event.id).into_iter().flatten();
        Standing {
            opened: self.header.is_some(),
            pinned: header.is_none_or(|header| sheets.pinned_by(header)),
            read_only: self.is_read_only(),
            id_is_new: self.brings_new_names(event),
            role_fits: role.is_some_and(|role| writes(role, &event.body)),
            stopped: self.stopped.is_some(),
            closed: self.stage == crate::gate::Stage::Closed,
            unbriefed: self.unbriefed(sheets, &event.person),
            late: event.late_wall_ms.is_some(),
            not_there: self.not_there(sheets, event),
            marks_gone: self.marks_gone(event),
            deviations: declared.map(|deviation| deviation.rule).collect(),
        }
    }

    /// Subjects that were not briefed, and the writer if not briefed.
    fn unbriefed(&self, sheets: &Sheets<'_>, person: &PersonId) -> Vec<String> {
        let service =
            self.header.as_ref().and_then(|header| sheets.plant.services.get(&header.service));
        let system = service.map(|service| service.system);
        let facts = BriefingFacts {
            opens_pad: true,
            customer_sources: service.is_none_or(|service| !service.sources.is_empty()),
            three_legs: system.is_none_or(|system| system.legs().len() > 2),
            neutral_is_earth: system.is_none_or(VoltageSystem::neutral_is_protective_earth),
        };
        let briefed: Vec<_> = self.briefed_subjects.iter().copied().collect();
        let lacks = unbriefed(facts, &briefed).into_iter().map(|subject| subject.id().to_owned());
        let absent = (!self.briefed_people.contains(person)).then(|| person.to_string());
        lacks.chain(absent).collect()
    }

    /// Whether a device is the desk's: a dispatcher of the crew writes on it.
    pub fn is_desk(&self, device: &DeviceId) -> bool {
        self.header.iter().flat_map(|header| &header.crew).any(|member| {
            member.role == crate::gate::Role::Dispatcher && member.device.as_ref() == Some(device)
        })
    }

    /// The step an event is, by a writer who knew this much.
    pub(super) fn step(&self, sheets: &Sheets<'_>, event: &Event, known: Known<'_>) -> Step {
        match &event.body {
            Body::JobOpened(job) => {
                Step::OpenJob { listed: sheets.plant.services.contains_key(&job.service) }
            }
            Body::Picture(b) => Step::OfStay { open: self.own_stay_open(&b.stay, event) },
            Body::StayEnded(b) => Step::OfStay { open: self.own_stay_open(&b.stay, event) },
            Body::StayWithdrawn(b) => Step::OfStay { open: self.stay_there(&b.stay) },
            // A briefing is held while the job is stopped, too: it is what leads back.
            Body::Briefed(_) | Body::StayBegun(_) | Body::Instrument(_) => {
                Step::Read { unknown_instruments: Vec::new() }
            }
            Body::InstrumentProven(_)
            | Body::Volts(_)
            | Body::Amps(_)
            | Body::Ohms(_)
            | Body::NeutralTested(_)
            | Body::RotationRead(_) => {
                Step::Read { unknown_instruments: self.unknown_instruments(event) }
            }
            Body::MarksPut(_) | Body::Placement(_) | Body::Answers(_) => {
                Step::Cabinet { unknown_instruments: self.unknown_instruments(event) }
            }
            Body::ToneOn(b) => Step::OfStay { open: self.own_stay_open(&b.stay, event) },
            Body::SwitchingRunBegun(b) => {
                Step::BeginRun { inside: self.own_stay_open(&b.stay, event) }
            }
            Body::SwitchingRunEnded(b) => Step::EndRun(self.run_end_facts(event, b)),
            Body::MeterPulled(b) => Step::PullMeter(self.pull_facts(sheets, event, b)),
            Body::MeterSet(b) => Step::SetMeter(self.set_meter_facts(event, b, known)),
            Body::Sighting(b) => self.sighting_step(event, &b.seen, known),
            Body::Operation(b) if b.making_safe && makes_safe(sheets, &b.operation) => {
                Step::MakeSafe
            }
            Body::Operation(b) => self.operation_step(sheets, event, &b.operation, known),
            Body::Proof(b) => Step::Prove(self.proof_facts(sheets, &b.of)),
            Body::Clearance(b) => self.clearance_step(sheets, event, b, known),
            Body::Correction(b) => Step::Correct(self.correct_facts(sheets, event, b, known)),
            Body::Deviation(b) => Step::Deviate(self.deviation_facts(event, b)),
            Body::ConflictSettled(b) => self.settle_step(b),
            Body::WrongDrop(_) | Body::Stopped(_) => Step::MakeSafe,
            Body::Resumed(b) => Step::Resume(self.resume_facts(b)),
            Body::Closed(_) => Step::Close(self.close_facts(sheets, event, known)),
            // What is not known is kept before any gate, and never asked here.
            Body::MapCorrection(_)
            | Body::VerdictShown(_)
            | Body::Interrupted(_)
            | Body::Unknown { .. } => Step::Note,
        }
    }

    pub(super) fn operation_step(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        operation: &Operation,
        known: Known<'_>,
    ) -> Step {
        match operation {
            Operation::LegLifted { pad, handle, leg, runs, loosened_amps } => {
                let lug = Lug { pad, handle, leg: *leg, runs: *runs, loosened_amps };
                Step::Lift(self.lift_facts(sheets, event, lug))
            }
            Operation::LegCapped { pad, position, leg }
            | Operation::LegRestrained { pad, position, leg }
            | Operation::LegTagged { pad, position, leg } => {
                Step::Secure { lifted: self.physical.lifted(&set(pad, position), *leg).is_some() }
            }
            Operation::LegLanded { pad, position, leg } => {
                Step::Land(self.land_facts(sheets, event, (&set(pad, position), *leg), known))
            }
            Operation::SetShorted { pad, position } => {
                Step::Short(self.short_facts(sheets, event, &set(pad, position)))
            }
            Operation::Grounded { node } => {
                Step::Ground(GroundFacts { lacks: self.ground_lacks(sheets, node, &event.when()) })
            }
            Operation::ShortRemoved { .. }
            | Operation::GroundRemoved { .. }
            | Operation::LockRemoved { .. }
            | Operation::TagRemoved { .. } => Step::TakeOff(self.closing(event, known)),
            Operation::SwitchOpened { switch } => {
                Step::OpenSwitch(self.open_switch_facts(sheets, event, switch))
            }
            Operation::SwitchClosed { switch } => {
                Step::CloseSwitch(self.close_switch_facts(sheets, event, switch, known))
            }
            Operation::MainClosed { service } => {
                self.load_on(event, known, self.tagged_at(service, derived::main))
            }
            Operation::SourcesOn { service } => {
                self.load_on(event, known, self.tagged_sources(service))
            }
            Operation::Inspected { .. } => {
                let closing = self.closing(event, known);
                Step::Inspect { held: [closing.held, closing.link_offers].concat() }
            }
            Operation::NeutralVerified { .. } | Operation::PressureRelieved { .. } => {
                Step::Cabinet { unknown_instruments: Vec::new() }
            }
            Operation::LoopPointMeasured { .. } => {
                Step::Cabinet { unknown_instruments: self.unknown_instruments(event) }
            }
            Operation::Locked { .. }
            | Operation::Tagged { .. }
            | Operation::MainOpened { .. }
            | Operation::SourcesOff { .. }
            | Operation::WorkDone { .. } => Step::Work,
        }
    }

    fn load_on(&self, event: &Event, known: Known<'_>, tagged: Vec<String>) -> Step {
        Step::LoadOn {
            closing: self.closing(event, known),
            tagged,
            live_proven: !self.ever_opened || self.proofs.live.is_some(),
        }
    }

    fn proof_facts(&self, sheets: &Sheets<'_>, of: &crate::event::ProofOf) -> ProofFacts {
        let judged = self.judge_proof(sheets, of);
        ProofFacts {
            waited: self.waited(sheets, of, &judged),
            tester_proven: judged.tester_proven,
            lacks: judged.lacks,
        }
    }

    fn clearance_step(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &crate::event::ClearanceEvent,
        known: Known<'_>,
    ) -> Step {
        match &body.act {
            ClearanceOp::Offered { .. } => {
                Step::Offer(self.offer_facts(sheets, event, body, known))
            }
            ClearanceOp::Accepted { .. } => Step::Accept(self.accept_facts(sheets, event, body)),
            ClearanceOp::Refused { .. } | ClearanceOp::Released => {
                Step::Release(self.release_facts(sheets, event, body))
            }
            ClearanceOp::Abandoned { .. } => Step::Abandon(self.abandon_facts(sheets, event, body)),
            ClearanceOp::Transferred { .. } => {
                Step::Transfer(self.transfer_facts(sheets, event, body))
            }
            ClearanceOp::LinkEnded => Step::EndLink(self.link_end_facts(sheets, event, body)),
        }
    }

    /// Whether the proof of dead of one zone stands and is fresh.
    pub(super) fn zone_dead_fresh(&self, sheets: &Sheets<'_>, event: &Event, zone: &Zone) -> bool {
        self.proofs.dead_of(zone).is_some_and(|dead| dead.is_fresh(&event.when(), sheets.rules))
    }
}

/// A set by pad and position.
pub(super) fn set(pad: &crate::quantity::AssetId, position: &str) -> crate::sighting::SetAt {
    crate::sighting::SetAt { pad: pad.clone(), position: position.to_owned() }
}

/// Operations that make safe, and are never gated when they are marked so. A leg is never lifted in
/// the name of safety, be it called a switch.
fn makes_safe(sheets: &Sheets<'_>, operation: &Operation) -> bool {
    if let Operation::SwitchOpened { switch } = operation {
        return !is_lug_pair(sheets, switch);
    }
    matches!(
        operation,
        Operation::LegCapped { .. }
            | Operation::LegRestrained { .. }
            | Operation::LegTagged { .. }
            | Operation::SetShorted { .. }
            | Operation::Grounded { .. }
            | Operation::Locked { .. }
            | Operation::Tagged { .. }
            | Operation::MainOpened { .. }
            | Operation::SourcesOff { .. }
    )
}

/// Names of things, as a refusal lists them.
pub(super) fn names<T: ToString>(things: impl IntoIterator<Item = T>) -> Vec<String> {
    let unique: BTreeSet<String> = things.into_iter().map(|thing| thing.to_string()).collect();
    unique.into_iter().collect()
}
