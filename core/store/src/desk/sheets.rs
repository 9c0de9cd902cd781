//! Sheets that jobs can be prepared with.

use coldlug_core::event::Sha256Hex;
use rusqlite::params;

use super::DeskStore;
use crate::error::StoreError;

/// Which sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetOf {
    /// Map sheets.
    Map,
    /// Rule sheets.
    Rules,
}

impl SheetOf {
    const fn name(self) -> &'static str {
        match self {
            Self::Map => "map-sheet",
            Self::Rules => "rule-sheet",
        }
    }
}

/// A sheet on the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetListed {
    /// Hash of its bytes.
    pub hash: Sha256Hex,
    /// What it calls itself.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// Since when it is here.
    pub since_ms: i64,
}

impl DeskStore {
    /// Puts a sheet on the list. The same again is fine.
    pub fn list_sheet(&mut self, kind: SheetOf, sheet: &SheetListed) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute(
            "INSERT OR IGNORE INTO sheets (kind, hash, name, edition, since_ms) \
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![kind.name(), sheet.hash.0, sheet.name, sheet.edition, sheet.since_ms],
        )?;
        write.commit()?;
        Ok(())
    }

    /// The sheets on the list, the newest first.
    pub fn sheets(&self, kind: SheetOf) -> Result<Vec<SheetListed>, StoreError> {
        let mut statement = self.connection.prepare(
            "SELECT hash, name, edition, since_ms FROM sheets WHERE kind = ?1 \
             ORDER BY since_ms DESC, rowid DESC",
        )?;
        let rows = statement.query_map([kind.name()], |row| {
            Ok(SheetListed {
                hash: Sha256Hex(row.get(0)?),
                name: row.get(1)?,
                edition: row.get(2)?,
                since_ms: row.get(3)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
