//! Why something was not done, as the one who asked is told.

use std::{fmt, io, net::SocketAddr, path::PathBuf};

use coldlug_core::{
    exchange::ExchangeError,
    gate::Refusal,
    log::LogError,
    screen::Unfit,
    words::{Sentence, Words, WordsError},
};
use coldlug_store::StoreError;

/// Why a desk does not start.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    /// The data folder cannot be made.
    #[error("the data folder {folder} cannot be used: {reason}")]
    Folder {
        /// Which.
        folder: PathBuf,
        /// Why.
        reason: String,
    },
    /// It cannot listen there.
    #[error("the desk cannot listen on {bind}: {reason}")]
    Listen {
        /// Where.
        bind: SocketAddr,
        /// Why.
        reason: String,
    },
    /// A file of it.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The sentences.
    #[error(transparent)]
    Words(#[from] WordsError),
    /// Something else of the system.
    #[error("the desk cannot start: {0}")]
    System(String),
}

impl From<Trouble> for StartError {
    fn from(trouble: Trouble) -> Self {
        Self::System(format!("{trouble:?}"))
    }
}

/// Why something was not done. Nothing of it was.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// There is no such thing for whoever asks: never was, is over, or is another's. Which of these
    /// is not said.
    NotHere,
    /// Nobody is signed in.
    SignIn,
    /// The form is not one of ours, or is of an earlier session.
    Form,
    /// What came cannot be read.
    Unreadable,
    /// What came is too large.
    TooLarge,
    /// Too many tries.
    TooMany,
    /// It took too long.
    TooSlow,
    /// An answer does not fit.
    Unfit(Unfit),
    /// A rule stands before it.
    Refused(Refusal),
    /// Something a page says by itself.
    Said(&'static str),
    /// What the desk keeps of a job is damaged.
    Damaged(String),
    /// The desk is in trouble of its own.
    Desk(String),
}

impl Trouble {
    /// Something that cannot be.
    pub(crate) fn bug(error: &impl fmt::Display) -> Self {
        Self::Desk(error.to_string())
    }

    /// What stopped a job from being read.
    pub(crate) fn of_job(error: StoreError) -> Self {
        match error {
            StoreError::Corrupt { reason } => Self::Damaged(reason),
            other => other.into(),
        }
    }

    /// What stands on the page.
    pub(crate) fn sentence(&self, words: &Words) -> Sentence {
        match self {
            Self::NotHere => words.plain("desk-not-here"),
            Self::SignIn => words.plain("desk-sign-in-first"),
            Self::Form => words.plain("desk-form-not-ours"),
            Self::Unreadable => words.plain("desk-unreadable"),
            Self::TooLarge => words.plain("message-too-large"),
            Self::TooMany => words.plain("too-many-tries"),
            Self::TooSlow => words.plain("desk-too-slow"),
            Self::Unfit(unfit) => unfit.reason.clone(),
            Self::Refused(refusal) => {
                let lacked = words.lacked(&refusal.which).join(", ");
                words.say(refusal.rule.id(), &[("which", &lacked)])
            }
            Self::Said(id) => words.plain(id),
            Self::Damaged(_) => words.plain("desk-job-damaged"),
            Self::Desk(_) => words.plain("desk-in-trouble"),
        }
    }

    /// Its number over HTTP.
    pub(crate) fn status(&self) -> u16 {
        match self {
            Self::NotHere => 404,
            Self::SignIn | Self::Form => 403,
            Self::Unreadable | Self::Unfit(_) | Self::Said(_) => 400,
            Self::TooLarge => 413,
            Self::TooMany => 429,
            Self::TooSlow => 408,
            Self::Refused(_) => 409,
            Self::Damaged(_) | Self::Desk(_) => 503,
        }
    }

    /// What a phone is told.
    pub(crate) fn exchange(&self) -> ExchangeError {
        match self {
            Self::TooLarge => ExchangeError::TooLarge,
            Self::TooMany => ExchangeError::TooMany,
            Self::Unreadable => ExchangeError::Unreadable,
            _ => ExchangeError::DeskInTrouble,
        }
    }
}

impl From<StoreError> for Trouble {
    fn from(error: StoreError) -> Self {
        Self::bug(&error)
    }
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        Self::bug(&error)
    }
}

impl From<LogError> for Trouble {
    fn from(error: LogError) -> Self {
        Self::bug(&error)
    }
}

/// A phone's error over HTTP.
pub(crate) const fn status_of(error: ExchangeError) -> u16 {
    match error {
        ExchangeError::Signature | ExchangeError::UnknownDevice => 401,
        ExchangeError::Code => 403,
        ExchangeError::NoSuchJob | ExchangeError::NotHere => 404,
        ExchangeError::Replayed | ExchangeError::DeviceName | ExchangeError::Link => 409,
        ExchangeError::TooLarge => 413,
        ExchangeError::TooMany => 429,
        ExchangeError::DeskInTrouble => 503,
        _ => 400,
    }
}
