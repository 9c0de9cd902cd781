//! Corrections: an earlier event counts no more, or counts as it should have been written.
//!
//! What was concluded from it is drawn anew from the events that stand; what was operated stays
//! operated, and a stop stays a stop.

use std::mem::{discriminant, take};

use super::{known::Known, sheets::Sheets, state::State};
use crate::{
    event::{Body, Correction, Event},
    gate::CorrectFacts,
    quantity::StayId,
    reading::Liveness,
    sighting::{End, Seen},
};

/// The stay a sighting belongs to; none: it is of the pad.
pub(super) fn stay_of(seen: &Seen) -> Option<&StayId> {
    match seen {
        Seen::MeterNumber { stay, .. }
        | Seen::AddressPlate { stay, .. }
        | Seen::MeterPhoto { stay, .. }
        | Seen::Sticker { stay, .. }
        | Seen::BillingRecord { stay, .. }
        | Seen::Word { stay, .. }
        | Seen::Lacking { stay, .. }
        | Seen::Marker { end: End::Base { stay }, .. }
        | Seen::SourcesOff { stay }
        | Seen::Conductor { end: End::Base { stay }, .. } => Some(stay),
        Seen::LoadStep { .. }
        | Seen::BareStep { .. }
        | Seen::Tone { .. }
        | Seen::Marker { end: End::Lug { .. }, .. }
        | Seen::Amps { .. }
        | Seen::Conductor { end: End::Lug { .. }, .. }
        | Seen::Tag { .. }
        | Seen::Fix { .. }
        | Seen::SetCount { .. } => None,
    }
}

/// Whether a correction may name an event of this kind.
pub(crate) fn correctable(body: &Body) -> bool {
    matches!(
        body,
        Body::Briefed(_)
            | Body::Instrument(_)
            | Body::InstrumentProven(_)
            | Body::MarksPut(_)
            | Body::Placement(_)
            | Body::Sighting(_)
            | Body::Answers(_)
            | Body::Volts(_)
            | Body::Amps(_)
            | Body::Ohms(_)
            | Body::Operation(_)
            | Body::MapCorrection(_)
            | Body::VerdictShown(_)
    )
}

/// Whether `instead` says the same kind of thing as what it corrects, under the same names.
fn alike(was: &Body, instead: &Body) -> bool {
    match (was, instead) {
        (Body::Operation(was), Body::Operation(now)) => {
            discriminant(&was.operation) == discriminant(&now.operation)
                && was.making_safe == now.making_safe
        }
        (Body::Sighting(was), Body::Sighting(now)) => {
            was.sighting == now.sighting && stay_of(&now.seen).is_none()
        }
        (Body::MarksPut(was), Body::MarksPut(now)) => was.marks.id == now.marks.id,
        (Body::Placement(was), Body::Placement(now)) => was.placement == now.placement,
        (Body::Instrument(was), Body::Instrument(now)) => was.instrument.id == now.instrument.id,
        (was, now) => was.kind() == now.kind() && !matches!(now, Body::Unknown { .. }),
    }
}

impl State {
    /// What a correction is judged by.
    pub(super) fn correct_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &Correction,
        known: Known<'_>,
    ) -> CorrectFacts {
        let there = self
            .applied
            .iter()
            .find(|applied| applied.event.id == body.corrects && !applied.superseded);
        let Some(was) = there.map(|applied| &applied.event) else {
            let faults = vec![body.corrects.to_string()];
            return CorrectFacts { code_known: Vec::new(), of_stay: false, faults };
        };
        let of_stay = matches!(&was.body, Body::Sighting(made) if stay_of(&made.seen).is_some());
        let mut faults = Vec::new();
        if was.person != event.person {
            faults.push(was.person.to_string());
        }
        if !correctable(&was.body) {
            faults.push(was.body.kind().to_owned());
        }
        // An operation may be put right, never taken out: what was operated is settled in the field.
        match &body.instead {
            Some(instead) if !alike(&was.body, &instead.0) => {
                faults.push(instead.0.kind().to_owned());
            }
            None if matches!(was.body, Body::Operation(_)) => {
                faults.push(was.body.kind().to_owned());
            }
            _ => {}
        }
        if self.unlives(sheets, &was.body, body) {
            faults.push("live".into());
        }
        // Keys may be taken out at any time, and written anew only while nobody there knows the code.
        let code_known = match body.instead.as_ref().map(|instead| &*instead.0) {
            Some(Body::Sighting(anew)) => self.code_known(event, &anew.seen, known),
            _ => Vec::new(),
        };
        CorrectFacts { code_known, of_stay, faults }
    }

    /// A live reading stays live, and one of more than a switch may break stays so: a retest settles it,
    /// never a correction.
    fn unlives(&self, sheets: &Sheets<'_>, was: &Body, body: &Correction) -> bool {
        let lives = |body: &Body| match body {
            Body::Volts(volts) => self.liveness_of(sheets, &volts.reading) == Liveness::Live,
            Body::Amps(amps) => self.shows_too_much(sheets, amps),
            _ => false,
        };
        lives(was) && !body.instead.as_ref().is_some_and(|instead| lives(&instead.0))
    }

    /// Draws the state anew with the corrected event changed or taken out.
    pub(super) fn correct(&mut self, sheets: &Sheets<'_>, event: &Event, body: &Correction) {
        let found = self.applied.iter_mut().find(|applied| applied.event.id == body.corrects);
        let Some(applied) = found else { return };
        applied.corrected_by = Some(event.id.clone());
        match &body.instead {
            Some(instead) => applied.event.body = (*instead.0).clone(),
            None => applied.superseded = true,
        }
        let mut anew = Self {
            refused: take(&mut self.refused),
            conflicts: take(&mut self.conflicts),
            unknown: take(&mut self.unknown),
            late: take(&mut self.late),
            ids: take(&mut self.ids),
            off_known: take(&mut self.off_known),
            clear: take(&mut self.clear),
            ..Self::default()
        };
        for applied in take(&mut self.applied) {
            if !applied.superseded {
                anew.take(sheets, &applied);
            }
            anew.applied.push(applied);
        }
        if anew.stopped.is_none() {
            anew.stopped = self.stopped.take();
        }
        *self = anew;
    }
}
