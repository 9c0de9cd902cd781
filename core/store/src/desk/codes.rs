//! One-time codes.

use coldlug_core::{
    event::Sha256Hex,
    quantity::{DeviceId, PersonId},
};
use rusqlite::{OptionalExtension, Transaction, params};

use super::DeskStore;
use crate::error::StoreError;

/// What a code is good for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CodeFor {
    /// One more dispatcher.
    Dispatcher {
        /// Who; none: the first one, who names themselves.
        person: Option<PersonId>,
    },
    /// A device of this name, carried by this person.
    Device {
        /// Its name.
        device: DeviceId,
        /// Who carries it.
        person: PersonId,
    },
}

/// A one-time code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    /// Hash of its characters.
    pub hash: Sha256Hex,
    /// What it is good for.
    pub good_for: CodeFor,
    /// Until when.
    pub until_ms: i64,
}

/// A code as it lies in the file.
pub(super) struct Found {
    pub(super) device: Option<String>,
    pub(super) person: Option<String>,
    pub(super) used_by: Option<[u8; 32]>,
}

impl Found {
    /// Whether it lets this person in as a dispatcher.
    pub(super) fn lets_in(&self, person: &PersonId) -> bool {
        let named = self.person.as_ref().is_none_or(|named| named == person.as_str());
        self.device.is_none() && self.used_by.is_none() && named
    }
}

impl DeskStore {
    /// Keeps a code. Those that are over, and an unused one for the same device, go.
    pub fn put_code(&mut self, code: &Code, now_ms: i64) -> Result<(), StoreError> {
        let (device, person) = match &code.good_for {
            CodeFor::Dispatcher { person } => (None, person.as_ref().map(PersonId::as_str)),
            CodeFor::Device { device, person } => (Some(device.as_str()), Some(person.as_str())),
        };
        let write = self.writer()?;
        write.execute("DELETE FROM codes WHERE until_ms < ?1", [now_ms])?;
        write.execute("DELETE FROM codes WHERE device = ?1 AND used_by IS NULL", [device])?;
        write.execute(
            "INSERT INTO codes (hash, device, person, until_ms) VALUES (?1, ?2, ?3, ?4)",
            params![code.hash.0, device, person, code.until_ms],
        )?;
        write.commit()?;
        Ok(())
    }

    /// Takes back every unused code for whoever comes first.
    pub fn drop_first_codes(&mut self) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute("DELETE FROM codes WHERE device IS NULL AND person IS NULL", [])?;
        write.commit()?;
        Ok(())
    }
}

/// A code that is not over; none: never given, or too old.
pub(super) fn find(
    write: &Transaction<'_>,
    hash: &Sha256Hex,
    now_ms: i64,
) -> Result<Option<Found>, StoreError> {
    Ok(write
        .query_row(
            "SELECT device, person, used_by FROM codes WHERE hash = ?1 AND until_ms >= ?2",
            params![hash.0, now_ms],
            |row| Ok(Found { device: row.get(0)?, person: row.get(1)?, used_by: row.get(2)? }),
        )
        .optional()?)
}

/// Marks a code as used: by the key of a device, or by the hash of a dispatcher's name.
pub(super) fn mark_used(
    write: &Transaction<'_>,
    hash: &Sha256Hex,
    by: &[u8; 32],
) -> Result<(), StoreError> {
    write.execute("UPDATE codes SET used_by = ?2 WHERE hash = ?1", params![hash.0, by])?;
    Ok(())
}
