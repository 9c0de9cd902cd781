//! Names of things: short texts that are safe in JSON, file names, links and log lines.

use serde::{Deserialize, Serialize};
use smol_str::SmolStr;

/// Most characters a name may have.
const LONGEST: usize = 60;

/// Why a text cannot name a thing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IdError {
    /// No character at all.
    #[error("a {what} needs a name: it is empty")]
    Empty {
        /// Which kind of thing the name was for.
        what: &'static str,
    },
    /// More than 60 characters.
    #[error("the {what} name '{text}…' is too long: at most 60 characters")]
    TooLong {
        /// Which kind of thing the name was for.
        what: &'static str,
        /// Its first characters.
        text: String,
    },
    /// A character outside letters, digits and `. _ : / # -`.
    #[error("the {what} name '{text}' holds {found:?}: use letters, digits and . _ : / # -")]
    Character {
        /// Which kind of thing the name was for.
        what: &'static str,
        /// The name.
        text: String,
        /// The first character that is not allowed.
        found: char,
    },
}

fn checked(text: String, what: &'static str) -> Result<SmolStr, IdError> {
    if text.is_empty() {
        return Err(IdError::Empty { what });
    }
    if text.chars().count() > LONGEST {
        return Err(IdError::TooLong { what, text: text.chars().take(20).collect() });
    }
    let allowed = |c: char| c.is_ascii_alphanumeric() || "._:/#-".contains(c);
    match text.chars().find(|&c| !allowed(c)) {
        Some(found) => Err(IdError::Character { what, text, found }),
        None => Ok(text.into()),
    }
}

macro_rules! names {
    ($($(#[$doc:meta])* $name:ident = $what:literal;)*) => {$(
        $(#[$doc])*
        #[derive(
            Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
            schemars::JsonSchema,
        )]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(SmolStr);

        impl $name {
            /// The name from a text; see [`IdError`] for what is refused.
            pub fn new(text: impl Into<String>) -> Result<Self, IdError> {
                checked(text.into(), $what).map(Self)
            }

            /// The name as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl TryFrom<String> for $name {
            type Error = IdError;
            fn try_from(text: String) -> Result<Self, IdError> {
                Self::new(text)
            }
        }

        impl TryFrom<&str> for $name {
            type Error = IdError;
            fn try_from(text: &str) -> Result<Self, IdError> {
                Self::new(text)
            }
        }

        impl From<$name> for String {
            fn from(name: $name) -> String {
                name.0.into()
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }
    )*};
}

names! {
    /// A thing on the map sheet: source, switch, cable, transformer, pad, pedestal, set or service.
    AssetId = "map feature";
    /// A point where conductors meet; one name stands for all conductors of the place.
    NodeId = "node";
    /// A job.
    JobId = "job";
    /// One thing that was written down.
    EventId = "event";
    /// A phone, desk or other device that writes.
    DeviceId = "device";
    /// A person, by the name the job gives them.
    PersonId = "person";
    /// One stay of a person at premises.
    StayId = "stay";
    /// One go of putting marks on the sets of a pad.
    MarksId = "marks";
    /// One placement of a clamp on one conductor.
    PlacementId = "placement";
    /// One switching run of a known load.
    RunId = "switching run";
    /// One deed at the premises, such as pulling the meter.
    DeedId = "deed";
    /// One sighting.
    SightingId = "sighting";
    /// One instrument.
    InstrumentId = "instrument";
    /// One proof.
    ProofId = "proof";
    /// One clearance.
    ClearanceId = "clearance";
}
