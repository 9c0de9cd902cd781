//! Writes a GeoPackage by the words of the standard (OGC 12-128), geometries byte by byte.

use std::path::Path;

use rusqlite::{Connection, params_from_iter, types::Value as Sql};
use serde_json::Value;

use crate::tables::{Tables, columns};

/// How geometries are written.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Form {
    /// The byte order of the header, and of the well-known binary.
    pub(crate) little: (bool, bool),
    /// The kind of envelope, 0 to 4.
    pub(crate) envelope: u8,
    /// Whether places have heights.
    pub(crate) tall: bool,
    /// The number of the reference system.
    pub(crate) system: i32,
}

fn whole(n: u32, little: bool) -> [u8; 4] {
    if little { n.to_le_bytes() } else { n.to_be_bytes() }
}

fn number(n: f64, little: bool) -> [u8; 8] {
    if little { n.to_le_bytes() } else { n.to_be_bytes() }
}

impl Form {
    fn places(self, places: &[Value], turn: &dyn Fn([f64; 2]) -> [f64; 2]) -> Vec<u8> {
        let mut bytes = Vec::new();
        for place in places {
            let [x, y] = turn([place[0].as_f64().unwrap(), place[1].as_f64().unwrap()]);
            let height = if self.tall { vec![7.5] } else { Vec::new() };
            for n in [x, y].into_iter().chain(height) {
                bytes.extend(number(n, self.little.1));
            }
        }
        bytes
    }

    /// The blob of a GeoJSON geometry; none for null.
    pub(crate) fn blob(
        self,
        geometry: &Value,
        turn: &dyn Fn([f64; 2]) -> [f64; 2],
    ) -> Option<Vec<u8>> {
        let coordinates = geometry.get("coordinates")?;
        let mut bytes = vec![b'G', b'P', 0, self.envelope << 1 | u8::from(self.little.0)];
        bytes.extend(whole(u32::try_from(self.system).unwrap(), self.little.0));
        let numbers = [0, 4, 6, 6, 8][usize::from(self.envelope)];
        bytes.extend((0..numbers).flat_map(|n| number(f64::from(n), self.little.0)));
        bytes.push(u8::from(self.little.1));
        let tall = if self.tall { 1000 } else { 0 };
        if geometry["type"] == "Point" {
            bytes.extend(whole(1 + tall, self.little.1));
            bytes.extend(self.places(std::slice::from_ref(coordinates), turn));
        } else {
            let places = coordinates.as_array().unwrap();
            bytes.extend(whole(2 + tall, self.little.1));
            bytes.extend(whole(u32::try_from(places.len()).unwrap(), self.little.1));
            bytes.extend(self.places(places, turn));
        }
        Some(bytes)
    }
}

/// The tables every GeoPackage has.
pub(crate) fn begin(path: &Path, systems: &[i32]) -> Connection {
    let connection = Connection::open(path).unwrap();
    connection
        .execute_batch(
            "PRAGMA application_id = 0x47504B47; PRAGMA user_version = 10300;
             CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY,
                organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL,
                definition TEXT NOT NULL, description TEXT);
             CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY,
                data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '',
                last_change DATETIME NOT NULL DEFAULT '2026-03-01T00:00:00.000Z',
                min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER);
             CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL,
                geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL, z TINYINT NOT NULL,
                m TINYINT NOT NULL, PRIMARY KEY (table_name, column_name));
             INSERT INTO gpkg_spatial_ref_sys VALUES
                ('undefined cartesian', -1, 'NONE', -1, 'undefined', NULL),
                ('undefined geographic', 0, 'NONE', 0, 'undefined', NULL);",
        )
        .unwrap();
    for system in systems {
        connection
            .execute(
                "INSERT INTO gpkg_spatial_ref_sys VALUES ('a', ?1, 'EPSG', ?1, 'not read', NULL)",
                [system],
            )
            .unwrap();
    }
    connection
}

/// A GeoPackage of these tables.
pub(crate) fn write(path: &Path, tables: &Tables, form: Form, turn: &dyn Fn([f64; 2]) -> [f64; 2]) {
    let mut connection = begin(path, &[form.system]);
    let write = connection.transaction().unwrap();
    for (kind, rows) in tables {
        let columns = columns(kind);
        let declared: Vec<String> = columns.iter().map(|name| format!("\"{name}\"")).collect();
        write
            .execute_batch(&format!(
                "CREATE TABLE \"{kind}s\" (fid INTEGER PRIMARY KEY, geom BLOB, {});
                 INSERT INTO gpkg_contents (table_name, data_type, srs_id)
                    VALUES ('{kind}s', 'features', {});
                 INSERT INTO gpkg_geometry_columns
                    VALUES ('{kind}s', 'geom', 'GEOMETRY', {}, 2, 0);",
                declared.join(", "),
                form.system,
                form.system,
            ))
            .unwrap();
        let marks = vec!["?"; columns.len() + 1].join(", ");
        let sql = format!("INSERT INTO \"{kind}s\" VALUES (NULL, {marks})");
        let mut insert = write.prepare(&sql).unwrap();
        for row in rows {
            let blob = form.blob(&row.geometry, turn).map_or(Sql::Null, Sql::Blob);
            let values =
                columns.iter().map(|name| row.values.get(name).map_or(Sql::Null, sql_value));
            insert.execute(params_from_iter(std::iter::once(blob).chain(values))).unwrap();
        }
    }
    write.commit().unwrap();
}

fn sql_value(value: &Value) -> Sql {
    match value {
        Value::Null => Sql::Null,
        Value::Bool(flag) => Sql::Integer(i64::from(*flag)),
        Value::Number(number) => {
            number.as_i64().map_or_else(|| Sql::Real(number.as_f64().unwrap()), Sql::Integer)
        }
        Value::String(text) => Sql::Text(text.clone()),
        other => panic!("{other} has no column"),
    }
}
