//! The desk's own file.

use std::path::Path;

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::{
    error::StoreError,
    file::{FileKind, connect},
};

/// The desk's own file: "Cldd".
const DESK: FileKind =
    FileKind { application: 0x436c_6464, steps: &[include_str!("../../sql/desk/001_desk.sql")] };

/// What the desk keeps beside the jobs: one file, one writer.
#[derive(Debug)]
pub struct DeskStore {
    pub(super) connection: Connection,
}

impl DeskStore {
    /// Opens the file, or makes it where there is none.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        Ok(Self { connection: connect(path, DESK)? })
    }

    pub(super) fn writer(&mut self) -> Result<Transaction<'_>, StoreError> {
        Ok(self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }

    /// The seed of the desk's own key: the one that is kept, or `fresh`, kept from now on.
    pub fn seed(&mut self, fresh: [u8; 32]) -> Result<[u8; 32], StoreError> {
        let write = self.writer()?;
        write.execute("INSERT OR IGNORE INTO own (only_one, seed) VALUES (1, ?1)", [fresh])?;
        let seed = write.query_row("SELECT seed FROM own", [], |row| row.get(0))?;
        write.commit()?;
        Ok(seed)
    }
}
