//! What an import looks up beside the sheet: where nodes are, and from which row a feature came.

use std::{
    cell::{Cell, OnceCell},
    fmt,
};

use rusqlite::{Connection, OptionalExtension, params};

use super::room::{self, NoRoom};

/// Kibibytes of it that are held in memory.
const CACHE: u32 = 8 * 1024;

/// Lies on disk. The first thing that goes wrong is kept, and asked for once: until then nothing is
/// there.
#[derive(Default)]
pub(super) struct Aside {
    connection: OnceCell<Connection>,
    wrong: Cell<Option<NoRoom>>,
}

impl fmt::Debug for Aside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Aside").finish_non_exhaustive()
    }
}

impl Aside {
    /// What went wrong.
    pub(super) fn wrong(&self) -> Result<(), NoRoom> {
        self.wrong.take().map_or(Ok(()), Err)
    }

    /// Takes where a node is, and gives where it was said to be before.
    pub(super) fn place(&self, node: &str, place: [f64; 2]) -> Option<[f64; 2]> {
        let [lon, lat] = place.map(f64::to_le_bytes);
        let change = |sql| {
            self.asked(|connection| {
                connection.prepare_cached(sql)?.execute(params![node, lon, lat])
            })
        };
        if change("INSERT INTO place VALUES (?1, ?2, ?3) ON CONFLICT DO NOTHING") != Some(0) {
            return None;
        }
        let before = self.place_of(node);
        change("UPDATE place SET lon = ?2, lat = ?3 WHERE node = ?1");
        before
    }

    /// Where a node is, in longitude and latitude.
    pub(super) fn place_of(&self, node: &str) -> Option<[f64; 2]> {
        let found = self.asked(|connection| {
            let sql = "SELECT lon, lat FROM place WHERE node = ?1";
            let mut statement = connection.prepare_cached(sql)?;
            statement.query_row([node], |row| Ok([row.get(0)?, row.get(1)?])).optional()
        });
        found.flatten().map(|place| place.map(f64::from_le_bytes))
    }

    /// The feature of this number came of this row of this block of the mapping.
    pub(super) fn row(&self, number: u32, block: usize, mark: i64) {
        self.asked(|connection| {
            let block = i64::try_from(block).unwrap_or(i64::MAX);
            let sql = "INSERT INTO row VALUES (?1, ?2, ?3)";
            connection.prepare_cached(sql)?.execute(params![number, block, mark])
        });
    }

    /// The block and row of a feature.
    pub(super) fn row_of(&self, number: u32) -> Option<(usize, i64)> {
        let found = self.asked(|connection| {
            let sql = "SELECT block, mark FROM row WHERE number = ?1";
            let mut statement = connection.prepare_cached(sql)?;
            let found = statement.query_row([number], |row| Ok((row.get(0)?, row.get(1)?)));
            found.optional()
        });
        let (block, mark): (i64, i64) = found.flatten()?;
        Some((usize::try_from(block).ok()?, mark))
    }

    fn asked<T>(&self, ask: impl FnOnce(&Connection) -> rusqlite::Result<T>) -> Option<T> {
        let asked = self.open().and_then(|connection| Ok(ask(connection)?));
        asked.map_err(|why| self.wrong.set(Some(why))).ok()
    }

    fn open(&self) -> Result<&Connection, NoRoom> {
        if let Some(open) = self.connection.get() {
            return Ok(open);
        }
        let connection = room::open(CACHE)?;
        connection.execute_batch(
            "CREATE TABLE place (node TEXT PRIMARY KEY, lon BLOB NOT NULL, lat BLOB NOT NULL)
                WITHOUT ROWID;
             CREATE TABLE row (number INTEGER PRIMARY KEY, block INTEGER NOT NULL,
                mark INTEGER NOT NULL);
             BEGIN;",
        )?;
        Ok(self.connection.get_or_init(|| connection))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_laid_aside_is_found_again() {
        let aside = Aside::default();
        assert_eq!(aside.place_of("n"), None);
        assert_eq!(aside.place("n", [0.1, -0.0]), None);
        let before = aside.place("n", [2.0, 3.0]).map(|place| place.map(f64::to_bits));
        assert_eq!(before, Some([0.1_f64.to_bits(), (-0.0_f64).to_bits()]));
        assert_eq!(aside.place_of("n"), Some([2.0, 3.0]));
        aside.row(7, 2, -1);
        assert_eq!((aside.row_of(7), aside.row_of(8)), (Some((2, -1)), None));
        assert!(aside.wrong().is_ok());
        // A row that is there already is the first thing that goes wrong.
        aside.row(7, 2, -1);
        assert!(aside.wrong().is_err());
        assert!(aside.wrong().is_ok());
    }
}
