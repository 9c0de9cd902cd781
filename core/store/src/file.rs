//! The file: opening, versions, sleep and waking, closing.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::error::StoreError;

/// What a file of ours is: how it names itself, and how it came to its newest version.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FileKind {
    /// What `PRAGMA application_id` says.
    pub(crate) application: i64,
    /// The steps from version to version, in order: step n takes a file to version n.
    pub(crate) steps: &'static [&'static str],
}

/// A store of jobs: "Cldg".
const JOBS: FileKind = FileKind {
    application: 0x436c_6467,
    steps: &[
        include_str!("../sql/001_entries.sql"),
        include_str!("../sql/002_sheets_and_photos.sql"),
        include_str!("../sql/003_phone.sql"),
        include_str!("../sql/004_instruments.sql"),
    ],
};

/// How long to wait for another program to let go of the file.
const PATIENCE: Duration = Duration::from_secs(5);

/// A store of jobs: one file, one writer.
#[derive(Debug)]
pub struct Store {
    path: PathBuf,
    connection: Option<Connection>,
}

impl Store {
    /// Opens the store, or makes it where there is no file.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        let connection = connect(path, JOBS)?;
        tracing::info!(version = JOBS.steps.len(), "store opened");
        Ok(Self { path: path.to_owned(), connection: Some(connection) })
    }

    /// Writes everything into the one file and lets go of it: for a phone that goes to sleep.
    pub fn suspend(&mut self) -> Result<(), StoreError> {
        match self.connection.take() {
            None => Ok(()),
            Some(connection) => let_go(connection),
        }
    }

    /// Opens the file again after [`Store::suspend`]. Awake already is fine.
    pub fn resume(&mut self) -> Result<(), StoreError> {
        if self.connection.is_none() {
            self.connection = Some(connect(&self.path, JOBS)?);
        }
        Ok(())
    }

    /// Closes the store.
    pub fn close(mut self) -> Result<(), StoreError> {
        self.suspend()
    }

    pub(crate) fn awake(&self) -> Result<&Connection, StoreError> {
        self.connection.as_ref().ok_or(StoreError::Asleep)
    }

    pub(crate) fn writer(&mut self) -> Result<rusqlite::Transaction<'_>, StoreError> {
        let connection = self.connection.as_mut().ok_or(StoreError::Asleep)?;
        Ok(connection.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }
}

fn let_go(connection: Connection) -> Result<(), StoreError> {
    connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
    connection.close().map_err(|(_, error)| error.into())
}

pub(crate) fn connect(path: &Path, kind: FileKind) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
        | OpenFlags::SQLITE_OPEN_CREATE
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(|error| {
        StoreError::CannotOpen { path: path.to_owned(), reason: error.to_string() }
    })?;
    connection.busy_timeout(PATIENCE)?;
    // Read before anything is written, so that a file of another kind is left as it is.
    let version = known_version(&connection, kind)?;
    check(&connection)?;
    set(&connection, "PRAGMA journal_mode = WAL")?;
    set(&connection, "PRAGMA synchronous = FULL")?;
    set(&connection, "PRAGMA foreign_keys = ON")?;
    step_up(&mut connection, kind, version)?;
    Ok(connection)
}

fn set(connection: &Connection, pragma: &str) -> Result<(), StoreError> {
    let mut statement = connection.prepare(pragma)?;
    let mut rows = statement.query([])?;
    while rows.next()?.is_some() {}
    Ok(())
}

fn number(connection: &Connection, pragma: &str) -> Result<i64, StoreError> {
    Ok(connection.query_row(pragma, [], |row| row.get(0))?)
}

/// The version of a file that is a store, or is empty.
fn known_version(connection: &Connection, kind: FileKind) -> Result<usize, StoreError> {
    let version = number(connection, "PRAGMA user_version")?;
    let application = number(connection, "PRAGMA application_id")?;
    let tables = number(connection, "SELECT count(*) FROM sqlite_schema")?;
    if application != kind.application && (application != 0 || version != 0 || tables != 0) {
        return Err(StoreError::Corrupt { reason: "the file belongs to another program".into() });
    }
    let newest = i64::try_from(kind.steps.len()).unwrap_or(i64::MAX);
    match usize::try_from(version) {
        Ok(version) if version <= kind.steps.len() => Ok(version),
        _ => Err(StoreError::Newer { found: version, known: newest }),
    }
}

/// SQLite's own check of the file's structure.
fn check(connection: &Connection) -> Result<(), StoreError> {
    let found: String = connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if found == "ok" { Ok(()) } else { Err(StoreError::Corrupt { reason: found }) }
}

/// Takes the file to the newest version, all steps or none.
fn step_up(connection: &mut Connection, kind: FileKind, version: usize) -> Result<(), StoreError> {
    let FileKind { application, steps } = kind;
    if version == steps.len() {
        return Ok(());
    }
    let step = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for sql in steps.iter().skip(version) {
        step.execute_batch(sql)?;
    }
    step.execute_batch(&format!(
        "PRAGMA application_id = {application}; PRAGMA user_version = {};",
        steps.len()
    ))?;
    step.commit()?;
    tracing::info!(from = version, to = steps.len(), "store stepped up");
    Ok(())
}
