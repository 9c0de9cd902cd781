//! What stops the play.

use std::path::PathBuf;

use coldlug_core::{event::EventError, gate::Rule, log::LogError, quantity::IdError};
use coldlug_desk::StartError;
use coldlug_phone::PhoneError;
use coldlug_store::StoreError;

use super::{site::SiteError, tools::ToolError, web::WebError};
use crate::trouble::Trouble;

/// Why the play cannot go on.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Halt {
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
    /// A phone: most often, a step of the story is refused.
    #[error("a phone says: {source}{}", which(source))]
    Phone {
        /// What.
        source: Box<PhoneError>,
    },
    /// The desk.
    #[error("the desk does not start: {0}")]
    Desk(#[from] StartError),
    /// A page of the desk.
    #[error(transparent)]
    Page(#[from] WebError),
    /// A store.
    #[error(transparent)]
    Store(StoreError),
    /// An entry.
    #[error(transparent)]
    Log(#[from] LogError),
    /// An event.
    #[error(transparent)]
    Event(#[from] EventError),
    /// The folder holds another run.
    #[error("{} holds another run of the demo", folder.display())]
    OtherRun {
        /// The folder.
        folder: PathBuf,
    },
    /// Something that was kept before a kill is not kept now.
    #[error("an entry that was kept is lost or other: {lost}")]
    Lost {
        /// How it begins.
        lost: String,
    },
    /// The phones do not agree on the job.
    #[error("the two phones do not agree on the job")]
    Apart,
    /// An instrument.
    #[error(transparent)]
    Tool(#[from] ToolError),
    /// A name.
    #[error(transparent)]
    Name(#[from] IdError),
    /// The play is held where it was asked to be: the clearance is on offer by this link.
    #[error("the play is held with a clearance on offer")]
    Held {
        /// The link's path at the desk.
        at: String,
    },
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

impl From<PhoneError> for Halt {
    fn from(error: PhoneError) -> Self {
        Self::Phone { source: Box::new(error) }
    }
}

/// What is missing or in the way of a refused step.
fn which(error: &PhoneError) -> String {
    match error {
        PhoneError::Refused { rule, which, .. } => format!(" [{rule}: {}]", which.join(", ")),
        _ => String::new(),
    }
}

impl From<Halt> for Trouble {
    fn from(halt: Halt) -> Self {
        match halt {
            Halt::Trouble(trouble) => trouble,
            Halt::OtherRun { folder } => Trouble::refused(
                folder.display().to_string(),
                "it holds another run of the demo",
                "give an empty folder, or the seed it was made with",
            ),
            other => Trouble::fault(other.to_string()),
        }
    }
}
