//! An events file: JSON Lines, one event a line, refused whole at the first line that does not hold.

use std::collections::BTreeMap;

use super::{
    envelope::{Event, EventError},
    strict::{StrictError, strict_value},
};
use crate::quantity::EventId;

/// Largest events file, bytes.
pub const MOST_BYTES: usize = 64 << 20;
/// Longest line, bytes.
pub const LONGEST_LINE: usize = 64 << 10;
/// Most events in one file.
pub const MOST_EVENTS: usize = 200_000;

/// Why an events file is refused. Nothing of it is used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EventsError {
    /// The file is too large.
    #[error("the events file has {bytes} bytes: at most {MOST_BYTES}")]
    TooLarge {
        /// How large it is.
        bytes: usize,
    },
    /// There is nothing in it.
    #[error("the events file is empty: its first line opens the job")]
    Empty,
    /// One line does not hold.
    #[error("line {line}: {reason}")]
    Line {
        /// Which, counted from one.
        line: usize,
        /// What is wrong with it.
        reason: LineError,
    },
}

/// What is wrong with one line of an events file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// Too long.
    #[error("the line has {bytes} bytes: at most {LONGEST_LINE}")]
    TooLong {
        /// How long it is.
        bytes: usize,
    },
    /// Not UTF-8.
    #[error("not UTF-8 text from byte {byte} on")]
    NotText {
        /// Where, counted from zero.
        byte: usize,
    },
    /// Nothing on it.
    #[error("an empty line")]
    Blank,
    /// Not JSON as an event may use it.
    #[error(transparent)]
    Json(#[from] StrictError),
    /// JSON, but not an event.
    #[error(transparent)]
    Event(#[from] EventError),
    /// An event's name was used before.
    #[error("event {id} stands on line {first} already: a name is used once")]
    Twice {
        /// The name.
        id: EventId,
        /// The line it was used on first.
        first: usize,
    },
    /// More events than a file may have.
    #[error("more than {MOST_EVENTS} events")]
    TooMany,
}

/// The events of a JSON Lines file, in the order of its lines.
///
/// The last line may lack its end. An unknown kind or version is kept as [`super::Body::Unknown`].
pub fn parse_events(bytes: &[u8]) -> Result<Vec<Event>, EventsError> {
    if bytes.len() > MOST_BYTES {
        return Err(EventsError::TooLarge { bytes: bytes.len() });
    }
    let bytes = bytes.strip_suffix(b"\n").unwrap_or(bytes);
    if bytes.is_empty() {
        return Err(EventsError::Empty);
    }
    let mut events = Vec::new();
    let mut lines = BTreeMap::new();
    for (index, line) in bytes.split(|&b| b == b'\n').enumerate() {
        let number = index + 1;
        let at_line = |reason| EventsError::Line { line: number, reason };
        if events.len() == MOST_EVENTS {
            return Err(at_line(LineError::TooMany));
        }
        let event = parse_line(line).map_err(at_line)?;
        if let Some(first) = lines.insert(event.id.clone(), number) {
            return Err(at_line(LineError::Twice { id: event.id, first }));
        }
        events.push(event);
    }
    Ok(events)
}

fn parse_line(line: &[u8]) -> Result<Event, LineError> {
    if line.len() > LONGEST_LINE {
        return Err(LineError::TooLong { bytes: line.len() });
    }
    let text =
        str::from_utf8(line).map_err(|error| LineError::NotText { byte: error.valid_up_to() })?;
    if text.trim().is_empty() {
        return Err(LineError::Blank);
    }
    Ok(Event::from_value(strict_value(text)?)?)
}
