//! What is done: stays, runs, the meter, operations.

use super::{
    physical::{LiftedLeg, Main, MeterOut, Sources, Touch},
    proofs::CourseStep,
    state::State,
    vented::Vented,
};
use crate::{
    event::{Body, Event, MeterPulled, MeterSet, Operation, ToneOn},
    plant::SwitchState,
    sighting::{Deed, DeedKind, OpenedCode, Run, SetAt, Stay, resolve},
};

impl State {
    pub(super) fn apply_premises(&mut self, event: &Event) {
        let (now, person) = (event.when(), event.person.clone());
        let Some(evidence) = self.evidence_mut() else { return };
        match &event.body {
            Body::StayBegun(b) => {
                let id = b.stay.clone();
                let stay =
                    Stay { id: id.clone(), person, begun: now, ended: None, withdrawn: false };
                evidence.stays.insert(id, stay);
            }
            Body::StayEnded(b) => {
                if let Some(stay) = evidence.stays.get_mut(&b.stay) {
                    stay.ended = Some(now);
                }
            }
            Body::StayWithdrawn(b) => {
                if let Some(stay) = evidence.stays.get_mut(&b.stay) {
                    stay.withdrawn = true;
                }
            }
            Body::SwitchingRunBegun(b) => {
                let run = Run {
                    id: b.run.clone(),
                    stay: b.stay.clone(),
                    doer: person,
                    outlet: b.outlet.clone(),
                    load_amps: b.load_amps,
                    load_tolerance_percent: b.load_tolerance_percent,
                    sealed: b.sealed.to_string(),
                    size_slot: b.size_slot,
                    begun: now,
                    opened: None,
                    ended: None,
                };
                evidence.runs.insert(b.run.clone(), run);
            }
            Body::SwitchingRunEnded(b) => {
                if let Some(run) = evidence.runs.get_mut(&b.run) {
                    run.opened = Some(OpenedCode { code: b.code.clone(), salt: b.salt.clone() });
                    run.ended = Some(now);
                }
            }
            _ => {}
        }
    }

    pub(super) fn apply_meter_pulled(&mut self, event: &Event, body: &MeterPulled) {
        self.physical.meter_out = Some(MeterOut {
            deed: body.deed.clone(),
            touch: Touch::of(event),
            number_in_hand: body.number_in_hand.clone(),
            own_sources: body.own_sources,
        });
        if let Some(service) = self.target().cloned() {
            let main = Main { open: body.main_open, touch: Touch::of(event) };
            self.physical.mains.insert(service, main);
        }
        self.operated(event);
        let deed = Deed {
            id: body.deed.clone(),
            stay: body.stay.clone(),
            doer: event.person.clone(),
            kind: DeedKind::MeterPulled,
            number_in_hand: body.number_in_hand.clone(),
            at: event.when(),
        };
        if let Some(evidence) = self.evidence_mut() {
            evidence.deeds.insert(body.deed.clone(), deed);
        }
    }

    pub(super) fn apply_tone_on(&mut self, event: &Event, body: &ToneOn) {
        let deed = Deed {
            id: body.deed.clone(),
            stay: body.stay.clone(),
            doer: event.person.clone(),
            kind: DeedKind::ToneOn,
            number_in_hand: None,
            at: event.when(),
        };
        if let Some(evidence) = self.evidence_mut() {
            evidence.deeds.insert(body.deed.clone(), deed);
        }
    }

    pub(super) fn apply_deed_of_setting(&mut self, event: &Event, body: &MeterSet) {
        let deed = Deed {
            id: body.deed.clone(),
            stay: body.stay.clone(),
            doer: event.person.clone(),
            kind: DeedKind::MeterSet,
            number_in_hand: body.number_in_hand.clone(),
            at: event.when(),
        };
        if let Some(evidence) = self.evidence_mut() {
            evidence.deeds.insert(body.deed.clone(), deed);
        }
        self.operated(event);
    }

    pub(super) fn apply_meter_set(&mut self) {
        self.physical.meter_out = None;
        self.proofs.void_dead();
    }

    /// The physical change of one operation, and its place in the record that proofs turn on.
    pub(super) fn apply_operation(&mut self, event: &Event, operation: &Operation) {
        let touch = Touch::of(event);
        let set = |pad: &crate::quantity::AssetId, position: &String| SetAt {
            pad: pad.clone(),
            position: position.clone(),
        };
        match operation {
            Operation::LegLifted { pad, handle, leg, .. } => {
                let found = self.evidence.as_ref().and_then(|e| resolve(e, pad, handle));
                let Some(found) = found else { return };
                self.opened(event, Some(found.clone()), Some(*leg));
                self.physical.neutrals.remove(&found);
                self.ohms.retain(|o| o.pad != found.pad || o.position != found.position);
                self.proofs.set = Some(found.clone());
                let end = LiftedLeg { lifted: touch, capped: None, restrained: None, tagged: None };
                self.physical.legs.entry(found).or_default().insert(*leg, end);
            }
            Operation::LegCapped { pad, position, leg } => {
                self.end_of(&set(pad, position), *leg, |end| end.capped = Some(touch));
            }
            Operation::LegRestrained { pad, position, leg } => {
                self.end_of(&set(pad, position), *leg, |end| end.restrained = Some(touch));
            }
            Operation::LegTagged { pad, position, leg } => {
                self.end_of(&set(pad, position), *leg, |end| end.tagged = Some(touch));
            }
            Operation::LegLanded { pad, position, leg } => {
                let set = set(pad, position);
                if let Some(legs) = self.physical.legs.get_mut(&set) {
                    legs.remove(leg);
                    if legs.is_empty() {
                        self.physical.legs.remove(&set);
                    }
                }
                self.closed_something(event);
            }
            Operation::SetShorted { pad, position } => {
                self.physical.shorts.insert(set(pad, position), touch);
            }
            Operation::ShortRemoved { pad, position } => {
                self.physical.shorts.remove(&set(pad, position));
            }
            Operation::NeutralVerified { pad, position } => {
                self.physical.neutrals.insert(set(pad, position), touch);
            }
            Operation::PressureRelieved { pad } => {
                self.physical.vented.push(Vented { pad: pad.clone(), touch });
            }
            Operation::SwitchOpened { switch } => {
                self.opened(event, None, None);
                self.handled(switch);
                self.physical.switches.insert(switch.clone(), (SwitchState::Open, touch));
            }
            Operation::SwitchClosed { switch } => {
                self.handled(switch);
                self.physical.switches.insert(switch.clone(), (SwitchState::Closed, touch));
                self.closed_something(event);
            }
            Operation::LoopPointMeasured { switch, across_volts, instrument } => {
                self.measured_across(switch, *across_volts, instrument.clone(), touch);
            }
            Operation::Locked { what } => {
                self.physical.locks.insert(what.clone(), touch);
            }
            Operation::LockRemoved { what } => {
                self.physical.locks.remove(what);
            }
            Operation::Tagged { what } => {
                self.physical.tags.insert(what.clone(), touch);
            }
            Operation::TagRemoved { what } => {
                self.physical.tags.remove(what);
            }
            Operation::Grounded { node } => {
                self.physical.grounds.insert(node.clone(), touch);
            }
            Operation::GroundRemoved { node } => {
                self.physical.grounds.remove(node);
            }
            Operation::MainOpened { service } => {
                self.operated(event);
                self.physical.mains.insert(service.clone(), Main { open: true, touch });
            }
            Operation::MainClosed { service } => {
                self.operated(event);
                self.proofs.void_dead();
                self.physical.mains.insert(service.clone(), Main { open: false, touch });
            }
            Operation::SourcesOff { service } => {
                self.operated(event);
                self.physical.sources.insert(service.clone(), Sources { off: true, touch });
            }
            Operation::SourcesOn { service } => {
                self.operated(event);
                self.proofs.void_dead();
                self.physical.sources.insert(service.clone(), Sources { off: false, touch });
            }
            Operation::Inspected { released, .. } => self.inspected = *released,
            Operation::WorkDone { .. } => {}
        }
    }

    fn end_of(
        &mut self,
        set: &SetAt,
        leg: crate::plant::Conductor,
        change: impl FnOnce(&mut LiftedLeg),
    ) {
        let legs = self.physical.legs.get_mut(set);
        if let Some(end) = legs.and_then(|legs| legs.get_mut(&leg)) {
            change(end);
        }
    }

    fn operated(&mut self, event: &Event) {
        self.load_moved();
        self.proofs.course.push(CourseStep::Operated { event: event.id.clone() });
    }

    fn opened(&mut self, event: &Event, set: Option<SetAt>, leg: Option<crate::plant::Conductor>) {
        self.ever_opened = true;
        self.load_moved();
        self.proofs.live = None;
        self.proofs.course.push(CourseStep::Opened { event: event.id.clone(), set, leg });
        self.proofs.dead_from = self.volts.len();
    }

    fn closed_something(&mut self, event: &Event) {
        self.operated(event);
        self.proofs.live = None;
        self.proofs.live_from = self.volts.len();
        self.neutral_test = None;
        self.rotation_now = None;
        self.proofs.void_opening();
    }
}
