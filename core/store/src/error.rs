//! What can go wrong with the store, by what the caller can do about it.

use std::path::PathBuf;

use coldlug_core::{
    log::LogError,
    quantity::{DeviceId, JobId},
};
use rusqlite::ErrorCode;

/// Why the store did not do it. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The file cannot be opened or made.
    #[error("the store {path} cannot be opened: {reason}")]
    CannotOpen {
        /// Where.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// The file is damaged or is not a store. It was left as it is: keep it, and start another.
    #[error("the store is damaged or is no store: {reason}; it was left as it is")]
    Corrupt {
        /// What was found.
        reason: String,
    },
    /// A newer program wrote it.
    #[error(
        "the store was written by a newer program: it has version {found}, at most {known} is known here"
    )]
    Newer {
        /// Its version.
        found: i64,
        /// The newest version known here.
        known: i64,
    },
    /// Another program holds the file.
    #[error("the store is in use by another program: close that, or wait")]
    Busy,
    /// The disk is full.
    #[error("the disk is full: nothing more can be kept until there is room")]
    Full,
    /// The store is suspended or closed.
    #[error("the store is asleep: resume it first")]
    Asleep,
    /// No such job here.
    #[error("job {job} is not in this store")]
    NoSuchJob {
        /// Which.
        job: JobId,
    },
    /// Another entry stands at this place.
    #[error("another entry {seq} of {device} stands in job {job} already")]
    Conflict {
        /// The job.
        job: JobId,
        /// The device.
        device: DeviceId,
        /// The place in its chain.
        seq: u64,
    },
    /// The job is judged with another sheet of this kind.
    #[error("job {job} is judged with another {kind} already: it keeps the one it has")]
    OtherSheet {
        /// The job.
        job: JobId,
        /// The kind of sheet.
        kind: &'static str,
    },
    /// An entry does not hold, on its way in or as it was found.
    #[error(transparent)]
    Entry(#[from] LogError),
    /// Something else SQLite says: a bug.
    #[error("the store failed: {reason}")]
    Internal {
        /// What it says.
        reason: String,
    },
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        let reason = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Corrupt { reason },
            _ => Self::Internal { reason },
        }
    }
}
