//! A phone: its key, its log, its state, and its store on disk.
//!
//! Everything is decided, signed and kept before the next thing happens. Played again into the same
//! folder, a phone writes the same entries again; the store knows them and keeps one of each.

use std::path::{Path, PathBuf};

use coldlug_core::{
    event::{Event, EventError, Sha256Hex},
    gate::Refusal,
    job::{Sheets, State, decide},
    log::{DeviceKey, Entry, Log, LogError, fold_next, write_record},
    mapsheet,
    quantity::{DeviceId, EventId, IdError, JobId},
};
use coldlug_field::seed::stream;
use coldlug_store::{BlobKind, Store, StoreError};

use super::{halt::Halt, people::PhoneAt, story::Story};

/// What goes wrong on a phone.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PhoneError {
    /// A name.
    #[error(transparent)]
    Name(#[from] IdError),
    /// An entry.
    #[error(transparent)]
    Log(#[from] LogError),
    /// An event.
    #[error(transparent)]
    Event(#[from] EventError),
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The map sheet cannot be written.
    #[error("the map sheet cannot be written: {0}")]
    Map(#[from] serde_json::Error),
    /// The folder holds entries of another run.
    #[error("{} holds another run of the demo", folder.display())]
    OtherRun {
        /// The folder.
        folder: PathBuf,
    },
    /// The two phones do not agree on the job.
    #[error("the two phones do not agree on the job")]
    Apart,
}

impl PhoneError {
    /// What the store refuses as not ours is another run's.
    fn other_run(why: StoreError, folder: &Path) -> Self {
        match why {
            StoreError::Conflict { .. }
            | StoreError::OtherSheet { .. }
            | StoreError::Entry(LogError::OtherKey { .. }) => {
                Self::OtherRun { folder: folder.to_owned() }
            }
            other => Self::Store(other),
        }
    }
}

/// A phone of the crew.
pub(crate) struct Phone {
    device: DeviceId,
    key: DeviceKey,
    log: Log,
    state: State,
    store: Store,
    folder: PathBuf,
}

/// The signing key of a phone, from the seed: a demo's key is no secret.
fn key(phone: PhoneAt, seed: u64) -> DeviceKey {
    let mut draw = stream(seed, &format!("key of {}", phone.name()));
    let mut bytes = [0_u8; 32];
    for (to, from) in bytes.iter_mut().zip((0..4).flat_map(|_| draw.bits().to_le_bytes())) {
        *to = from;
    }
    DeviceKey::from_seed(&bytes)
}

impl Phone {
    /// A phone that carries a job, both phones enrolled on it.
    pub(crate) fn open(
        phone: PhoneAt,
        story: &Story,
        seed: u64,
        sheets: &Sheets<'_>,
        folder: &Path,
    ) -> Result<Self, PhoneError> {
        let job = JobId::new(story.job)?;
        let mut kept = Store::open(&folder.join(format!("{}.sqlite", phone.name())))?;
        let mut log = Log::new(job.clone());
        let other_run = |why| PhoneError::other_run(why, folder);
        for other in [PhoneAt::Pad, PhoneAt::House] {
            let (device, public) = (other.device()?, key(other, seed).public());
            kept.enrol(&job, &device, &public).map_err(other_run)?;
            log.enrol(device, public)?;
        }
        let map = mapsheet::canonical_bytes(sheets.plant)?;
        for (kind, bytes) in [
            (BlobKind::MapSheet, map),
            (BlobKind::RuleSheet, sheets.rules.canonical().into_bytes()),
        ] {
            let hash = kept.keep(kind, &bytes)?;
            kept.pin(&job, kind, &hash).map_err(other_run)?;
        }
        let (device, key) = (phone.device()?, key(phone, seed));
        let state = State::default();
        Ok(Self { device, key, log, state, store: kept, folder: folder.to_owned() })
    }

    /// Decides, signs and keeps what somebody wants to write down.
    pub(crate) fn act(&mut self, sheets: &Sheets<'_>, event: Event) -> Result<Vec<Entry>, Halt> {
        let mut entries = Vec::new();
        for event in decide(&self.state, sheets, event)? {
            let entry = self.log.append(event, &self.key)?;
            self.keep(&entry)?;
            fold_next(&mut self.state, sheets, &self.log, &entry);
            entries.push(entry);
        }
        Ok(entries)
    }

    /// Whether an act would be refused; nothing is written.
    pub(crate) fn would(&self, sheets: &Sheets<'_>, event: Event) -> Result<(), Refusal> {
        decide(&self.state, sheets, event).map(drop)
    }

    /// Takes an entry of the other phone.
    pub(crate) fn take(&mut self, sheets: &Sheets<'_>, entry: &Entry) -> Result<(), Halt> {
        self.log.admit(entry.clone())?;
        self.keep(entry)?;
        fold_next(&mut self.state, sheets, &self.log, entry);
        Ok(())
    }

    /// Keeps an entry on disk. The same entry of an earlier run of this folder is there already.
    fn keep(&mut self, entry: &Entry) -> Result<(), PhoneError> {
        let kept =
            self.store.append(entry).map_err(|why| PhoneError::other_run(why, &self.folder))?;
        tracing::trace!(device = %entry.device(), seq = entry.seq(), ?kept);
        Ok(())
    }

    /// What is known of the job.
    pub(crate) fn state(&self) -> &State {
        &self.state
    }

    /// The last event on record.
    pub(crate) fn last_event(&self) -> Option<EventId> {
        self.log.in_order().last().map(|entry| entry.event().id.clone())
    }

    /// Hash of the newest entry of this phone, as somebody is shown it.
    pub(crate) fn head(&self) -> Result<Sha256Hex, Halt> {
        let heads = self.log.heads();
        heads
            .get(&self.device)
            .copied()
            .ok_or_else(|| Halt::stuck("this phone has written nothing yet"))
    }

    /// Holds the two phones against each other: same entries, same state.
    pub(crate) fn same_as(&self, other: &Self) -> Result<(), PhoneError> {
        let same = self.log.in_order() == other.log.in_order() && self.state == other.state;
        if same { Ok(()) } else { Err(PhoneError::Apart) }
    }

    /// The events in fold order, one a line, as they lie in the store.
    pub(crate) fn events_file(&self) -> Result<Vec<u8>, PhoneError> {
        let mut bytes = Vec::new();
        for entry in self.store.load(self.log.job())?.in_order() {
            bytes.extend(entry.event().to_line()?.into_bytes());
            bytes.push(b'\n');
        }
        Ok(bytes)
    }

    /// The record as it lies in the store, its manifest signed by this phone.
    pub(crate) fn record_file(&self) -> Result<Vec<u8>, PhoneError> {
        let log = self.store.load(self.log.job())?;
        Ok(write_record(&log, &self.device, &self.key)?)
    }

    /// Puts the phone away.
    pub(crate) fn close(self) -> Result<(), PhoneError> {
        Ok(self.store.close()?)
    }
}
