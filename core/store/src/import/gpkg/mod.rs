//! GeoPackage (OGC 12-128): an SQLite file of tables with geometries.
//!
//! The file is somebody else's: it is opened for reading only, nothing of its schema is trusted, and
//! views are not asked.

mod blob;

use std::path::Path;

use rusqlite::{Connection, OpenFlags, config::DbConfig, types::ValueRef};

use super::row::{Ask, Broken, Cell, Layer, Row, Source, Taken};
use super::shape::Drawn;

/// What a GeoPackage says it is, in its header: "GPKG", and "GP10" and "GP11" of the first editions.
const APPLICATION_IDS: [i64; 3] = [0x4750_4b47, 0x4750_3130, 0x4750_3131];

/// What a row is called: its feature id.
const WORD: &str = "fid";

/// A GeoPackage, opened.
#[derive(Debug)]
pub(super) struct GeoPackage {
    connection: Connection,
    layers: Vec<Layer>,
    tables: Vec<Table>,
}

/// What a layer is in SQLite.
#[derive(Debug)]
struct Table {
    /// The column of its geometry, and the number of its system, where it has one.
    geometry: Option<(String, i64)>,
}

impl From<rusqlite::Error> for Broken {
    fn from(error: rusqlite::Error) -> Self {
        Self::Why(error.to_string())
    }
}

impl GeoPackage {
    pub(super) fn open(path: &Path) -> Result<Self, Broken> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags)?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
        connection.pragma_update(None, "cell_size_check", true)?;
        let id: i64 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
        if !APPLICATION_IDS.contains(&id) {
            return Err(Broken::Why("its header does not say that it is a GeoPackage".to_owned()));
        }
        let mut found = Self { connection, layers: Vec::new(), tables: Vec::new() };
        for name in found.names()? {
            let (layer, table) = found.layer(name)?;
            found.layers.push(layer);
            found.tables.push(table);
        }
        Ok(found)
    }

    /// The tables that hold features or bare attributes; no views, and nothing virtual.
    fn names(&self) -> Result<Vec<String>, Broken> {
        let mut statement = self.connection.prepare(
            "SELECT c.table_name FROM gpkg_contents c JOIN sqlite_master m \
             ON m.name = c.table_name AND m.type = 'table' AND m.rootpage > 0 \
             WHERE c.data_type IN ('features', 'attributes') ORDER BY c.table_name",
        )?;
        let names = statement.query_map([], |row| row.get(0))?;
        Ok(names.collect::<Result<_, _>>()?)
    }

    fn layer(&self, name: String) -> Result<(Layer, Table), Broken> {
        let mut statement =
            self.connection.prepare("SELECT name FROM pragma_table_info(?1) ORDER BY cid")?;
        let columns: Vec<String> =
            statement.query_map([&name], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let has_geometries: bool = self.connection.query_row(
            "SELECT EXISTS (SELECT 1 FROM sqlite_master WHERE name = 'gpkg_geometry_columns')",
            [],
            |row| row.get(0),
        )?;
        let geometry = if has_geometries {
            self.connection
                .prepare(
                    "SELECT column_name, srs_id FROM gpkg_geometry_columns WHERE table_name = ?1",
                )?
                .query_map([&name], |row| Ok((row.get(0)?, row.get(1)?)))?
                .next()
                .transpose()?
        } else {
            None
        };
        let system = match &geometry {
            Some((_, number)) => self.system(*number)?,
            None => None,
        };
        let sql = format!("SELECT count(*) FROM {}", quoted(&name));
        let rows: i64 = self.connection.query_row(&sql, [], |row| row.get(0))?;
        let size = u64::try_from(rows).unwrap_or_default();
        let drawn = geometry.is_some();
        Ok((Layer { name, columns: Some(columns), drawn, system, size }, Table { geometry }))
    }

    /// The name of a system by its number in this file; none for what is stated as undefined.
    fn system(&self, number: i64) -> Result<Option<String>, Broken> {
        if number <= 0 {
            return Ok(None);
        }
        let mut statement = self.connection.prepare(
            "SELECT organization, organization_coordsys_id FROM gpkg_spatial_ref_sys \
             WHERE srs_id = ?1",
        )?;
        let named = statement
            .query_map([number], |row| Ok((row.get::<_, String>(0)?, row.get::<_, i64>(1)?)))?
            .next()
            .transpose()?;
        Ok(named.map(|(organization, code)| format!("{}:{code}", organization.to_uppercase())))
    }
}

/// A name as SQLite takes it whatever stands in it.
fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}

impl Source for GeoPackage {
    fn layers(&self) -> &[Layer] {
        &self.layers
    }

    fn rows(&mut self, ask: Ask<'_>, take: &mut dyn FnMut(Taken<'_>)) -> Result<(), Broken> {
        let table = self.layers.iter().zip(&self.tables).find(|(l, _)| l.name == ask.layer);
        let geometry = table.and_then(|(_, table)| table.geometry.as_ref()).filter(|_| ask.drawn);
        let mut wanted = vec!["rowid".to_owned()];
        wanted.extend(ask.columns.iter().map(|column| quoted(column)));
        wanted.extend(geometry.map(|(column, _)| quoted(column)));
        let sql = format!("SELECT {} FROM {}", wanted.join(", "), quoted(ask.layer));
        let mut statement = self.connection.prepare(&sql)?;
        let mut rows = statement.query([])?;
        let mut done = 0;
        while let Some(row) = rows.next()? {
            done += 1;
            let mark = row.get(0)?;
            let cells = (1..=ask.columns.len()).map(|at| Ok(cell(row.get_ref(at)?)));
            let cells = cells.collect::<Result<Vec<Result<Cell<'_>, String>>, Broken>>()?;
            let drawn = match geometry {
                None => Drawn::Nothing,
                Some((_, system)) => match row.get_ref(ask.columns.len() + 1)? {
                    ValueRef::Null => Drawn::Nothing,
                    ValueRef::Blob(bytes) => blob::drawn(bytes, *system),
                    _ => Drawn::Broken("it is not of bytes".to_owned()),
                },
            };
            let row = cells.into_iter().collect::<Result<_, _>>();
            let row = row.map(|cells| Row { cells, drawn });
            take(Taken { mark, word: WORD, id: None, done, row });
        }
        Ok(())
    }

    fn row_name(&self, mark: i64) -> String {
        format!("{WORD} {mark}")
    }
}

fn cell(value: ValueRef<'_>) -> Result<Cell<'_>, String> {
    Ok(match value {
        ValueRef::Null => Cell::Absent,
        ValueRef::Integer(whole) => Cell::Whole(whole),
        ValueRef::Real(number) => Cell::Number(number),
        ValueRef::Text(bytes) => {
            let text = std::str::from_utf8(bytes).map_err(|_| "a text is not UTF-8".to_owned())?;
            Cell::text(text)
        }
        ValueRef::Blob(_) => Cell::Other,
    })
}
