//! The file: opening, versions, sleep and waking, closing.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::error::StoreError;

/// "Cldg": what `PRAGMA application_id` says of a store.
const APPLICATION: i64 = 0x436c_6467;

/// The steps from version to version, in order: step n takes a file to version n.
const STEPS: [&str; 3] = [
    include_str!("../sql/001_entries.sql"),
    include_str!("../sql/002_sheets_and_photos.sql"),
    include_str!("../sql/003_phone.sql"),
];

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
        let connection = connect(path)?;
        tracing::info!(version = STEPS.len(), "store opened");
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
            self.connection = Some(connect(&self.path)?);
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

fn connect(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
        | OpenFlags::SQLITE_OPEN_CREATE
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(|error| {
        StoreError::CannotOpen { path: path.to_owned(), reason: error.to_string() }
    })?;
    connection.busy_timeout(PATIENCE)?;
    // Read before anything is written, so that a file of another kind is left as it is.
    let version = known_version(&connection)?;
    check(&connection)?;
    set(&connection, "PRAGMA journal_mode = WAL")?;
    set(&connection, "PRAGMA synchronous = FULL")?;
    set(&connection, "PRAGMA foreign_keys = ON")?;
    step_up(&mut connection, version)?;
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
fn known_version(connection: &Connection) -> Result<usize, StoreError> {
    let version = number(connection, "PRAGMA user_version")?;
    let application = number(connection, "PRAGMA application_id")?;
    let tables = number(connection, "SELECT count(*) FROM sqlite_schema")?;
    if application != APPLICATION && (application != 0 || version != 0 || tables != 0) {
        return Err(StoreError::Corrupt { reason: "the file belongs to another program".into() });
    }
    let newest = i64::try_from(STEPS.len()).unwrap_or(i64::MAX);
    match usize::try_from(version) {
        Ok(version) if version <= STEPS.len() => Ok(version),
        _ => Err(StoreError::Newer { found: version, known: newest }),
    }
}

/// SQLite's own check of the file's structure.
fn check(connection: &Connection) -> Result<(), StoreError> {
    let found: String = connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if found == "ok" { Ok(()) } else { Err(StoreError::Corrupt { reason: found }) }
}

/// Takes the file to the newest version, all steps or none.
fn step_up(connection: &mut Connection, version: usize) -> Result<(), StoreError> {
    if version == STEPS.len() {
        return Ok(());
    }
    let step = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for sql in STEPS.iter().skip(version) {
        step.execute_batch(sql)?;
    }
    step.execute_batch(&format!(
        "PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {};",
        STEPS.len()
    ))?;
    step.commit()?;
    tracing::info!(from = version, to = STEPS.len(), "store stepped up");
    Ok(())
}
