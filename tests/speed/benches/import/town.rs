//! A made-up utility of pads with three services each, as tables; nine nodes a pad.

use std::{
    fs::File,
    io::{BufWriter, Write},
    path::{Path, PathBuf},
};

use rusqlite::{Connection, params_from_iter, types::Value};

/// Nodes of a pad: its bus, the two ends of its unit, and the two ends of each of its three sets.
const NODES: u32 = 9;
/// Pads on one feeder.
const FEEDER: u32 = 200;

/// A table: its name, its columns.
type Table = (&'static str, &'static [&'static str]);

const TABLES: [Table; 8] = [
    ("feeders", &["id", "node", "kv", "x", "y"]),
    ("runs", &["id", "a", "b", "feet", "ax", "ay", "bx", "by"]),
    ("fuses", &["id", "a", "b", "pad"]),
    ("units", &["id", "a", "b", "kva", "z", "pad"]),
    ("pads", &["id", "tag", "x", "y"]),
    ("services", &["id", "node", "premises", "meter", "x", "y"]),
    ("sets", &["id", "bus", "a", "b", "feet", "pad", "way"]),
    ("nodes", &["node", "x", "y"]),
];

/// How the tables become a sheet.
pub(crate) const MAPPING: &str = r#"
[sheet]
name = "Made-up utility"
edition = "1"
bounds = [-31, 41, -29, 43]
invented = true

[[places]]
of = "nodes"
node = "node"
lon = "x"
lat = "y"
system = "EPSG:32626"

[[layer]]
of = "feeders"
kind = "source"
lon = "x"
lat = "y"
system = "EPSG:32626"
[layer.fields]
id = "id"
node = "node"
volts_line_to_line = { column = "kv", unit = "kV" }

[[layer]]
of = "runs"
kind = "cable"
geometry = "ends"
[layer.fields]
id = "id"
from = "a"
to = "b"
length_m = { column = "feet", unit = "ft" }
kv_class = { value = 15, because = "made up" }
metal = { value = "al", because = "made up" }
size = { value = "1/0", because = "made up" }

[[layer]]
of = "fuses"
kind = "switch"
geometry = "none"
[layer.fields]
id = "id"
from = "a"
to = "b"
pad = "pad"
device = { value = "bayonet-fuse", because = "made up" }
normally = { value = "closed", because = "made up" }
rated_amps = { value = 25, because = "made up" }
load_break_amps = { value = 25, because = "made up" }
visible_break = { value = false, because = "made up" }
lockable = { value = false, because = "made up" }

[[layer]]
of = "units"
kind = "transformer"
geometry = "none"
[layer.fields]
id = "id"
primary = "a"
secondary = "b"
pad = "pad"
kva = { column = "kva", unit = "kVA" }
percent_z = { column = "z", unit = "percent" }
primary_volts = { value = 7200, because = "made up" }
system = { value = "120/240-split-phase", because = "made up" }

[[layer]]
of = "pads"
kind = "pad"
lon = "x"
lat = "y"
system = "EPSG:32626"
[layer.fields]
id = "id"
tags = "tag"
position_accuracy_m = { value = 3, because = "made up" }

[[layer]]
of = "sets"
kind = "switch"
geometry = "none"
[layer.fields]
id = { column = "id", before = "L" }
from = "bus"
to = "a"
pad = "pad"
position = "way"
device = { value = "lug-pair", because = "made up" }
normally = { value = "closed", because = "made up" }
rated_amps = { value = 400, because = "made up" }
load_break_amps = { value = 0, because = "made up" }
visible_break = { value = true, because = "made up" }
lockable = { value = false, because = "made up" }

[[layer]]
of = "sets"
kind = "set"
geometry = "none"
[layer.fields]
id = "id"
from = "a"
to = "b"
pad = "pad"
position = "way"
length_m = { column = "feet", unit = "ft" }
metal = { value = "al", because = "made up" }
size = { value = "4/0", because = "made up" }

[[layer]]
of = "services"
kind = "service"
lon = "x"
lat = "y"
system = "EPSG:32626"
[layer.fields]
id = "id"
node = "node"
premises = "premises"
meters = "meter"
meter_base_amps = { value = 200, because = "made up" }
system = { value = "120/240-split-phase", because = "made up" }
"#;

/// Hands over each row of the utility with its table's number; gives the number of nodes.
pub(crate) fn rows(nodes: u32, take: &mut dyn FnMut(usize, &[String])) -> u32 {
    let pads = nodes.div_ceil(NODES);
    let text = |text: &str| text.to_owned();
    let mut count = 0;
    for pad in 0..pads {
        let feeder = pad / FEEDER;
        let (x, y) = (300_000 + 30 * (pad % FEEDER), 4_590_000 + 100 * feeder);
        let at = |dx: u32| [(x + dx).to_string(), y.to_string()];
        let [px, py] = at(0);
        let before = if pad.is_multiple_of(FEEDER) {
            let node = format!("F{feeder}:src");
            let [fx, fy] = [(x - 30).to_string(), y.to_string()];
            take(0, &[format!("F{feeder}"), node.clone(), text("12.47"), fx.clone(), fy.clone()]);
            take(7, &[node.clone(), fx, fy]);
            count += 1;
            node
        } else {
            format!("P{}:bus", pad - 1)
        };
        let bus = format!("P{pad}:bus");
        let (pri, sec, id) = (format!("P{pad}:pri"), format!("P{pad}:sec"), format!("P{pad}"));
        take(7, &[bus.clone(), px.clone(), py.clone()]);
        let ends = [(x - 30).to_string(), y.to_string(), px.clone(), py.clone()];
        let [ax, ay, bx, by] = ends;
        let run = format!("C{pad}");
        take(1, &[run, before, bus.clone(), text("98.5"), ax, ay, bx, by]);
        take(2, &[format!("{id}-fuse"), bus, pri.clone(), id.clone()]);
        take(3, &[format!("{id}-tx"), pri, sec.clone(), text("50"), text("1.8"), id.clone()]);
        take(4, &[id.clone(), format!("T{pad}"), px, py]);
        for way in 1..=3 {
            let (start, end) = (format!("P{pad}:s{way}"), format!("{id}V{way}"));
            let [sx, sy] = at(5 * way);
            let premises = format!("{way} Made-up Row {pad}");
            take(5, &[end.clone(), end.clone(), premises, format!("M{pad}-{way}"), sx, sy]);
            let (set, way) = (format!("{id}-set{way}"), way.to_string());
            take(6, &[set, sec.clone(), start, end, text("100"), id.clone(), way]);
        }
        count += NODES;
    }
    count
}

/// The utility as a folder of CSV files, with the number of nodes.
pub(crate) fn write_csv(folder: &Path, nodes: u32) -> (Vec<PathBuf>, u32) {
    let (paths, mut files): (Vec<PathBuf>, Vec<BufWriter<File>>) = TABLES
        .into_iter()
        .map(|(name, columns)| {
            let path = folder.join(format!("{name}.csv"));
            let mut file = BufWriter::new(File::create(&path).expect("a file"));
            writeln!(file, "{}", columns.join(",")).expect("written");
            (path, file)
        })
        .unzip();
    let made = rows(nodes, &mut |table, values| {
        let file = files.get_mut(table).expect("a table");
        writeln!(file, "{}", values.join(",")).expect("written");
    });
    for file in &mut files {
        file.flush().expect("written");
    }
    (paths, made)
}

/// The mapping of the GeoPackage: its rows have what the CSV says by columns.
pub(crate) fn geopackage_mapping() -> String {
    let places = MAPPING.find("[[places]]").zip(MAPPING.find("[[layer]]"));
    let (from, to) = places.expect("the mapping has places, then layers");
    let columns = "lon = \"x\"\nlat = \"y\"\nsystem = \"EPSG:32626\"\n";
    let layers = MAPPING.get(to..).expect("layers").replace(columns, "");
    let header = MAPPING.get(..from).expect("a header");
    header.to_owned() + &layers.replace("geometry = \"ends\"\n", "")
}

/// The geometry of a row: a point of `x` and `y`, a line of `ax` to `by`; little-endian.
fn blob(columns: &[&str], values: &[String]) -> Value {
    let number = |name: &str| {
        let place = columns.iter().position(|column| *column == name)?;
        values.get(place)?.parse::<f64>().ok()
    };
    let numbers =
        |names: &[&str]| names.iter().map(|name| number(name)).collect::<Option<Vec<_>>>();
    let mut bytes = vec![b'G', b'P', 0, 1];
    bytes.extend(32626_i32.to_le_bytes());
    let numbers = if let Some(point) = numbers(&["x", "y"]) {
        bytes.extend([1, 1, 0, 0, 0]);
        point
    } else if let Some(line) = numbers(&["ax", "ay", "bx", "by"]) {
        bytes.extend([1, 2, 0, 0, 0, 2, 0, 0, 0]);
        line
    } else {
        return Value::Null;
    };
    bytes.extend(numbers.into_iter().flat_map(f64::to_le_bytes));
    Value::Blob(bytes)
}

/// The utility as a GeoPackage.
pub(crate) fn write_geopackage(path: &Path, nodes: u32) -> u32 {
    let mut connection = Connection::open(path).expect("a file");
    connection
        .execute_batch(
            "PRAGMA application_id = 0x47504B47; PRAGMA journal_mode = OFF;
             CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT, srs_id INTEGER PRIMARY KEY,
                organization TEXT, organization_coordsys_id INTEGER, definition TEXT);
             INSERT INTO gpkg_spatial_ref_sys VALUES ('UTM 26', 32626, 'EPSG', 32626, '');
             CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT,
                identifier TEXT, srs_id INTEGER);
             CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, srs_id INTEGER);",
        )
        .expect("the tables every GeoPackage has");
    let write = connection.transaction().expect("a transaction");
    let tables = TABLES.get(..TABLES.len() - 1).expect("all but the nodes");
    let made = {
        let mut inserts = Vec::new();
        for (name, columns) in tables {
            let names = columns.join(", ");
            let made = format!("CREATE TABLE {name} (fid INTEGER PRIMARY KEY, geom BLOB, {names})");
            write.execute_batch(&made).expect("a table");
            let contents = "INSERT INTO gpkg_contents VALUES (?1, 'features', ?1, 32626)";
            write.execute(contents, [name]).expect("a row");
            let geometry = "INSERT INTO gpkg_geometry_columns VALUES (?1, 'geom', 32626)";
            write.execute(geometry, [name]).expect("a row");
            let marks = vec!["?"; columns.len() + 1].join(", ");
            let insert = format!("INSERT INTO {name} VALUES (NULL, {marks})");
            inserts.push(write.prepare(&insert).expect("a statement"));
        }
        rows(nodes, &mut |table, values| {
            let Some((insert, (_, columns))) = inserts.get_mut(table).zip(tables.get(table)) else {
                return;
            };
            let cells = values.iter().map(|value| {
                value.parse().map_or_else(|_| Value::Text(value.clone()), Value::Real)
            });
            let row = std::iter::once(blob(columns, values)).chain(cells);
            insert.execute(params_from_iter(row)).expect("a row");
        })
    };
    write.commit().expect("written");
    made
}
