//! Why a message is not taken, each with an id of its own.

use serde::{Deserialize, Serialize};

macro_rules! errors {
    ($($(#[$doc:meta])* $name:ident = $id:literal;)*) => {
        /// Why a message is not taken. Nothing of it was applied.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ExchangeError {
            $($(#[$doc])* $name,)*
        }

        impl ExchangeError {
            /// Every one.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// The id of its sentence; also what stands in an answer over HTTP.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }

            /// The one with this id.
            pub fn from_id(id: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|error| error.id() == id)
            }
        }
    };
}

errors! {
    /// Not a message: no canonical first line, or a member that is not known.
    Unreadable = "message-unreadable";
    /// Larger than a message may be.
    TooLarge = "message-too-large";
    /// A message of another kind than was expected here.
    OtherKind = "message-of-another-kind";
    /// The signature does not hold, or the bytes after the line are not the ones it vouches for.
    Signature = "message-not-signed";
    /// Its number was used, or a later one was.
    Replayed = "message-replayed";
    /// The device is not enrolled here, or not any more.
    UnknownDevice = "device-not-enrolled";
    /// The code does not enrol: never given, used, or too old. Which of these is not said.
    Code = "code-not-valid";
    /// The device's name is taken, or is not a name.
    DeviceName = "device-name-not-free";
    /// There is no such job for this device.
    NoSuchJob = "job-not-for-this-device";
    /// There is no such sheet or photo on this job.
    NotHere = "not-on-this-job";
    /// The bytes are not the ones that were named.
    OtherBytes = "bytes-not-as-named";
    /// Not an invitation to enrol, or part of it is missing.
    Invitation = "invitation-unreadable";
    /// Not a photo: JPEG and PNG are taken.
    NoPhoto = "not-a-photo";
    /// What answered is not the desk this phone was enrolled with.
    NotTheDesk = "not-the-desk";
    /// The answer is not the answer to the message that was sent.
    OtherAnswer = "answer-to-another-message";
    /// A link is made for a clearance of this job and for somebody of its crew who carries no device.
    Link = "link-not-possible";
    /// Too many tries: wait.
    TooMany = "too-many-tries";
    /// The desk is in trouble of its own: nothing was taken, try again.
    DeskInTrouble = "desk-in-trouble";
}

impl std::fmt::Display for ExchangeError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id())
    }
}

impl std::error::Error for ExchangeError {}

/// An error as it stands in the body of an HTTP answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Problem {
    /// Its id.
    pub refused: String,
    /// In words: what, and what to do.
    pub text: String,
}
