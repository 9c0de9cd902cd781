//! What is read and seen.

use super::{
    proofs::CourseStep,
    sheets::Sheets,
    state::{OhmsTaken, State, VoltsTaken},
};
use crate::{
    event::{Body, Event, InstrumentProven, Shown, VoltsRead},
    gate::Stage,
    proof::{LegCheck, Zone},
    quantity::in_volts,
    reading::{JudgedVolts, Liveness, Moment, Place, Reads, Taken, VoltsReading, judge_volts},
    sighting::{Placement, SetAt, Sighting},
};

impl State {
    pub(super) fn apply_reading(&mut self, sheets: &Sheets<'_>, event: &Event) {
        let now = event.when();
        match &event.body {
            Body::MarksPut(_) => self.reach(Stage::Found),
            Body::Ohms(b) => {
                self.ohms.push(OhmsTaken {
                    pad: b.pad.clone(),
                    position: b.position.clone(),
                    both_ends_free: b.both_ends_free,
                    taken: Taken { event: event.id.clone(), at: now, reading: b.reading.clone() },
                });
                return;
            }
            Body::NeutralTested(b) => {
                let taken = Taken { event: event.id.clone(), at: now, reading: b.test.clone() };
                self.neutral_test = Some((b.service.clone(), taken));
                return;
            }
            Body::RotationRead(b) => {
                if self.ever_opened {
                    self.rotation_now = Some(b.rotation);
                } else {
                    self.rotation_found = Some(b.rotation);
                }
                return;
            }
            _ => {}
        }
        let Some(evidence) = self.evidence_mut() else { return };
        match &event.body {
            Body::Instrument(b) => {
                evidence.instruments.insert(b.instrument.id.clone(), b.instrument.clone());
            }
            Body::InstrumentProven(b) => {
                let instrument = evidence.instruments.get(&b.instrument);
                if instrument.is_some_and(|instrument| reads_right(sheets, instrument, b)) {
                    evidence.show_right(&b.instrument, &now);
                } else {
                    // One that fails is not used.
                    evidence.show_wrong(&b.instrument);
                }
            }
            Body::MarksPut(b) => {
                evidence.put_marks(b.marks.clone());
            }
            Body::Placement(b) => {
                let placement = Placement {
                    id: b.placement.clone(),
                    pad: b.pad.clone(),
                    handle: b.handle.clone(),
                    leg: b.leg,
                    runs_in_jaws: b.runs_in_jaws,
                    instrument: b.instrument.clone(),
                    at: now,
                };
                evidence.placements.insert(b.placement.clone(), placement);
            }
            Body::Sighting(b) => {
                let sighting = Sighting {
                    id: b.sighting.clone(),
                    who: event.person.clone(),
                    at: now,
                    seen: b.seen.clone(),
                };
                evidence.sightings.insert(b.sighting.clone(), sighting);
            }
            _ => {}
        }
    }

    /// What a voltage says, live before anything is held against it.
    pub(super) fn liveness_of(&self, sheets: &Sheets<'_>, reading: &VoltsReading) -> Liveness {
        self.judged_by_itself(sheets, reading).liveness
    }

    fn judged_by_itself(&self, sheets: &Sheets<'_>, reading: &VoltsReading) -> JudgedVolts {
        let instruments = self.evidence.as_ref().map(|evidence| &evidence.instruments);
        let instrument = instruments.and_then(|all| all.get(&reading.instrument));
        let moment = Moment::all_at_once(sheets.rules.proof_window());
        judge_volts(reading, instrument, moment, sheets.rules)
    }

    pub(super) fn apply_volts(&mut self, sheets: &Sheets<'_>, event: &Event, body: &VoltsRead) {
        let taken =
            Taken { event: event.id.clone(), at: event.when(), reading: body.reading.clone() };
        self.volts.push(VoltsTaken { person: event.person.clone(), taken });
        self.proofs.course.push(CourseStep::Read(self.volts.len() - 1));
        let judged = self.judged_by_itself(sheets, &body.reading);
        let liveness = judged.liveness;
        let known_source = matches!(body.reading.place, Place::KnownSource { .. });
        if known_source && liveness == Liveness::Live && judged.validation.is_accepted() {
            let instrument = body.reading.instrument.clone();
            if let Some(evidence) = self.evidence_mut() {
                evidence.show_life(&instrument, &event.when());
            }
        }
        let another_set = self.opening_shows_another_set(sheets);
        if let Some(evidence) = self.evidence_mut().filter(|_| another_set) {
            evidence.another_set_shown = true;
        }
        if another_set
            || liveness == Liveness::Live && self.should_be_dead(sheets, &body.reading.place)
        {
            self.stop(event, true);
        }
    }

    /// Whether everything that we meant to open is open, so that a live reading there is a stop.
    fn should_be_dead(&self, sheets: &Sheets<'_>, place: &Place) -> bool {
        let (Some(target), Some(system)) = (self.target(), self.system(sheets)) else {
            return false;
        };
        let all_lifted = |set: &SetAt| {
            let lifted = self.physical.lifted_of(set);
            system.legs().iter().all(|leg| lifted.contains(leg))
        };
        match place {
            Place::LiftedLegs { pad, position } => {
                all_lifted(&SetAt { pad: pad.clone(), position: position.clone() })
            }
            Place::MeterBase { service, .. } if service == target => {
                let zone = Zone::MeterBase { service: target.clone() };
                self.physical.legs.keys().any(all_lifted) || self.proofs.dead_of(&zone).is_some()
            }
            _ => false,
        }
    }

    /// Whether a lifted leg shows at the base that another set feeds it.
    fn opening_shows_another_set(&self, sheets: &Sheets<'_>) -> bool {
        let Some(target) = self.target() else { return false };
        self.stopped.is_none()
            && self.physical.legs.keys().any(|set| {
                matches!(
                    self.leg_check(sheets, target, set),
                    Some(LegCheck::NothingDied | LegCheck::MoreDied { .. })
                )
            })
    }
}

/// Whether an instrument showed what was there: the two values with their limits touch, and it
/// showed something.
fn reads_right(
    sheets: &Sheets<'_>,
    instrument: &crate::reading::Instrument,
    body: &InstrumentProven,
) -> bool {
    let (shown, expected, reads, least) = match &body.shown {
        Shown::Volts { shown_volts, expected_volts } => (
            shown_volts.to_f64(),
            expected_volts.to_f64(),
            Reads::Volts,
            in_volts(sheets.rules.live_limit()),
        ),
        Shown::Amps { shown_amps, expected_amps } => (
            shown_amps.to_f64(),
            expected_amps.to_f64(),
            Reads::Amps,
            crate::quantity::in_amps(sheets.rules.no_load()),
        ),
        Shown::Megohms { shown_megohms, expected_megohms } => {
            (shown_megohms.to_f64(), expected_megohms.to_f64(), Reads::Megohms, 0.0)
        }
    };
    let share = if reads == Reads::Amps { sheets.rules.clamp_position_share() } else { 0.0 };
    let tolerance = body.known_tolerance_percent.to_f64() / 100.0 * expected.abs();
    let limit = instrument.limit_of_error(shown, share) + tolerance;
    instrument.class.reads() == reads
        && instrument.makes_sense()
        && tolerance >= 0.0
        && expected - tolerance > least
        && shown - instrument.limit_of_error(shown, share) > least
        && (shown - expected).abs() <= limit
}
