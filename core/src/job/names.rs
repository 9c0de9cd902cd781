//! Names: what an event names must be there, and what it brings must be new.

use super::{load_read::amps_are_read_at, sheets::Sheets, state::State};
use crate::{
    event::{Body, ClearanceOp, Event, Operation, OperationDone, OwnTest, ProofMade, SightingMade},
    quantity::{EventId, InstrumentId},
    sighting::{End, Handle, Run, Seen, resolve},
};

impl State {
    /// Whether the names that an event brings were not used before.
    pub(super) fn brings_new_names(&self, event: &Event) -> bool {
        if self.ids.contains(&event.id) {
            return false;
        }
        let Some(evidence) = &self.evidence else { return true };
        match &event.body {
            Body::StayBegun(b) => !evidence.stays.contains_key(&b.stay),
            Body::MarksPut(b) => !evidence.marks.contains_key(&b.marks.id),
            Body::Placement(b) => !evidence.placements.contains_key(&b.placement),
            // A seal used before is a code that somebody may have seen opened.
            Body::SwitchingRunBegun(b) => {
                let sealed = b.sealed.to_string();
                let used = |run: &Run| run.id == b.run || run.sealed == sealed;
                !evidence.runs.values().any(used)
            }
            Body::MeterPulled(b) => !evidence.deeds.contains_key(&b.deed),
            Body::MeterSet(b) => !evidence.deeds.contains_key(&b.deed),
            Body::ToneOn(b) => !evidence.deeds.contains_key(&b.deed),
            Body::Sighting(b) => !evidence.sightings.contains_key(&b.sighting),
            Body::Proof(b) => !self.proofs.names.contains(&b.proof),
            _ => true,
        }
    }

    /// What an event names that is not on record.
    pub(super) fn not_there(&self, sheets: &Sheets<'_>, event: &Event) -> Vec<String> {
        let Some(evidence) = &self.evidence else { return Vec::new() };
        let mut lacks = Vec::new();
        let mut need = |there: bool, what: String| {
            if !there {
                lacks.push(what);
            }
        };
        match &event.body {
            Body::Amps(b) => need(amps_are_read_at(sheets.plant, &b.branch), b.branch.to_string()),
            Body::Placement(b) => {
                need(resolve(evidence, &b.pad, &b.handle).is_some(), handle_name(&b.handle));
            }
            Body::Operation(done) => {
                if let Operation::LegLifted { pad, handle, .. } = &done.operation {
                    need(resolve(evidence, pad, handle).is_some(), handle_name(handle));
                }
            }
            Body::Sighting(b) => match &b.seen {
                Seen::LoadStep { run, placement, .. } => {
                    need(evidence.runs.contains_key(run), run.to_string());
                    need(evidence.placements.contains_key(placement), placement.to_string());
                }
                Seen::Amps { placement, deed, .. } => {
                    need(evidence.placements.contains_key(placement), placement.to_string());
                    if let Some(deed) = deed {
                        need(evidence.deeds.contains_key(deed), deed.to_string());
                    }
                }
                Seen::BareStep { stay, placement, .. } => {
                    need(evidence.stays.contains_key(stay), stay.to_string());
                    need(evidence.placements.contains_key(placement), placement.to_string());
                }
                Seen::Tone { deed, pad, levels, .. } => {
                    need(evidence.deeds.contains_key(deed), deed.to_string());
                    for level in levels {
                        let there = resolve(evidence, pad, &level.handle).is_some();
                        need(there, handle_name(&level.handle));
                    }
                }
                Seen::Marker { end: End::Lug { pad, handle }, .. } => {
                    need(resolve(evidence, pad, handle).is_some(), handle_name(handle));
                }
                seen => {
                    if let Some(of) = seen.of_picture() {
                        // What is read has to be a picture on record, taken where and when it says.
                        let there = self.pictures.iter().any(|picture| picture.is_read_by(seen));
                        need(there, of.photo.to_owned());
                    }
                }
            },
            Body::Picture(b) => {
                if let Some(run) = &b.run {
                    let inside = evidence.runs.get(run).is_some_and(|known| known.stay == b.stay);
                    need(inside, run.to_string());
                }
            }
            Body::Proof(ProofMade { readings, .. }) => {
                for id in readings {
                    need(self.is_applied(id), id.to_string());
                }
            }
            Body::Clearance(b) => {
                let (ClearanceOp::Accepted { test } | ClearanceOp::Transferred { test, .. }) =
                    &b.act
                else {
                    return lacks;
                };
                if let OwnTest::Readings { readings } = test {
                    for id in readings {
                        need(self.is_applied(id), id.to_string());
                    }
                }
            }
            _ => {}
        }
        lacks
    }

    /// Marks that an event finds a set by although that pad's sets were marked anew since.
    pub(super) fn marks_gone(&self, event: &Event) -> Vec<String> {
        let (pad, handle) = match &event.body {
            Body::Placement(b) => (&b.pad, &b.handle),
            Body::Operation(OperationDone {
                operation: Operation::LegLifted { pad, handle, .. },
                ..
            }) => (pad, handle),
            _ => return Vec::new(),
        };
        let on = self.evidence.as_ref().and_then(|evidence| evidence.marks_on(pad));
        match (handle, on) {
            (Handle::Mark { marks, .. }, Some(on)) if on.id != *marks => vec![handle_name(handle)],
            _ => Vec::new(),
        }
    }

    /// Whether an event stands on record, applied and not taken out. What is named was written a little
    /// while ago mostly, so it is looked for from the end.
    pub(super) fn is_applied(&self, id: &EventId) -> bool {
        self.applied.iter().rev().any(|applied| applied.event.id == *id && !applied.superseded)
    }

    /// Instruments that an event reads with and that were not entered.
    pub(super) fn unknown_instruments(&self, event: &Event) -> Vec<String> {
        let named: Vec<&InstrumentId> = match &event.body {
            Body::Placement(b) => vec![&b.instrument],
            Body::InstrumentProven(b) => vec![&b.instrument],
            Body::Volts(b) => vec![&b.reading.instrument],
            Body::Amps(b) => vec![&b.reading.instrument],
            Body::Ohms(b) => vec![&b.reading.instrument],
            Body::Operation(OperationDone {
                operation: Operation::LoopPointMeasured { instrument, .. },
                ..
            }) => instrument.iter().collect(),
            Body::NeutralTested(b) => vec![&b.test.voltmeter, &b.test.load.instrument],
            Body::RotationRead(b) => vec![&b.instrument],
            Body::ToneOn(b) => vec![&b.instrument],
            Body::Sighting(SightingMade { seen: Seen::Tone { instrument, .. }, .. }) => {
                vec![instrument]
            }
            _ => Vec::new(),
        };
        let known = |id: &InstrumentId| {
            self.evidence.as_ref().is_some_and(|evidence| evidence.instruments.contains_key(id))
        };
        named.into_iter().filter(|id| !known(id)).map(ToString::to_string).collect()
    }
}

fn handle_name(handle: &Handle) -> String {
    match handle {
        Handle::Mark { marks, mark } => format!("{marks} {mark}"),
        Handle::Position { position } => position.clone(),
    }
}
