//! What an applied event changes. Nothing here asks whether it may: the gate has.

use super::{
    picture::Picture,
    proofs::{Proven, ProvenWhat},
    sheets::Sheets,
    state::{Applied, State, Stop},
};
use crate::{
    event::{Body, Event, Interrupted, JobOpened, Operation, ProofMade, Resumed, ShownVerdict},
    gate::{Role, Stage},
    sighting::{Evidence, SetAt},
};

impl State {
    /// Takes one event that the gate has passed.
    pub(super) fn take(&mut self, sheets: &Sheets<'_>, applied: &Applied) {
        let event = &applied.event;
        if let Some(evidence) = self.evidence_mut() {
            evidence.come_to(&event.when());
        }
        if !applied.deviated.is_empty() {
            let marked = self.without_proof.entry(event.id.clone()).or_default();
            marked.extend(applied.deviated.iter().copied());
        }
        match &event.body {
            Body::JobOpened(body) => self.open(body),
            Body::Briefed(body) => {
                self.briefed_subjects.extend(body.subjects.iter().copied());
                self.briefed_people.extend(body.present.iter().cloned());
                self.reach(Stage::Briefed);
            }
            Body::StayBegun(_)
            | Body::StayEnded(_)
            | Body::StayWithdrawn(_)
            | Body::SwitchingRunBegun(_)
            | Body::SwitchingRunEnded(_) => self.apply_premises(event),
            Body::Picture(body) => self.pictures.push(Picture::of(event, body)),
            Body::MeterPulled(body) => self.apply_meter_pulled(event, body),
            Body::ToneOn(body) => self.apply_tone_on(event, body),
            Body::MeterSet(body) => {
                self.apply_deed_of_setting(event, body);
                self.apply_meter_set();
            }
            Body::Instrument(_)
            | Body::InstrumentProven(_)
            | Body::MarksPut(_)
            | Body::Placement(_)
            | Body::Sighting(_)
            | Body::Ohms(_)
            | Body::NeutralTested(_)
            | Body::RotationRead(_) => self.apply_reading(sheets, event),
            Body::Volts(body) => self.apply_volts(sheets, event, body),
            Body::Amps(body) => self.apply_amps(event, body),
            Body::Answers(body) => {
                let set = SetAt { pad: body.pad.clone(), position: body.position.clone() };
                self.answers.insert(set, body.clone());
            }
            Body::Operation(body) => {
                self.apply_operation(event, &body.operation);
                self.stage_after(sheets, &body.operation);
            }
            Body::Proof(body) => self.apply_proof(sheets, event, body),
            Body::Clearance(body) => self.apply_clearance(sheets, event, body),
            Body::Deviation(body) => {
                self.deviations.entry(body.step.clone()).or_default().push(body.clone());
            }
            Body::VerdictShown(body) => {
                self.identified = match &body.shown {
                    // What was shown is kept as shown; what it opens, today's evidence decides.
                    ShownVerdict::Identified { set } => {
                        self.identified_at(sheets, &event.when()).filter(|now| now == set)
                    }
                    _ => None,
                };
                if self.identified.is_some() {
                    self.reach(Stage::Identified);
                }
                self.shown = Some((event.id.clone(), body.clone()));
            }
            Body::MapCorrection(body) => self.map_corrections.push(body.clone()),
            Body::ConflictSettled(body) => self.apply_settled(event, body),
            Body::Interrupted(Interrupted { .. }) => self.break_proof(),
            Body::WrongDrop(_) | Body::Stopped(_) => self.stop(event, false),
            Body::Resumed(body) => self.resume(body),
            Body::Closed(_) => self.stage = Stage::Closed,
            // A correction is drawn by `correct` after it is on record; the unknown never gets here.
            Body::Correction(_) | Body::Unknown { .. } => {}
        }
    }

    fn open(&mut self, body: &JobOpened) {
        let electricians = body.crew.iter().filter(|member| member.role == Role::Electrician);
        let mut evidence = Evidence::new(body.service.clone());
        evidence.electricians = electricians.map(|member| member.person.clone()).collect();
        evidence.sticker = body.sticker_sha256.map(|sealed| sealed.to_string());
        self.evidence = Some(evidence);
        self.header = Some(body.clone());
    }

    /// The stage is at least this one, unless the job has come further.
    pub(super) fn reach(&mut self, stage: Stage) {
        self.stage = self.stage.max(stage);
    }

    /// The job stands still; the first stop says from where.
    pub(super) fn stop(&mut self, event: &Event, live: bool) {
        match &mut self.stopped {
            Some(stop) => stop.live |= live,
            None => {
                self.stopped = Some(Stop { event: event.id.clone(), from: self.stage, live });
            }
        }
        self.proofs.void_dead();
        if live {
            self.identified = None;
            if let Some(evidence) = self.evidence_mut() {
                evidence.sightings.clear();
            }
        }
    }

    fn resume(&mut self, body: &Resumed) {
        if self.stopped.take().is_some_and(|stop| stop.live) {
            self.proofs.void_opening();
        }
        self.stage = body.stage;
        self.break_proof();
    }

    /// Dead must be proven anew, with readings from now on.
    fn break_proof(&mut self) {
        self.proofs.void_dead();
        self.proofs.dead_from = self.volts.len();
        if self.stage == Stage::ProvenDead {
            self.stage = Stage::Opened;
        }
    }

    fn apply_proof(&mut self, sheets: &Sheets<'_>, event: &Event, body: &ProofMade) {
        self.proofs.names.insert(body.proof.clone());
        let proven = Proven { proof: body.proof.clone(), event: event.id.clone() };
        match self.judge_proof(sheets, &body.of).what {
            Some(ProvenWhat::Dead(dead)) => {
                self.proofs.dead.insert(body.proof.clone(), dead);
            }
            Some(ProvenWhat::Legs(legs)) => {
                if let crate::event::ProofOf::OneLeg { pad, position, .. } = &body.of {
                    let set = SetAt { pad: pad.clone(), position: position.clone() };
                    self.proofs.checked.entry(set).or_default().extend(legs);
                }
            }
            Some(ProvenWhat::Opening) => self.proofs.opening = Some(proven),
            Some(ProvenWhat::Live) => {
                self.proofs.live = Some(proven);
                if !self.is_open_now(sheets) {
                    self.reach(Stage::ProvenLive);
                }
            }
            // A correction took a reading out that it rested on.
            None => {}
        }
        let zone = self.work_zone();
        let dead = zone.is_some_and(|zone| self.proofs.dead_of(&zone).is_some());
        if dead && self.proofs.opening.is_some() && self.stage == Stage::Opened {
            self.stage = Stage::ProvenDead;
        }
    }

    /// The stage after an operation.
    fn stage_after(&mut self, sheets: &Sheets<'_>, operation: &Operation) {
        match operation {
            Operation::LegLifted { .. } | Operation::SwitchOpened { .. }
                if self.stage < Stage::Opened || self.stage > Stage::Returned =>
            {
                self.stage = Stage::Opened;
            }
            Operation::LegLanded { .. } | Operation::SwitchClosed { .. }
                if self.ever_opened && !self.is_open_now(sheets) && self.stage >= Stage::Opened =>
            {
                self.stage = Stage::Restored;
            }
            Operation::Inspected { released: true, .. } if self.stage == Stage::HandedOver => {
                self.stage = Stage::Returned;
            }
            _ => {}
        }
    }

    fn apply_clearance(
        &mut self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &crate::event::ClearanceEvent,
    ) {
        let mut book = std::mem::take(&mut self.clearances);
        let done = self.act_on_clearance(&mut book, sheets, event, body);
        self.clearances = book;
        let held = self.clearances.get(&body.clearance).is_some_and(|c| c.holder().is_some());
        if matches!(done, Some(Ok(()))) && held {
            self.ever_handed_over = true;
            self.inspected = false;
            self.stage = Stage::HandedOver;
        }
    }
}
