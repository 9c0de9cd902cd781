//! What a device keeps for itself: who it is, its desk, its count of messages, its secrets, and how
//! much the desk has said it has.

use std::collections::BTreeMap;

use coldlug_core::{
    log::PublicKey,
    quantity::{DeviceId, JobId, PersonId},
};
use rusqlite::{OptionalExtension, Transaction, params};

use crate::{Store, entries::name, error::StoreError};

/// A device as it knows itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Own {
    /// Its name.
    pub device: DeviceId,
    /// Its public key.
    pub public_key: PublicKey,
    /// The desk's address.
    pub desk_url: String,
    /// What the desk said when it took the device; none: it has not answered yet.
    pub desk: Option<OwnDesk>,
}

/// What a desk said when it took a device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnDesk {
    /// The name the desk writes under.
    pub device: DeviceId,
    /// Its public key.
    pub key: PublicKey,
    /// Who carries this device.
    pub person: PersonId,
}

/// The number of an enrolment.
const FIRST_NUMBER: i64 = 1;

impl Store {
    /// Who this device is; none: never enrolled.
    pub fn own(&self) -> Result<Option<Own>, StoreError> {
        type Row = (String, [u8; 32], String, Option<String>, Option<[u8; 32]>, Option<String>);
        let row: Option<Row> = self
            .awake()?
            .query_row(
                "SELECT device, public_key, desk_url, desk_device, desk_key, person FROM own",
                [],
                |row| {
                    Ok((
                        row.get(0)?,
                        row.get(1)?,
                        row.get(2)?,
                        row.get(3)?,
                        row.get(4)?,
                        row.get(5)?,
                    ))
                },
            )
            .optional()?;
        let Some((device, key, desk_url, desk_device, desk_key, person)) = row else {
            return Ok(None);
        };
        let desk = match (desk_device, desk_key, person) {
            (Some(device), Some(key), Some(person)) => Some(OwnDesk {
                device: name(device, DeviceId::new)?,
                key: PublicKey(key),
                person: name(person, PersonId::new)?,
            }),
            _ => None,
        };
        let device = name(device, DeviceId::new)?;
        Ok(Some(Own { device, public_key: PublicKey(key), desk_url, desk }))
    }

    /// Keeps who this device is. The count of messages goes on where there is one.
    pub fn set_own(&mut self, own: &Own) -> Result<(), StoreError> {
        let write = self.writer()?;
        let desk = own.desk.as_ref();
        write.execute(
            "INSERT INTO own (one, device, public_key, desk_url, desk_device, desk_key, person, \
             next_number) VALUES (1, ?1, ?2, ?3, ?4, ?5, ?6, ?7) \
             ON CONFLICT (one) DO UPDATE SET device = ?1, public_key = ?2, desk_url = ?3, \
             desk_device = ?4, desk_key = ?5, person = ?6",
            params![
                own.device.as_str(),
                own.public_key.0,
                own.desk_url,
                desk.map(|desk| desk.device.as_str()),
                desk.map(|desk| desk.key.0),
                desk.map(|desk| desk.person.as_str()),
                FIRST_NUMBER + 1,
            ],
        )?;
        write.commit()?;
        Ok(())
    }

    /// The number of the next message. It is used up when this returns: no number is given twice.
    pub fn take_number(&mut self) -> Result<u64, StoreError> {
        let write = self.writer()?;
        let number: i64 = write.query_row(
            "UPDATE own SET next_number = next_number + 1 RETURNING next_number - 1",
            [],
            |row| row.get(0),
        )?;
        write.commit()?;
        Ok(u64::try_from(number).unwrap_or(0))
    }

    /// What drafts on a job left on this device.
    pub fn secrets(&self, job: &JobId) -> Result<BTreeMap<String, String>, StoreError> {
        let mut statement =
            self.awake()?.prepare("SELECT name, text FROM secrets WHERE job = ?1 ORDER BY name")?;
        let rows = statement.query_map([job.as_str()], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// How many entries of each chain of a job the desk had when it answered last.
    pub fn acknowledged(&self, job: &JobId) -> Result<BTreeMap<DeviceId, u64>, StoreError> {
        let mut statement = self
            .awake()?
            .prepare("SELECT device, seq FROM acknowledged WHERE job = ?1 ORDER BY device")?;
        let mut rows = statement.query([job.as_str()])?;
        let mut counts = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let seq: i64 = row.get(1)?;
            counts.insert(name(row.get(0)?, DeviceId::new)?, u64::try_from(seq).unwrap_or(0));
        }
        Ok(counts)
    }

    /// Keeps what the desk says it has of a job, in place of what it said before; false: it said
    /// the same before.
    pub fn acknowledge(
        &mut self,
        job: &JobId,
        have: &BTreeMap<DeviceId, u64>,
    ) -> Result<bool, StoreError> {
        if self.acknowledged(job)? == *have {
            return Ok(false);
        }
        let write = self.writer()?;
        write.execute("DELETE FROM acknowledged WHERE job = ?1", [job.as_str()])?;
        for (device, seq) in have.iter().filter(|(_, seq)| **seq > 0) {
            let seq = i64::try_from(*seq).unwrap_or(i64::MAX);
            write.execute(
                "INSERT INTO acknowledged (job, device, seq) VALUES (?1, ?2, ?3)",
                params![job.as_str(), device.as_str(), seq],
            )?;
        }
        write.commit()?;
        Ok(true)
    }
}

pub(crate) fn keep_secrets(
    write: &Transaction<'_>,
    job: &JobId,
    secrets: &BTreeMap<String, String>,
) -> Result<(), StoreError> {
    for (name, text) in secrets {
        write.execute(
            "INSERT INTO secrets (job, name, text) VALUES (?1, ?2, ?3) \
             ON CONFLICT (job, name) DO UPDATE SET text = ?3",
            params![job.as_str(), name, text],
        )?;
    }
    Ok(())
}
