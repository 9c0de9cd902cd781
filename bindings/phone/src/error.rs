//! What can go wrong, by what the shell can do about it. Every one says itself in a sentence.

use crate::sentence::Sentence;

/// Why the phone did not do it. Nothing was written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, uniffi::Error)]
#[uniffi::export(Display)]
pub enum PhoneError {
    /// A rule stands before it: show which, and what is missing.
    #[error("{}", said.text)]
    Refused {
        /// The rule's id.
        rule: String,
        /// The rule's sentence.
        said: Sentence,
        /// What is missing or in the way, by name.
        which: Vec<String>,
    },
    /// An answer does not fit: go to its field.
    #[error("{}", said.text)]
    Unfit {
        /// The field; empty: the act as a whole.
        field: String,
        /// What is wrong, and what to do.
        said: Sentence,
    },
    /// The job is not on this phone.
    #[error("{}", said.text)]
    NoSuchJob {
        /// In words.
        said: Sentence,
    },
    /// The picture is not on this phone.
    #[error("{}", said.text)]
    NoPicture {
        /// In words.
        said: Sentence,
    },
    /// What was handed in is not what it should be.
    #[error("{place}: {reason}")]
    Invalid {
        /// Where.
        place: String,
        /// Why.
        reason: String,
        /// In words.
        said: Sentence,
    },
    /// The phone is not enrolled, or its key is gone: enrol it.
    #[error("{}", said.text)]
    NotEnrolled {
        /// In words.
        said: Sentence,
    },
    /// The phone is talking to the desk already.
    #[error("{}", said.text)]
    Busy {
        /// In words.
        said: Sentence,
    },
    /// The desk cannot be reached: go on, and sync later.
    #[error("{} ({reason})", said.text)]
    Offline {
        /// Why.
        reason: String,
        /// In words.
        said: Sentence,
    },
    /// The desk said no.
    #[error("{}", said.text)]
    NotTaken {
        /// Why, by id.
        id: String,
        /// In words.
        said: Sentence,
    },
    /// Somebody else answered in the desk's place.
    #[error("{}", said.text)]
    NotTheDesk {
        /// In words.
        said: Sentence,
    },
    /// There is no room: make some.
    #[error("{}", said.text)]
    StorageFull {
        /// In words.
        said: Sentence,
    },
    /// What was kept is damaged.
    #[error("{} ({detail})", said.text)]
    Corrupt {
        /// What was found.
        detail: String,
        /// In words.
        said: Sentence,
    },
    /// The phone is suspended: resume it.
    #[error("{}", said.text)]
    Asleep {
        /// In words.
        said: Sentence,
    },
    /// The phone is closed: open it anew.
    #[error("{}", said.text)]
    Closed {
        /// In words.
        said: Sentence,
    },
    /// A bug, or a part of the shell that failed.
    #[error("{} ({detail})", said.text)]
    Internal {
        /// What happened.
        detail: String,
        /// In words.
        said: Sentence,
    },
}
