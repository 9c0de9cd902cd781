//! Jobs, devices and entries.

use std::collections::BTreeMap;

use coldlug_core::{
    log::{Entry, Log, LogError, PublicKey},
    quantity::{DeviceId, JobId},
};
use rusqlite::{OptionalExtension, Transaction, params};

use crate::{
    Store,
    error::StoreError,
    instruments::{OwnInstrument, keep_instruments},
    own::keep_secrets,
};

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Appended {
    /// It was new, and is kept now.
    New,
    /// It was here already, to the byte.
    Already,
}

impl Store {
    /// The jobs that are here, by name.
    pub fn jobs(&self) -> Result<Vec<JobId>, StoreError> {
        let mut statement = self.awake()?.prepare("SELECT job FROM jobs ORDER BY job")?;
        let mut rows = statement.query([])?;
        let mut jobs = Vec::new();
        while let Some(row) = rows.next()? {
            jobs.push(name(row.get(0)?, JobId::new)?);
        }
        Ok(jobs)
    }

    /// Enrols a device on a job, which is made where it is not here. The same again is fine; another
    /// key is refused.
    pub fn enrol(
        &mut self,
        job: &JobId,
        device: &DeviceId,
        key: &PublicKey,
    ) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute("INSERT OR IGNORE INTO jobs (job) VALUES (?1)", [job.as_str()])?;
        let known: Option<Vec<u8>> = write
            .query_row(
                "SELECT public_key FROM devices WHERE job = ?1 AND device = ?2",
                params![job.as_str(), device.as_str()],
                |row| row.get(0),
            )
            .optional()?;
        match known {
            Some(known) if known != key.0 => {
                return Err(LogError::OtherKey { device: device.clone() }.into());
            }
            Some(_) => {}
            None => {
                write.execute(
                    "INSERT INTO devices (job, device, public_key) VALUES (?1, ?2, ?3)",
                    params![job.as_str(), device.as_str(), key.0],
                )?;
            }
        }
        write.commit()?;
        Ok(())
    }

    /// Keeps an entry. When this returns, it survives a kill and a battery pulled.
    ///
    /// The same bytes again are fine. Other bytes at the same place are a [`StoreError::Conflict`],
    /// an entry that does not follow the last of its chain is refused, and so is one whose device is
    /// not enrolled or whose signature does not hold.
    pub fn append(&mut self, entry: &Entry) -> Result<Appended, StoreError> {
        let bytes = entry.to_bytes()?;
        let write = self.writer()?;
        let appended = append(&write, entry, &bytes)?;
        write.commit()?;
        Ok(appended)
    }

    /// Keeps several entries and the secrets that were drafted with them, all or none.
    ///
    /// Each entry is held to what [`Store::append`] holds it to, in their order.
    pub fn append_all(
        &mut self,
        job: &JobId,
        entries: &[Entry],
        secrets: &BTreeMap<String, String>,
    ) -> Result<Vec<Appended>, StoreError> {
        self.append_own(job, entries, secrets, &[])
    }

    /// The same, and what becomes of the instruments that this device keeps over jobs.
    pub fn append_own(
        &mut self,
        job: &JobId,
        entries: &[Entry],
        secrets: &BTreeMap<String, String>,
        instruments: &[OwnInstrument],
    ) -> Result<Vec<Appended>, StoreError> {
        let lines = entries.iter().map(Entry::to_bytes).collect::<Result<Vec<_>, _>>()?;
        let write = self.writer()?;
        let mut appended = Vec::with_capacity(entries.len());
        for (entry, bytes) in entries.iter().zip(&lines) {
            appended.push(append(&write, entry, bytes)?);
        }
        keep_secrets(&write, job, secrets)?;
        keep_instruments(&write, instruments)?;
        write.commit()?;
        Ok(appended)
    }

    /// The whole log of a job, every entry checked again.
    pub fn load(&self, job: &JobId) -> Result<Log, StoreError> {
        let connection = self.awake()?;
        let mut log = Log::new(job.clone());
        let known: Option<String> = connection
            .query_row("SELECT job FROM jobs WHERE job = ?1", [job.as_str()], |row| row.get(0))
            .optional()?;
        if known.is_none() {
            return Err(StoreError::NoSuchJob { job: job.clone() });
        }
        let mut statement = connection
            .prepare("SELECT device, public_key FROM devices WHERE job = ?1 ORDER BY device")?;
        let mut rows = statement.query([job.as_str()])?;
        while let Some(row) = rows.next()? {
            let device = name(row.get(0)?, DeviceId::new)?;
            log.enrol(device, PublicKey(row.get(1)?))?;
        }
        let mut statement =
            connection.prepare("SELECT bytes FROM entries WHERE job = ?1 ORDER BY arrival")?;
        let mut rows = statement.query([job.as_str()])?;
        while let Some(row) = rows.next()? {
            let bytes: Vec<u8> = row.get(0)?;
            let entry = Entry::from_bytes(&bytes).map_err(|error| damaged(&error))?;
            log.admit(entry).map_err(|error| damaged(&error))?;
        }
        Ok(log)
    }
}

/// An entry that was kept whole and is not whole any more.
fn damaged(error: &LogError) -> StoreError {
    StoreError::Corrupt { reason: error.to_string() }
}

/// A name as it lies in a file, made one again.
pub(crate) fn name<T, E: std::fmt::Display>(
    text: String,
    make: impl FnOnce(String) -> Result<T, E>,
) -> Result<T, StoreError> {
    make(text).map_err(|error| StoreError::Corrupt { reason: error.to_string() })
}

fn append(write: &Transaction<'_>, entry: &Entry, bytes: &[u8]) -> Result<Appended, StoreError> {
    let (job, device, seq) = (&entry.unsigned().job, entry.device(), entry.seq());
    let key: Option<[u8; 32]> = write
        .query_row(
            "SELECT public_key FROM devices WHERE job = ?1 AND device = ?2",
            params![job.as_str(), device.as_str()],
            |row| row.get(0),
        )
        .optional()?;
    let Some(key) = key else {
        return Err(LogError::NotEnrolled { device: device.clone() }.into());
    };
    if entry.event().device != *device {
        let found = entry.event().device.clone();
        return Err(LogError::OtherDevice { device: device.clone(), seq, found }.into());
    }
    if !entry.signed_by(&PublicKey(key)) {
        return Err(LogError::Signature { device: device.clone(), seq }.into());
    }
    let place = i64::try_from(seq).unwrap_or(i64::MAX);
    let there: Option<Vec<u8>> = write
        .query_row(
            "SELECT bytes FROM entries WHERE job = ?1 AND device = ?2 AND seq = ?3",
            params![job.as_str(), device.as_str(), place],
            |row| row.get(0),
        )
        .optional()?;
    match there {
        Some(there) if there == bytes => return Ok(Appended::Already),
        Some(_) => {
            let (job, device) = (job.clone(), device.clone());
            return Err(StoreError::Conflict { job, device, seq });
        }
        None => {}
    }
    follows_last(write, entry)?;
    write.execute(
        "INSERT INTO entries (job, device, seq, hash, bytes) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![job.as_str(), device.as_str(), place, entry.hash().0, bytes],
    )?;
    Ok(Appended::New)
}

/// The entry follows the last of its chain, and every head it had seen is here.
fn follows_last(write: &Transaction<'_>, entry: &Entry) -> Result<(), StoreError> {
    let (job, device, seq) = (&entry.unsigned().job, entry.device(), entry.seq());
    let last: Option<(i64, [u8; 32])> = write
        .query_row(
            "SELECT seq, hash FROM entries WHERE job = ?1 AND device = ?2 \
             ORDER BY seq DESC LIMIT 1",
            params![job.as_str(), device.as_str()],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    let have = last.map_or(0, |(have, _)| u64::try_from(have).unwrap_or(0));
    if seq != have + 1 {
        return Err(LogError::Gap { device: device.clone(), seq, have }.into());
    }
    if entry.unsigned().prev.map(|prev| prev.0) != last.map(|(_, hash)| hash) {
        return Err(LogError::Chain { device: device.clone(), seq }.into());
    }
    for (other, head) in &entry.unsigned().heads {
        let there: Option<i64> = write
            .query_row(
                "SELECT seq FROM entries WHERE job = ?1 AND device = ?2 AND hash = ?3",
                params![job.as_str(), other.as_str(), head.0],
                |row| row.get(0),
            )
            .optional()?;
        if there.is_none() {
            let (device, other) = (device.clone(), other.clone());
            return Err(LogError::HeadMissing { device, seq, other, head: *head }.into());
        }
    }
    Ok(())
}
