//! One event: who wrote what down, when, on which device.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use serde_json::Value;

use super::body::Body;
use crate::quantity::{DeviceId, EventId, Instant, PersonId};

/// The version of every kind known here.
pub const VERSION: u32 = 1;

/// One event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Its name, once in a job.
    pub id: EventId,
    /// When it was written down.
    pub at: Instant,
    /// On which device.
    pub device: DeviceId,
    /// By whom.
    pub person: PersonId,
    /// For an entry made late: when it really was, by the writer's word, in wall-clock milliseconds
    /// since 1970 UTC.
    pub late_wall_ms: Option<i64>,
    /// What.
    pub body: Body,
}

/// Why a JSON value is not an event.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EventError {
    /// Something of the envelope is missing, unknown or of the wrong kind.
    #[error("not an event: {reason}")]
    Envelope {
        /// What is wrong.
        reason: String,
    },
    /// The kind is known, and its body does not hold.
    #[error("'{kind}' of event {id}: {reason}")]
    Body {
        /// The event.
        id: EventId,
        /// Its kind.
        kind: String,
        /// What is wrong.
        reason: String,
    },
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Envelope {
    id: EventId,
    kind: String,
    version: u32,
    at: Instant,
    device: DeviceId,
    person: PersonId,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    late_wall_ms: Option<i64>,
    body: Value,
}

impl Event {
    /// The event from a JSON value; see [`super::strict_value`] for reading one from text.
    pub fn from_value(value: Value) -> Result<Self, EventError> {
        let envelope: Envelope = serde_json::from_value(value)
            .map_err(|error| EventError::Envelope { reason: error.to_string() })?;
        let Envelope { id, kind, version, at, device, person, late_wall_ms, body } = envelope;
        let shown = kind.clone();
        match Body::from_parts(kind, version, body) {
            Ok(body) => Ok(Self { id, at, device, person, late_wall_ms, body }),
            Err(error) => Err(EventError::Body { id, kind: shown, reason: error.to_string() }),
        }
    }

    /// The event as one line of an events file, without the line's end.
    pub fn to_line(&self) -> Result<String, EventError> {
        serde_json::to_string(self)
            .map_err(|error| EventError::Envelope { reason: error.to_string() })
    }

    /// When it happened, as freshness is counted: an entry made late is of a boot of its own, so no
    /// clock can ever say that it is fresh.
    pub fn when(&self) -> Instant {
        match self.late_wall_ms {
            None => self.at.clone(),
            Some(wall_ms) => Instant { wall_ms, boot: format!("late:{}", self.id), mono_ms: 0 },
        }
    }
}

impl Serialize for Event {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Envelope {
            id: self.id.clone(),
            kind: self.body.kind().into(),
            version: self.body.version(),
            at: self.at.clone(),
            device: self.device.clone(),
            person: self.person.clone(),
            late_wall_ms: self.late_wall_ms,
            body: self.body.to_value().map_err(serde::ser::Error::custom)?,
        }
        .serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Event {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::from_value(Value::deserialize(deserializer)?).map_err(de::Error::custom)
    }
}
