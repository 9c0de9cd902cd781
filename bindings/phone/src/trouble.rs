//! The one table from what went wrong inside to what the shell can do about it.

use coldlug_core::{
    exchange::ExchangeError,
    gate::Refusal,
    job::NotASheet,
    log::LogError,
    quantity::{DeviceId, IdError},
    screen::Unfit,
    words::{Sentence, Words},
};
use coldlug_store::StoreError;

use crate::error::PhoneError;

/// What went wrong inside.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Trouble {
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error(transparent)]
    Log(#[from] LogError),
    #[error(transparent)]
    Sheet(#[from] NotASheet),
    #[error(transparent)]
    Refused(#[from] Refusal),
    #[error("an answer does not fit")]
    Unfit(Box<Unfit>),
    #[error("{place}: {reason}")]
    Invalid { place: &'static str, reason: String },
    /// What was handed in is refused under an id of the exchange.
    #[error(transparent)]
    NotFit(ExchangeError),
    /// The desk said no.
    #[error("the desk said no: {0}")]
    NotTaken(ExchangeError),
    #[error("not the desk: {0}")]
    NotTheDesk(ExchangeError),
    #[error("offline: {0}")]
    Offline(String),
    #[error("no such job")]
    NoSuchJob,
    #[error("no such picture")]
    NoPicture,
    #[error("not enrolled")]
    NotEnrolled,
    #[error("enrolled as {0} already")]
    OtherDevice(DeviceId),
    #[error("the key is gone")]
    KeyLost,
    #[error("busy")]
    Busy,
    #[error("closed")]
    Closed,
    /// Something of the shell failed.
    #[error("{0}")]
    Port(String),
    /// A bug.
    #[error("{0}")]
    Bug(String),
}

impl From<IdError> for Trouble {
    fn from(error: IdError) -> Self {
        Self::Invalid { place: "name", reason: error.to_string() }
    }
}

impl Trouble {
    /// As the shell gets it.
    pub(crate) fn say(self, words: &Words) -> PhoneError {
        let plain = |id: &str| words.plain(id).into();
        let detail = self.to_string();
        match self {
            Self::Refused(Refusal { rule, which }) => {
                let said = words.plain(rule.id()).into();
                let which = words.lacked(&which);
                PhoneError::Refused { rule: rule.id().to_owned(), said, which }
            }
            Self::Unfit(unfit) => {
                let Unfit { field, reason } = *unfit;
                PhoneError::Unfit { field, said: reason.into() }
            }
            Self::Invalid { place, reason } => {
                let said = words.say("phone-unreadable", &[("reason", &reason)]).into();
                PhoneError::Invalid { place: place.to_owned(), reason, said }
            }
            Self::NotFit(why) => PhoneError::Invalid {
                place: why.id().to_owned(),
                reason: words.plain(why.id()).text,
                said: plain(why.id()),
            },
            Self::NotTaken(why) => {
                PhoneError::NotTaken { id: why.id().to_owned(), said: plain(why.id()) }
            }
            Self::NotTheDesk(why) => {
                tracing::warn!(%why, "an answer that is not the desk's");
                PhoneError::NotTheDesk { said: plain(ExchangeError::NotTheDesk.id()) }
            }
            Self::Offline(reason) => PhoneError::Offline { reason, said: plain("phone-offline") },
            Self::NoSuchJob | Self::Store(StoreError::NoSuchJob { .. }) => {
                PhoneError::NoSuchJob { said: plain("phone-no-such-job") }
            }
            Self::NoPicture => PhoneError::NoPicture { said: plain("phone-no-picture") },
            Self::NotEnrolled => PhoneError::NotEnrolled { said: plain("phone-not-enrolled") },
            Self::KeyLost => PhoneError::NotEnrolled { said: plain("phone-key-lost") },
            Self::OtherDevice(device) => {
                let said = words.say("phone-other-device", &[("device", device.as_str())]);
                let (place, reason) = ("device".to_owned(), said.text.clone());
                PhoneError::Invalid { place, reason, said: said.into() }
            }
            Self::Busy | Self::Store(StoreError::Busy) => {
                PhoneError::Busy { said: plain("phone-busy") }
            }
            Self::Closed => PhoneError::Closed { said: plain("phone-closed") },
            Self::Store(error) => of_store(&error, words),
            Self::Log(_) | Self::Sheet(_) | Self::Port(_) | Self::Bug(_) => {
                tracing::error!(%detail, "internal");
                PhoneError::Internal { detail, said: plain("phone-internal") }
            }
        }
    }
}

fn of_store(error: &StoreError, words: &Words) -> PhoneError {
    let said = |id: &str| -> crate::Sentence { Sentence::into(words.plain(id)) };
    let detail = error.to_string();
    match error {
        StoreError::Full => PhoneError::StorageFull { said: said("phone-storage-full") },
        StoreError::Asleep => PhoneError::Asleep { said: said("phone-asleep") },
        StoreError::Corrupt { .. } | StoreError::Newer { .. } | StoreError::CannotOpen { .. } => {
            tracing::error!(%detail, "the store");
            PhoneError::Corrupt { detail, said: said("phone-corrupt") }
        }
        StoreError::Busy => PhoneError::Busy { said: said("phone-busy") },
        StoreError::NoSuchJob { .. } => PhoneError::NoSuchJob { said: said("phone-no-such-job") },
        StoreError::Conflict { .. }
        | StoreError::OtherSheet { .. }
        | StoreError::Entry(_)
        | StoreError::Internal { .. } => {
            tracing::error!(%detail, "the store");
            PhoneError::Internal { detail, said: said("phone-internal") }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_trouble_has_a_sentence_of_its_own() {
        let words = Words::english().unwrap();
        let all = [
            Trouble::Invalid { place: "name", reason: "empty".into() },
            Trouble::NotFit(ExchangeError::Invitation),
            Trouble::NotTaken(ExchangeError::Code),
            Trouble::NotTheDesk(ExchangeError::Signature),
            Trouble::Offline("no way".into()),
            Trouble::NoSuchJob,
            Trouble::NoPicture,
            Trouble::NotEnrolled,
            Trouble::OtherDevice(DeviceId::new("phone-a").unwrap()),
            Trouble::KeyLost,
            Trouble::Busy,
            Trouble::Closed,
            Trouble::Port("clock".into()),
            Trouble::Bug("bug".into()),
            Trouble::Store(StoreError::Full),
            Trouble::Store(StoreError::Asleep),
            Trouble::Store(StoreError::Busy),
            Trouble::Store(StoreError::Corrupt { reason: "bytes".into() }),
        ];
        for trouble in all {
            let shown = trouble.to_string();
            let error = trouble.say(&words);
            assert!(error.to_string().contains(' '), "{shown}: {error}");
        }
        for error in ExchangeError::ALL {
            assert!(words.has(error.id()), "{error}");
        }
    }
}
