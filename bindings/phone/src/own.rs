//! Who this phone is.

use coldlug_core::log::DeviceKey;
use coldlug_store::{Own, OwnDesk};

use crate::trouble::Trouble;

/// As whom this phone is enrolled.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Enrolment {
    /// Its name.
    pub device: String,
    /// Who carries it.
    pub person: String,
    /// The desk's address.
    pub desk_url: String,
}

/// What the phone knows of itself, and its key.
#[derive(Debug, Default)]
pub(crate) struct Oneself {
    pub(crate) own: Option<Own>,
    pub(crate) key: Option<DeviceKey>,
}

impl Oneself {
    /// Name and key of a phone that may write.
    pub(crate) fn signer(&self) -> Result<(&Own, &DeviceKey), Trouble> {
        let own = self.own.as_ref().ok_or(Trouble::NotEnrolled)?;
        match &self.key {
            Some(key) if key.public() == own.public_key => Ok((own, key)),
            _ => Err(Trouble::KeyLost),
        }
    }

    /// The desk, once it has answered an enrolment.
    pub(crate) fn desk(&self) -> Result<&OwnDesk, Trouble> {
        self.own.as_ref().and_then(|own| own.desk.as_ref()).ok_or(Trouble::NotEnrolled)
    }

    /// For the shell.
    pub(crate) fn enrolment(&self) -> Option<Enrolment> {
        let own = self.own.as_ref()?;
        let desk = own.desk.as_ref()?;
        Some(Enrolment {
            device: own.device.to_string(),
            person: desk.person.to_string(),
            desk_url: own.desk_url.clone(),
        })
    }
}
