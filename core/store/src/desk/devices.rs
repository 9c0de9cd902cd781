//! Enrolled devices, and the numbers of their messages.

use coldlug_core::{
    event::Sha256Hex,
    log::PublicKey,
    quantity::{DeviceId, PersonId},
};
use rusqlite::{OptionalExtension, Row, params};

use super::{DeskStore, codes};
use crate::{entries::name, error::StoreError};

/// An enrolled device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceEnrolled {
    /// Its name.
    pub device: DeviceId,
    /// Who carries it.
    pub person: PersonId,
    /// Its public key.
    pub public_key: PublicKey,
    /// Since when.
    pub since_ms: i64,
    /// When it was heard of last.
    pub heard_ms: i64,
    /// When it was revoked; none: it was not.
    pub revoked_ms: Option<i64>,
}

/// What became of an enrolment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Enrolment {
    /// It is enrolled, now or by the same message before.
    Enrolled {
        /// Who carries it.
        person: PersonId,
    },
    /// The code does not enrol this device.
    NoCode,
    /// Another device has the name.
    NameTaken,
}

type Columns = (String, String, [u8; 32], i64, i64, Option<i64>);

const COLUMNS: &str = "device, person, public_key, since_ms, heard_ms, revoked_ms";

fn columns(row: &Row<'_>) -> rusqlite::Result<Columns> {
    Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?, row.get(5)?))
}

fn device_of(columns: Columns) -> Result<DeviceEnrolled, StoreError> {
    let (device, person, key, since_ms, heard_ms, revoked_ms) = columns;
    Ok(DeviceEnrolled {
        device: name(device, DeviceId::new)?,
        person: name(person, PersonId::new)?,
        public_key: PublicKey(key),
        since_ms,
        heard_ms,
        revoked_ms,
    })
}

impl DeskStore {
    /// Enrols a device by a code, which is used up. The same device with the same key may do so
    /// again while the code lasts: its answer may have been lost.
    pub fn enrol_device(
        &mut self,
        code: &Sha256Hex,
        device: &DeviceId,
        key: &PublicKey,
        now_ms: i64,
    ) -> Result<Enrolment, StoreError> {
        let write = self.writer()?;
        let Some(found) = codes::find(&write, code, now_ms)? else { return Ok(Enrolment::NoCode) };
        let (Some(good_for), Some(person)) = (found.device, found.person) else {
            return Ok(Enrolment::NoCode);
        };
        if good_for != device.as_str() || found.used_by.is_some_and(|used_by| used_by != key.0) {
            return Ok(Enrolment::NoCode);
        }
        let there: Option<([u8; 32], Option<i64>)> = write
            .query_row(
                "SELECT public_key, revoked_ms FROM devices WHERE device = ?1",
                [device.as_str()],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        match there {
            Some((_, Some(_))) => return Ok(Enrolment::NoCode),
            Some((there, None)) if there != key.0 => return Ok(Enrolment::NameTaken),
            Some(_) => {}
            None => {
                write.execute(
                    "INSERT INTO devices (device, person, public_key, number, since_ms, heard_ms) \
                     VALUES (?1, ?2, ?3, 1, ?4, ?4)",
                    params![device.as_str(), person, key.0, now_ms],
                )?;
            }
        }
        codes::mark_used(&write, code, &key.0)?;
        write.commit()?;
        Ok(Enrolment::Enrolled { person: name(person, PersonId::new)? })
    }

    /// A device by its name, revoked or not.
    pub fn device(&self, device: &DeviceId) -> Result<Option<DeviceEnrolled>, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM devices WHERE device = ?1");
        let found = self.connection.query_row(&sql, [device.as_str()], columns).optional()?;
        found.map(device_of).transpose()
    }

    /// Every device, by name.
    pub fn devices(&self) -> Result<Vec<DeviceEnrolled>, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM devices ORDER BY device");
        let mut statement = self.connection.prepare(&sql)?;
        let rows = statement.query_map([], columns)?.collect::<Result<Vec<_>, _>>()?;
        rows.into_iter().map(device_of).collect()
    }

    /// Takes the number of a device's message; false: it was taken, or a later one was.
    pub fn take_number(
        &mut self,
        device: &DeviceId,
        number: u64,
        now_ms: i64,
    ) -> Result<bool, StoreError> {
        let Ok(number) = i64::try_from(number) else { return Ok(false) };
        let write = self.writer()?;
        let taken = write.execute(
            "UPDATE devices SET number = ?2, heard_ms = ?3 WHERE device = ?1 AND number < ?2",
            params![device.as_str(), number, now_ms],
        )?;
        write.commit()?;
        Ok(taken == 1)
    }

    /// Nothing is taken from the device any more. Its name stays taken.
    pub fn revoke(&mut self, device: &DeviceId, now_ms: i64) -> Result<bool, StoreError> {
        let write = self.writer()?;
        let revoked = write.execute(
            "UPDATE devices SET revoked_ms = ?2 WHERE device = ?1 AND revoked_ms IS NULL",
            params![device.as_str(), now_ms],
        )?;
        write.execute("DELETE FROM codes WHERE device = ?1", [device.as_str()])?;
        write.commit()?;
        Ok(revoked == 1)
    }
}
