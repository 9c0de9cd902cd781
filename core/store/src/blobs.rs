//! Map sheets, rule sheets and photos, by the hash of their bytes.

use coldlug_core::{event::Sha256Hex, exchange::SheetKind, log::sha256, quantity::JobId};
use rusqlite::{OptionalExtension, params};

use crate::{Store, error::StoreError};

/// What a blob is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BlobKind {
    /// A map sheet.
    MapSheet,
    /// A rule sheet.
    RuleSheet,
    /// A photo.
    Photo,
}

impl BlobKind {
    const fn name(self) -> &'static str {
        match self {
            Self::MapSheet => "map-sheet",
            Self::RuleSheet => "rule-sheet",
            Self::Photo => "photo",
        }
    }
}

impl From<SheetKind> for BlobKind {
    fn from(sheet: SheetKind) -> Self {
        match sheet {
            SheetKind::MapSheet => Self::MapSheet,
            SheetKind::RuleSheet => Self::RuleSheet,
        }
    }
}

impl Store {
    /// Keeps bytes under their hash. The same again is fine.
    pub fn keep(&mut self, kind: BlobKind, bytes: &[u8]) -> Result<Sha256Hex, StoreError> {
        let hash = sha256(bytes);
        let write = self.writer()?;
        write.execute(
            "INSERT OR IGNORE INTO blobs (kind, hash, bytes) VALUES (?1, ?2, ?3)",
            params![kind.name(), hash.0, bytes],
        )?;
        write.commit()?;
        Ok(hash)
    }

    /// Whether bytes are kept under a hash. They are not read; [`Store::blob`] checks them.
    pub fn has_blob(&self, kind: BlobKind, hash: &Sha256Hex) -> Result<bool, StoreError> {
        Ok(self.awake()?.query_row(
            "SELECT EXISTS (SELECT 1 FROM blobs WHERE kind = ?1 AND hash = ?2)",
            params![kind.name(), hash.0],
            |row| row.get(0),
        )?)
    }

    /// The bytes kept under a hash, checked against it; none: not here.
    pub fn blob(&self, kind: BlobKind, hash: &Sha256Hex) -> Result<Option<Vec<u8>>, StoreError> {
        let bytes: Option<Vec<u8>> = self
            .awake()?
            .query_row(
                "SELECT bytes FROM blobs WHERE kind = ?1 AND hash = ?2",
                params![kind.name(), hash.0],
                |row| row.get(0),
            )
            .optional()?;
        match bytes {
            Some(bytes) if sha256(&bytes) != *hash => Err(StoreError::Corrupt {
                reason: format!("a {} is not the one that was kept", kind.name()),
            }),
            bytes => Ok(bytes),
        }
    }

    /// Says which kept sheet a job is judged with. A job keeps the sheet it has: another is refused.
    pub fn pin(&mut self, job: &JobId, kind: BlobKind, hash: &Sha256Hex) -> Result<(), StoreError> {
        let write = self.writer()?;
        let there: Option<[u8; 32]> = write
            .query_row(
                "SELECT hash FROM job_sheets WHERE job = ?1 AND kind = ?2",
                params![job.as_str(), kind.name()],
                |row| row.get(0),
            )
            .optional()?;
        match there {
            Some(there) if there != hash.0 => {
                return Err(StoreError::OtherSheet { job: job.clone(), kind: kind.name() });
            }
            Some(_) => {}
            None => {
                write.execute(
                    "INSERT INTO job_sheets (job, kind, hash) VALUES (?1, ?2, ?3)",
                    params![job.as_str(), kind.name(), hash.0],
                )?;
            }
        }
        write.commit()?;
        Ok(())
    }

    /// The sheet a job is judged with; none: none was pinned.
    pub fn sheet_of(&self, job: &JobId, kind: BlobKind) -> Result<Option<Vec<u8>>, StoreError> {
        let hash: Option<[u8; 32]> = self
            .awake()?
            .query_row(
                "SELECT hash FROM job_sheets WHERE job = ?1 AND kind = ?2",
                params![job.as_str(), kind.name()],
                |row| row.get(0),
            )
            .optional()?;
        match hash {
            None => Ok(None),
            Some(hash) => self.blob(kind, &Sha256Hex(hash)),
        }
    }
}
