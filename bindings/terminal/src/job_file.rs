//! The events of a job from a file: bare events, or a record.

use std::path::Path;

use coldlug_core::{
    event::{Event, parse_events},
    job::{Outcome, Sheets, State, fold},
    log::verify,
    quantity::EventId,
};

use crate::{file, trouble::Trouble};

/// The events of a file, in the order they are folded.
pub(crate) fn read(path: &Path) -> Result<Vec<Event>, Trouble> {
    let bytes = file::read(path)?;
    if is_record(&bytes) {
        let verified = verify(&bytes).map_err(|error| {
            Trouble::refused(
                format!("the record {}", path.display()),
                error.to_string(),
                "ask for the record again; nothing of it was used",
            )
        })?;
        return Ok(verified.log.in_order().into_iter().map(|e| e.event().clone()).collect());
    }
    parse_events(&bytes).map_err(|error| {
        Trouble::refused(
            format!("the events {}", path.display()),
            error.to_string(),
            "mend the line named; nothing of the file was used",
        )
    })
}

/// A record begins with its header; an event never has such a member first.
fn is_record(bytes: &[u8]) -> bool {
    let first = bytes.split(|&b| b == b'\n').next().unwrap_or_default();
    first.windows(10).any(|w| w == b"\"record\":1") && !first.windows(7).any(|w| w == b"\"kind\":")
}

/// A job as it stood right after an event; without one, after the last.
pub(crate) struct Folded {
    /// What is known of it.
    pub(crate) state: State,
    /// The last event that counted.
    pub(crate) until: Option<EventId>,
}

/// Folds events up to and including one.
pub(crate) fn folded(
    events: &[Event],
    until: Option<&str>,
    sheets: &Sheets<'_>,
) -> Result<Folded, Trouble> {
    let end = match until {
        None => events.len(),
        Some(id) => {
            let place = events.iter().position(|event| event.id.as_str() == id);
            1 + place.ok_or_else(|| {
                Trouble::refused(
                    format!("the entry '{id}'"),
                    "no event of the file has this id",
                    "give the id of an event of the file",
                )
            })?
        }
    };
    let mut state = State::default();
    let mut until = None;
    for event in events.iter().take(end) {
        let outcome = fold(&mut state, sheets, event);
        if let (Outcome::Refused(refusal), None) = (&outcome, &state.header) {
            return Err(Trouble::refused(
                format!("event {}", event.id),
                refusal.to_string(),
                "give the map sheet and rule sheet that the job was opened with",
            ));
        }
        until = Some(event.id.clone());
    }
    Ok(Folded { state, until })
}
