//! A map sheet that lies on disk while it comes in and is checked, and is written from there.

use std::io;

use coldlug_core::{
    mapsheet::{Feature, Filled, Pieces, Rows, Shelf, TakeRow, Written, filled, kept},
    plant::Features,
    quantity::AssetId,
};
use rusqlite::{Connection, OptionalExtension, params};

use super::room::{self, NoRoom};
use super::{Doing, Progress, Watch};

/// Kibibytes of it that are held in memory, and as many again while rows are sorted.
const CACHE: u32 = 16 * 1024;
/// Statements that are kept ready: a few for each table.
const STATEMENTS: usize = 32;
/// Features between two reports of progress.
const REPORTED: u64 = 4096;

/// A shelf on disk.
#[derive(Debug)]
pub(super) struct Disk {
    connection: Connection,
}

/// A table's name.
fn table(rows: Rows) -> &'static str {
    match rows {
        Rows::Nodes => "nodes",
        Rows::Pads => "pads",
        Rows::Marks => "marks",
        Rows::Reserved => "reserved",
        Rows::Lugs => "lugs",
        Rows::Systems => "systems",
        Rows::Findings => "findings",
    }
}

/// The table of the features themselves.
const FEATURES: &str = "features";

impl Disk {
    pub(super) fn new() -> Result<Self, NoRoom> {
        let connection = room::open(CACHE)?;
        connection.set_prepared_statement_cache_capacity(STATEMENTS);
        connection.execute_batch(
            "CREATE TABLE name (text TEXT PRIMARY KEY, number INTEGER NOT NULL) WITHOUT ROWID; BEGIN;",
        )?;
        for table in Rows::ALL.into_iter().map(table).chain([FEATURES]) {
            connection.execute_batch(&format!(
                "CREATE TABLE {table} (key BLOB NOT NULL, row BLOB NOT NULL);"
            ))?;
        }
        Ok(Self { connection })
    }

    fn add(&self, table: &str, key: &[u8], row: &[u8]) -> Result<(), NoRoom> {
        let sql = format!("INSERT INTO {table} VALUES (?1, ?2)");
        self.connection.prepare_cached(&sql)?.execute(params![key, row])?;
        Ok(())
    }

    fn walk<E: From<NoRoom>>(&self, table: &str, take: &mut TakeRow<'_, E>) -> Result<(), E> {
        let sql = format!("SELECT key, row FROM {table} ORDER BY key, rowid");
        let mut statement = self.connection.prepare(&sql).map_err(NoRoom::from)?;
        let mut rows = statement.query([]).map_err(NoRoom::from)?;
        while let Some(row) = rows.next().map_err(NoRoom::from)? {
            let blob = |at| {
                let value = row.get_ref(at).map_err(NoRoom::from)?;
                value.as_blob().map_err(|why| NoRoom::from(rusqlite::Error::from(why)))
            };
            take(blob(0)?, blob(1)?)?;
        }
        Ok(())
    }
}

impl Shelf for Disk {
    type Error = NoRoom;

    fn name(&self, name: &str, number: u32) -> Result<Option<u32>, NoRoom> {
        let insert = "INSERT INTO name VALUES (?1, ?2) ON CONFLICT DO NOTHING";
        if self.connection.prepare_cached(insert)?.execute(params![name, number])? > 0 {
            return Ok(None);
        }
        let before = self.named(name)?;
        let update = "UPDATE name SET number = ?2 WHERE text = ?1";
        self.connection.prepare_cached(update)?.execute(params![name, number])?;
        Ok(before)
    }

    fn named(&self, name: &str) -> Result<Option<u32>, NoRoom> {
        let sql = "SELECT number FROM name WHERE text = ?1";
        let mut statement = self.connection.prepare_cached(sql)?;
        Ok(statement.query_row([name], |row| row.get(0)).optional()?)
    }

    fn put(&self, rows: Rows, key: &[u8], row: &[u8]) -> Result<(), NoRoom> {
        self.add(table(rows), key, row)
    }

    fn each(&self, rows: Rows, take: &mut TakeRow<'_, NoRoom>) -> Result<(), NoRoom> {
        self.walk(table(rows), take)
    }

    /// The room is given back with the file.
    fn clear(&self, _: Rows) -> Result<(), NoRoom> {
        Ok(())
    }

    fn keep(&self, feature: Feature, open: bool) -> Result<(), NoRoom> {
        let (key, row) = kept(&feature, open)?;
        self.add(FEATURES, &key, &row)
    }

    fn fill(&self, id: AssetId, list: Filled) -> Result<(), NoRoom> {
        let (key, row) = filled(&id, &list)?;
        self.add(FEATURES, &key, &row)
    }
}

/// A sheet that holds together and lies on disk; it goes with this.
#[derive(Debug)]
pub struct OnDisk {
    header: Features,
    disk: Disk,
}

/// Why a sheet on disk was not written to its end.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// What was written was not taken.
    #[error("not written")]
    NotTaken(#[source] io::Error),
    /// It could not be read from where it lies.
    #[error(transparent)]
    NoRoom(#[from] NoRoom),
}

impl From<serde_json::Error> for WriteError {
    fn from(why: serde_json::Error) -> Self {
        Self::NoRoom(why.into())
    }
}

impl OnDisk {
    pub(super) fn of((header, disk): (Features, Disk)) -> Self {
        Self { header, disk }
    }

    /// Writes the sheet's canonical bytes, a feature at a time.
    pub fn write(
        &self,
        watch: &mut dyn Watch,
        mut take: impl FnMut(&[u8]) -> io::Result<()>,
    ) -> Result<Written, WriteError> {
        let mut pieces =
            Pieces::begin(&self.header, |piece: &[u8]| take(piece).map_err(WriteError::NotTaken))?;
        let size = self.size()?;
        let mut done = 0;
        self.disk.walk(FEATURES, &mut |key, row| {
            done += 1;
            if done % REPORTED == 0 {
                watch.progress(&Progress {
                    doing: Doing::Writing,
                    layer: "",
                    done,
                    size,
                    rows: size,
                });
            }
            pieces.row(key, row)
        })?;
        pieces.end()
    }

    /// How many rows there are of features.
    fn size(&self) -> Result<u64, NoRoom> {
        let sql = format!("SELECT max(rowid) FROM {FEATURES}");
        let last: Option<i64> = self.disk.connection.query_row(&sql, [], |row| row.get(0))?;
        Ok(last.and_then(|last| u64::try_from(last).ok()).unwrap_or_default())
    }
}

#[cfg(test)]
mod tests {
    use coldlug_core::mapsheet::HEADER;
    use coldlug_field::{neighbourhood::neighbourhood, record::Record};

    use super::super::{ImportError, run::Run};
    use super::*;

    #[test]
    fn a_name_has_one_number_and_rows_come_in_order() {
        let disk = Disk::new().unwrap();
        assert_eq!(disk.name("a", 1).unwrap(), None);
        assert_eq!(disk.name("a", 2).unwrap(), Some(1));
        assert_eq!((disk.named("a").unwrap(), disk.named("b").unwrap()), (Some(2), None));
        for (key, row) in [("b", "1"), ("a", "2"), ("b", "0"), ("", "")] {
            disk.put(Rows::Pads, key.as_bytes(), row.as_bytes()).unwrap();
        }
        let mut all = Vec::new();
        let walked = disk.each(Rows::Pads, &mut |key, row| {
            all.extend([key, row].concat());
            disk.put(Rows::Marks, key, row)
        });
        walked.unwrap();
        assert_eq!(all, b"a2b1b0");
    }

    /// Wherever the disk is full, the import says so, and nothing of the sheet is left.
    #[test]
    fn a_full_disk_is_told_as_one() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("own.geojson");
        let world = neighbourhood(1);
        let made = Record::true_of(&world).map_sheet(&world);
        assert!(made[HEADER].is_object());
        std::fs::write(&path, made.to_string()).unwrap();
        let mut told = 0;
        for pages in 9..40 {
            let disk = Disk::new().unwrap();
            disk.connection.execute_batch(&format!("PRAGMA max_page_count = {pages}")).unwrap();
            let done = Run::new(&mut ()).import(std::slice::from_ref(&path), None, disk);
            match done {
                Err(ImportError::NoRoom(why)) => {
                    told += 1;
                    assert!(why.to_string().ends_with("database or disk is full"), "{why}");
                }
                Err(ImportError::Unreadable(why)) => panic!("{why}"),
                Ok(imported) => {
                    assert!(imported.sheet.is_some(), "{pages}: {:?}", imported.findings);
                }
            }
        }
        assert!((3..30).contains(&told), "{told}");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
