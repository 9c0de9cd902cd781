//! The events of a job from a file: bare events, or a record.

use std::{ops::ControlFlow, path::Path};

use coldlug_core::{
    event::{Body, Event, parse_events},
    gate::Refusal,
    job::{Outcome, Sheets, State, fold},
    log::{Log, replay, verify},
    quantity::EventId,
};

use crate::{file, trouble::Trouble};

/// A job as a file has it.
pub(crate) enum JobFile {
    /// Bare events. They say nothing of what their writers had seen: each is taken to have seen
    /// those before it in the file.
    Events(Vec<Event>),
    /// A record, whose entries say it.
    Record(Log),
}

/// The job of a file.
pub(crate) fn read(path: &Path) -> Result<JobFile, Trouble> {
    let bytes = file::read(path)?;
    if is_record(&bytes) {
        let verified = verify(&bytes).map_err(|error| {
            Trouble::refused(
                format!("the record {}", path.display()),
                error.to_string(),
                "ask for the record again; nothing of it was used",
            )
        })?;
        return Ok(JobFile::Record(verified.log));
    }
    let events = parse_events(&bytes).map_err(|error| {
        Trouble::refused(
            format!("the events {}", path.display()),
            error.to_string(),
            "mend the line named; nothing of the file was used",
        )
    })?;
    Ok(JobFile::Events(events))
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

/// Folds a job up to and including one event.
pub(crate) fn folded(
    file: &JobFile,
    until: Option<&str>,
    sheets: &Sheets<'_>,
) -> Result<Folded, Trouble> {
    let mut progress =
        Progress { wanted: until, last: None, found: until.is_none(), opened: false, wrong: None };
    let state = match file {
        JobFile::Record(log) => {
            replay(log, sheets, |entry, outcome| progress.next(entry.event(), outcome))
        }
        JobFile::Events(events) => {
            let mut state = State::default();
            for event in events {
                let outcome = fold(&mut state, sheets, event);
                if progress.next(event, &outcome).is_break() {
                    break;
                }
            }
            state
        }
    };
    if let Some((event, refusal)) = progress.wrong {
        return Err(Trouble::refused(
            format!("event {event}"),
            refusal.to_string(),
            "give the map sheet and rule sheet that the job was opened with",
        ));
    }
    if !progress.found {
        return Err(Trouble::refused(
            format!("the entry '{}'", until.unwrap_or_default()),
            "no event of the file has this id",
            "give the id of an event of the file",
        ));
    }
    Ok(Folded { state, until: progress.last })
}

/// How far folding has come.
struct Progress<'a> {
    wanted: Option<&'a str>,
    last: Option<EventId>,
    found: bool,
    opened: bool,
    /// An event refused before the job was opened: the sheets are others.
    wrong: Option<(EventId, Refusal)>,
}

impl Progress<'_> {
    fn next(&mut self, event: &Event, outcome: &Outcome) -> ControlFlow<()> {
        match outcome {
            Outcome::Refused(refusal) if !self.opened => {
                self.wrong = Some((event.id.clone(), refusal.clone()));
                return ControlFlow::Break(());
            }
            Outcome::Applied { .. } => self.opened |= matches!(event.body, Body::JobOpened(_)),
            _ => {}
        }
        self.last = Some(event.id.clone());
        if self.wanted == Some(event.id.as_str()) {
            self.found = true;
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    }
}
