//! The two ways through the gate: before signing, and after.

use std::collections::BTreeSet;

use super::{
    conflict::{Conflict, acts_on_the_world},
    known::Known,
    sheets::Sheets,
    state::{Applied, Refused, State},
};
use crate::{
    event::{Body, Event},
    gate::{Passed, Refusal, Rule, Step, judge},
    quantity::EventId,
};

/// What became of an event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// It was applied; the rules named were passed by a declared deviation alone.
    Applied {
        /// Which.
        deviated: BTreeSet<Rule>,
    },
    /// It was kept as refused.
    Refused(Refusal),
    /// It is of a kind or version that is not known: it was kept, and the job is read-only.
    Unknown,
}

/// Whether an act may be written down, before anything is signed: the events to write, or why not.
pub fn decide(state: &State, sheets: &Sheets<'_>, act: Event) -> Result<Vec<Event>, Refusal> {
    if matches!(act.body, Body::Unknown { .. }) {
        return Err(Refusal { rule: Rule::UnknownKindReadOnly, which: vec![act.id.to_string()] });
    }
    pass(state, sheets, &act, Known(&|_| true)).map(|_| vec![act])
}

/// Takes an event, whatever it is: applied where the gate passes it, kept where not. The same
/// events in the same order give the same state.
///
/// The writer is taken to have seen every event folded so far. That holds for a device's own next
/// event; where others' were written apart, `log::fold` knows from their heads what each had seen.
pub fn fold(state: &mut State, sheets: &Sheets<'_>, event: &Event) -> Outcome {
    fold_knowing(state, sheets, event, &|_| true)
}

/// [`fold`] of an event whose writer had seen only those of the events before it that `had_seen`
/// says.
pub fn fold_knowing(
    state: &mut State,
    sheets: &Sheets<'_>,
    event: &Event,
    had_seen: &dyn Fn(&EventId) -> bool,
) -> Outcome {
    if matches!(event.body, Body::Unknown { .. }) {
        state.ids.insert(event.id.clone());
        state.unknown.push(event.clone());
        return Outcome::Unknown;
    }
    match pass(state, sheets, event, Known(had_seen)) {
        Ok(Passed { deviated }) => {
            state.put(sheets, event, &deviated, had_seen);
            Outcome::Applied { deviated }
        }
        Err(refusal) => {
            if acts_on_the_world(event) && !state.ids.contains(&event.id) {
                let rule = refusal.rule;
                let conflict = Conflict { rule, settled: None, stands: false };
                state.conflicts.insert(event.id.clone(), conflict);
            }
            state.ids.insert(event.id.clone());
            state.refused.push(Refused { event: event.clone(), refusal: refusal.clone() });
            Outcome::Refused(refusal)
        }
    }
}

/// [`decide`] and then [`fold`] of a device's own next event, with the gate asked once. What is
/// refused is not written at all, as on a phone; gives the rules that were passed by a declared
/// deviation alone.
pub fn write(
    state: &mut State,
    sheets: &Sheets<'_>,
    act: &Event,
) -> Result<BTreeSet<Rule>, Refusal> {
    if matches!(act.body, Body::Unknown { .. }) {
        return Err(Refusal { rule: Rule::UnknownKindReadOnly, which: vec![act.id.to_string()] });
    }
    let Passed { deviated } = pass(state, sheets, act, Known(&|_| true))?;
    state.put(sheets, act, &deviated, &|_| true);
    Ok(deviated)
}

impl State {
    /// Applies an event that the gate has passed.
    fn put(
        &mut self,
        sheets: &Sheets<'_>,
        event: &Event,
        deviated: &BTreeSet<Rule>,
        had_seen: &dyn Fn(&EventId) -> bool,
    ) {
        self.ids.insert(event.id.clone());
        if event.late_wall_ms.is_some() {
            self.late.insert(event.id.clone());
        }
        let applied = Applied {
            event: event.clone(),
            deviated: deviated.clone(),
            corrected_by: None,
            superseded: false,
        };
        self.take(sheets, &applied);
        self.applied.push(applied);
        self.know_sources_off(event, had_seen);
        if let Body::Correction(correction) = &event.body {
            self.correct(sheets, event, correction);
        }
        self.hear(sheets, event, Known(had_seen));
    }
}

fn pass(
    state: &State,
    sheets: &Sheets<'_>,
    event: &Event,
    known: Known<'_>,
) -> Result<Passed, Refusal> {
    let standing = state.standing(sheets, event);
    let step = state.step(sheets, event, known);
    let mut passed = judge(&standing, &step)?;
    // What was done to make safe is applied, and marked where the plain step would not have passed.
    if let (Body::Operation(done), Step::MakeSafe) = (&event.body, &step) {
        let plain = state.operation_step(sheets, event, &done.operation, known);
        passed.deviated.extend(judge(&standing, &plain).err().map(|refusal| refusal.rule));
    }
    Ok(passed)
}
