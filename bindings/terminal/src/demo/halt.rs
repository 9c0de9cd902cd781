//! What stops the play.

use coldlug_core::{
    gate::{Refusal, Rule},
    log::LogError,
    quantity::IdError,
};

use super::{phone::PhoneError, site::SiteError, tools::ToolError};
use crate::trouble::Trouble;

/// Why the play cannot go on.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Halt {
    /// A step that should pass is refused.
    #[error("a step of the story is refused: {0}")]
    Refused(#[from] Refusal),
    /// A step that should be refused by this rule is not, or by another.
    #[error("a step that {wanted} should refuse was {got}")]
    NotRefused {
        /// The rule of the story.
        wanted: Rule,
        /// What happened.
        got: String,
    },
    /// The field.
    #[error(transparent)]
    Site(#[from] SiteError),
    /// A phone.
    #[error(transparent)]
    Phone(#[from] PhoneError),
    /// An entry.
    #[error(transparent)]
    Log(#[from] LogError),
    /// An instrument.
    #[error(transparent)]
    Tool(#[from] ToolError),
    /// A name.
    #[error(transparent)]
    Name(#[from] IdError),
    /// The crew does not know how to go on.
    #[error("the crew is stuck: {why}")]
    Stuck {
        /// Why.
        why: String,
    },
    /// A file or standard output.
    #[error(transparent)]
    Trouble(#[from] Trouble),
}

impl Halt {
    /// The crew does not know how to go on.
    pub(crate) fn stuck(why: impl Into<String>) -> Self {
        Self::Stuck { why: why.into() }
    }
}

impl From<Halt> for Trouble {
    fn from(halt: Halt) -> Self {
        match halt {
            Halt::Trouble(trouble) => trouble,
            Halt::Phone(PhoneError::OtherRun { folder }) => Trouble::refused(
                folder.display().to_string(),
                "it holds another run of the demo",
                "give an empty folder, or the seed it was made with",
            ),
            other => Trouble::fault(other.to_string()),
        }
    }
}
