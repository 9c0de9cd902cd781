//! Room on disk for what does not fit in memory: databases that are gone when they are closed.

use std::{
    env,
    error::Error,
    path::{Path, PathBuf},
};

use rusqlite::Connection;

/// There is no room to lay a file or a sheet out: the disk is full, or the folder cannot be written.
#[derive(Debug, thiserror::Error)]
#[error("no room to work in {}: {source}", folder.display())]
pub struct NoRoom {
    /// The folder for temporary files.
    pub folder: PathBuf,
    /// Why.
    pub source: Box<dyn Error + Send + Sync>,
}

impl NoRoom {
    fn of(source: impl Into<Box<dyn Error + Send + Sync>>) -> Self {
        Self { folder: folder(), source: source.into() }
    }
}

impl From<rusqlite::Error> for NoRoom {
    fn from(why: rusqlite::Error) -> Self {
        Self::of(why)
    }
}

impl From<serde_json::Error> for NoRoom {
    fn from(why: serde_json::Error) -> Self {
        Self::of(why)
    }
}

/// Where SQLite keeps temporary files: it looks in these places in this order ("Temporary Files Used
/// By SQLite", section 5, for Unix; elsewhere the system says).
fn folder() -> PathBuf {
    let said = ["SQLITE_TMPDIR", "TMPDIR"].into_iter().filter_map(env::var_os).map(PathBuf::from);
    let usual = ["/var/tmp", "/usr/tmp", "/tmp"].into_iter().map(PathBuf::from);
    let there = |folder: &PathBuf| Path::is_dir(folder);
    said.chain(usual).find(there).unwrap_or_else(env::temp_dir)
}

/// A database without a name: SQLite keeps it in a file that is taken away at the end, also when the
/// program is killed. No more of it is in memory than so many kibibytes, and as many again while rows
/// are sorted.
pub(super) fn open(kibibytes: u32) -> Result<Connection, NoRoom> {
    let connection = Connection::open("")?;
    connection.execute_batch(&format!(
        "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -{kibibytes};
         PRAGMA temp_store = FILE;"
    ))?;
    Ok(connection)
}
