//! Files of others: mappings, tables as text, models in CIM, the geometries of a GeoPackage.

use std::{
    fs,
    path::{Path, PathBuf},
};

use coldlug_core::{
    mapsheet::{self, canonical_bytes},
    plant::Plant,
};
use coldlug_store::import::{Imported, import};
use rusqlite::Connection;
use tempfile::TempDir;

use super::{
    INPUTS,
    damage::{Drawn, damaged},
    reach::Reach,
};

/// Invented: a feeder, a cable drawn between nodes, a post at its end.
const MAPPING: &str = r#"
[sheet]
name = "Invented"
edition = "1"
bounds = [-31, 41, -29, 43]

[[places]]
of = "nodes"
node = "node"
lon = "x"
lat = "y"
system = "EPSG:32626"

[[layer]]
of = "rows"
kind = "source"
only = { kind = "feeder" }
geometry = "node"
[layer.fields]
id = "name"
node = "a"
volts_line_to_line = { column = "size", unit = "kV" }

[[layer]]
of = "rows"
kind = "cable"
only = { kind = ["run", 7] }
geometry = "ends"
[layer.fields]
id = { column = "name", before = "C-" }
from = "a"
to = "b"
size = "size"
length_m = { column = "feet", unit = "us-ft" }
kv_class = { value = 15, because = "invented" }
metal = { column = "metal", codes = { 1 = "al", 2 = "cu" } }

[[layer]]
of = "rows"
kind = "pedestal"
only = { kind = "post" }
geometry = "node"
fields = { id = { columns = ["name", "a"], between = "-" }, node = "a" }
"#;
const NODES: &str = "node,x,y\nn1,300000,4590000\nn2,300100,4590000\n";
const ROWS: &str = "kind,name,a,b,size,feet,metal\nfeeder,F1,n1,,12.47,,\n\
    run,1,n1,n2,1/0,\"328.1\",1\npost,Q,n2,,,,\n";
const MODEL: &str = r##"<?xml version="1.0"?>
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" xmlns:cim="http://iec.ch/TC57/CIM100#">
<cim:CoordinateSystem rdf:ID="crs"><cim:CoordinateSystem.crsUrn>urn:ogc:def:crs:EPSG::32626</cim:CoordinateSystem.crsUrn></cim:CoordinateSystem>
<cim:EnergySource rdf:ID="S"><cim:EnergySource.nominalVoltage>12470</cim:EnergySource.nominalVoltage><cim:PowerSystemResource.Location rdf:resource="#L"/></cim:EnergySource>
<cim:Location rdf:ID="L"/>
<cim:PositionPoint rdf:ID="P"><cim:PositionPoint.Location rdf:resource="#L"/><cim:PositionPoint.xPosition>300000</cim:PositionPoint.xPosition><cim:PositionPoint.yPosition>4590000</cim:PositionPoint.yPosition></cim:PositionPoint>
<cim:Terminal rdf:ID="T1"><cim:Terminal.ConductingEquipment rdf:resource="#S"/><cim:Terminal.ConnectivityNode rdf:resource="#n1"/></cim:Terminal>
<cim:Terminal rdf:ID="T2"><cim:Terminal.ConductingEquipment rdf:resource="#B"/><cim:Terminal.ConnectivityNode rdf:resource="#n1"/><cim:ACDCTerminal.sequenceNumber>1</cim:ACDCTerminal.sequenceNumber></cim:Terminal>
<cim:Terminal rdf:about="urn:uuid:T3"><cim:Terminal.ConductingEquipment rdf:resource="#B"/><cim:Terminal.ConnectivityNode rdf:resource="#n2"/><cim:ACDCTerminal.sequenceNumber>2</cim:ACDCTerminal.sequenceNumber></cim:Terminal>
<cim:ConnectivityNode rdf:ID="n1"/><cim:ConnectivityNode rdf:ID="n2"/>
<cim:Breaker rdf:ID="B"><cim:Switch.normalOpen>false</cim:Switch.normalOpen><cim:Switch.ratedCurrent>600</cim:Switch.ratedCurrent></cim:Breaker>
</rdf:RDF>
"##;
const MODEL_MAPPING: &str = r#"
[sheet]
name = "Invented"
edition = "1"
bounds = [-31, 41, -29, 43]

[[layer]]
of = "EnergySource"
kind = "source"
[layer.fields]
volts_line_to_line = { column = "EnergySource.nominalVoltage", unit = "V" }

[[layer]]
of = "Breaker"
kind = "switch"
geometry = "none"
[layer.fields]
device = { value = "breaker", because = "invented" }
rated_amps = { column = "Switch.ratedCurrent", unit = "A" }
load_break_amps = { value = 600, because = "invented" }
visible_break = { value = false, because = "invented" }
lockable = { value = true, because = "invented" }
"#;

/// A folder with these files.
fn folder(files: &[(&str, &str)]) -> TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        fs::write(dir.path().join(name), text).expect("a file");
    }
    dir
}

/// What an import comes to: a sheet that holds together by itself, or what is wrong.
fn imported(dir: &Path, from: &[&str]) -> Imported<Plant> {
    let from: Vec<PathBuf> = from.iter().map(|name| dir.join(name)).collect();
    let got = import(&from, Some(&dir.join("m.toml")), &mut ()).expect("the files can be read");
    match &got.sheet {
        None => assert!(got.findings.errors > 0, "refused without a word"),
        Some(plant) => {
            assert_eq!(got.findings.errors, 0);
            let again = mapsheet::read(&canonical_bytes(plant).expect("bytes"));
            assert_eq!(&again.expect("its own canonical form").plant, plant);
        }
    }
    got
}

/// Damages one file of a folder, again and again.
fn target(name: &str, files: &[(&str, &str)], from: &[&str], damage: &str) {
    let dir = folder(files);
    let good = fs::read(dir.path().join(damage)).expect("a good file");
    let whole = imported(dir.path(), from);
    assert!(whole.sheet.is_some(), "{name}: {:#?}", whole.findings);
    let reach = Reach::default();
    bolero::check!().with_iterations(INPUTS).with_type::<Vec<Drawn>>().for_each(|damages| {
        reach.tries();
        fs::write(dir.path().join(damage), damaged(&good, damages)).expect("a file");
        if imported(dir.path(), from).sheet.is_some() {
            reach.takes();
        }
    });
    reach.says(name);
}

const TABLES: [(&str, &str); 3] = [("m.toml", MAPPING), ("nodes.csv", NODES), ("rows.csv", ROWS)];

#[test]
fn mappings() {
    target("mappings", &TABLES, &["nodes.csv", "rows.csv"], "m.toml");
}

#[test]
fn tables_as_text() {
    target("tables as text", &TABLES, &["nodes.csv", "rows.csv"], "rows.csv");
}

#[test]
fn models() {
    let files = [("m.toml", MODEL_MAPPING), ("model.xml", MODEL)];
    target("models", &files, &["model.xml"], "model.xml");
}

/// A GeoPackage of one feeder and one cabinet, whose geometry is damaged.
#[test]
fn geometries_of_a_geopackage() {
    let mapping = "[sheet]\nname = \"a\"\nedition = \"b\"\nbounds = [-180, -90, 180, 90]\n\
        [[layer]]\nof = \"pads\"\nkind = \"pad\"\n[layer.fields]\nid = \"name\"\n\
        tags = \"tag\"\nposition_accuracy_m = { value = 3, because = \"invented\" }\n\
        [[layer]]\nof = \"feeders\"\nkind = \"source\"\nlon = \"x\"\nlat = \"x\"\nsystem = \"EPSG:4326\"\n\
        [layer.fields]\nid = \"name\"\nnode = \"name\"\nvolts_line_to_line = { column = \"v\", unit = \"V\" }\n\
        [[layer]]\nof = \"posts\"\nkind = \"pedestal\"\nlon = \"x\"\nlat = \"x\"\nsystem = \"EPSG:4326\"\n\
        fields = { id = \"name\", node = \"node\" }\n";
    let dir = folder(&[("m.toml", mapping)]);
    let path = dir.path().join("town.gpkg");
    let connection = Connection::open(&path).expect("a file");
    connection
        .execute_batch(
            "PRAGMA application_id = 0x47504B47; 
             CREATE TABLE gpkg_spatial_ref_sys (srs_id INTEGER PRIMARY KEY, organization TEXT,
                organization_coordsys_id INTEGER);
             INSERT INTO gpkg_spatial_ref_sys VALUES (32626, 'EPSG', 32626);
             CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT);
             INSERT INTO gpkg_contents VALUES ('pads', 'features'), ('feeders', 'attributes'),
                ('posts', 'attributes');
             CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, srs_id INTEGER);
             INSERT INTO gpkg_geometry_columns VALUES ('pads', 'geom', 32626);
             CREATE TABLE pads (fid INTEGER PRIMARY KEY, geom BLOB, name TEXT, tag TEXT);
             INSERT INTO pads VALUES (1, NULL, 'P1', 'T1');
             CREATE TABLE feeders (fid INTEGER PRIMARY KEY, name TEXT, v REAL, x REAL);
             INSERT INTO feeders VALUES (1, 'F', 12470, 1);
             CREATE TABLE posts (fid INTEGER PRIMARY KEY, name TEXT, node TEXT, x REAL);
             INSERT INTO posts VALUES (1, 'Q', 'F', 1);",
        )
        .expect("a GeoPackage");
    let mut good = vec![b'G', b'P', 0, 0b11];
    good.extend(32626_i32.to_le_bytes());
    good.extend([3e5_f64, 3e5, 4.59e6, 4.59e6].into_iter().flat_map(f64::to_le_bytes));
    good.extend([1, 1, 0, 0, 0]);
    good.extend([3e5_f64, 4.59e6].into_iter().flat_map(f64::to_le_bytes));
    drop(connection);
    let put = |bytes: &[u8]| {
        // Opened anew each time: a connection does not outlive a panic, which the fuzzer catches.
        let connection = Connection::open(&path).expect("the same file");
        connection.pragma_update(None, "synchronous", false).expect("a setting");
        connection.execute("UPDATE pads SET geom = ?1", [bytes]).expect("a row");
        drop(connection);
        imported(dir.path(), &["town.gpkg"]).sheet.is_some()
    };
    assert!(put(&good), "a good geometry is taken");
    let reach = Reach::default();
    bolero::check!().with_iterations(INPUTS).with_type::<Vec<Drawn>>().for_each(|damages| {
        reach.tries();
        if put(&damaged(&good, damages)) {
            reach.takes();
        }
    });
    reach.says("geometries of a GeoPackage");
}
