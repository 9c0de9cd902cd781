//! GeoPackages.

use coldlug_core::mapsheet::{self, to_geojson};
use coldlug_core::plant::Plant;
use proj4rs::{Proj, transform::transform};
use proptest::prelude::*;
use serde_json::Value;

use super::gpkg::{Form, begin, write};
use super::tables::{mapping, sheet, tables};
use super::{Folder, check, lines};

const PLAIN: Form = Form { little: (true, true), envelope: 0, tall: false, system: 4326 };

fn as_it_is(place: [f64; 2]) -> [f64; 2] {
    place
}

/// The sheet as core reads it.
fn plant(sheet: &Value) -> Plant {
    mapsheet::read(sheet.to_string().as_bytes()).unwrap().plant
}

/// With what a pad contains in one order.
fn sorted(mut sheet: Value) -> Value {
    for feature in sheet["features"].as_array_mut().unwrap() {
        if let Some(contains) = feature["properties"].get_mut("contains") {
            contains.as_array_mut().unwrap().sort_by_key(ToString::to_string);
        }
    }
    sheet
}

/// Checks that two sheets are the same but for places, which are this many degrees apart at most.
fn same(one: &Value, other: &Value, degrees: f64) {
    match (one, other) {
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{one} {other}");
            a.iter().zip(b).for_each(|(a, b)| same(a, b, degrees));
        }
        (Value::Object(a), Value::Object(b)) => {
            assert!(a.keys().eq(b.keys()), "{one} {other}");
            a.values().zip(b.values()).for_each(|(a, b)| same(a, b, degrees));
        }
        (Value::Number(a), Value::Number(b)) if degrees > 0.0 => {
            let apart = (a.as_f64().unwrap() - b.as_f64().unwrap()).abs();
            assert!(apart <= degrees, "{a} {b}");
        }
        _ => assert_eq!(one, other),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A sheet taken apart into a GeoPackage of any byte order, envelope and dimension comes back as
    /// it was; written, it is read as the same.
    #[test]
    fn what_goes_out_comes_in(
        seed in 0_u64..1000,
        little in any::<(bool, bool)>(),
        envelope in 0_u8..5,
        tall in any::<bool>(),
    ) {
        let made = sheet(seed);
        let form = Form { little, envelope, tall, system: 4326 };
        let folder = Folder::new().with("m.toml", &mapping(&made, |_| String::new()));
        write(&folder.path("town.gpkg"), &tables(&made), form, &as_it_is);
        let imported = folder.import(&["town.gpkg"], Some("m.toml"));
        let found = lines(&imported);
        let got = imported.sheet.unwrap_or_else(|| panic!("{found:#?}"));
        let (got_sheet, wanted) = (sorted(to_geojson(&got)), sorted(to_geojson(&plant(&made))));
        same(&got_sheet, &wanted, 0.0);
        prop_assert_eq!(found.iter().any(|line| line.starts_with("import-heights-left")), tall);
        let bytes = mapsheet::canonical_bytes(&got).unwrap();
        let again = mapsheet::read(&bytes).unwrap();
        prop_assert_eq!(&again.plant, &got);
        // And through the import itself, which reads a sheet of any size.
        std::fs::write(folder.path("own.geojson"), &bytes).unwrap();
        prop_assert_eq!(folder.import(&["own.geojson"], None).sheet.unwrap(), got);
    }

    /// The same through the coordinates of a projection: a tenth of a millimetre is what is kept.
    #[test]
    fn projected_places_come_back(seed in 0_u64..1000, which in 0_usize..4) {
        // UTM on two datums, Lambert's cone in survey feet, Mercator's of the web.
        let (system, description) = [
            (32626, "+proj=utm +zone=26 +datum=WGS84 +units=m +no_defs"),
            (25829, "+proj=utm +zone=29 +ellps=GRS80 +towgs84=0,0,0,0,0,0,0 +units=m +no_defs"),
            (2249, "+proj=lcc +lat_1=42.68333333333333 +lat_2=41.71666666666667 +lat_0=41 \
                +lon_0=-71.5 +x_0=200000.0001016002 +y_0=750000 +datum=NAD83 +units=us-ft +no_defs"),
            (3857, "+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m \
                +nadgrids=@null +no_defs"),
        ][which];
        let from = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs").unwrap();
        let to = Proj::from_proj_string(description).unwrap();
        let turn = |place: [f64; 2]| {
            let mut turned = (place[0].to_radians(), place[1].to_radians(), 0.0);
            transform(&from, &to, &mut turned).unwrap();
            [turned.0, turned.1]
        };
        let made = sheet(seed);
        let folder = Folder::new().with("m.toml", &mapping(&made, |_| String::new()));
        write(&folder.path("town.gpkg"), &tables(&made), Form { system, ..PLAIN }, &turn);
        let imported = folder.import(&["town.gpkg"], Some("m.toml"));
        let found = lines(&imported);
        let got = imported.sheet.unwrap_or_else(|| panic!("{system}: {found:#?}"));
        same(&sorted(to_geojson(&got)), &sorted(to_geojson(&plant(&made))), 2e-9);
    }
}

#[test]
fn what_is_wrong_is_named_by_file_layer_and_row() {
    let made = sheet(1);
    let map = mapping(&made, |_| String::new());
    let folder = Folder::new().with("m.toml", &map);
    write(&folder.path("town.gpkg"), &tables(&made), PLAIN, &as_it_is);
    let damage = rusqlite::Connection::open(folder.path("town.gpkg")).unwrap();
    damage
        .execute_batch(
            "UPDATE services SET geom = x'00' WHERE fid = 1;
             UPDATE services SET geom = (SELECT geom FROM cables LIMIT 1) WHERE fid = 2;
             UPDATE switchs SET RATED_AMPS = '200 A' WHERE fid = 1;
             UPDATE switchs SET LOCKABLE = 'maybe' WHERE fid = 2;
             UPDATE transformers SET PERCENT_Z = NULL WHERE fid = 1;
             UPDATE transformers SET KVA = -5 WHERE fid = 1;
             UPDATE sets SET TO = 'nowhere' WHERE fid = 1;"
                .replace("SET TO", "SET \"TO\"")
                .as_str(),
        )
        .unwrap();
    drop(damage);
    let imported = folder.import(&["town.gpkg"], Some("m.toml"));
    for line in [
        "import-geometry-broken town.gpkg services fid 1",
        "bad-geometry town.gpkg services fid 2 geometry",
        "import-cell-wrong town.gpkg switchs fid 1 RATED_AMPS",
        "import-cell-wrong town.gpkg switchs fid 2 LOCKABLE",
        "missing-field town.gpkg transformers fid 1 PERCENT_Z percent_z",
        "out-of-range town.gpkg transformers fid 1 KVA kva",
        "dangling-node town.gpkg sets fid 1 TO to",
    ] {
        check(&imported, line);
    }
    assert_eq!(imported.sheet, None);
    let doubled = lines(&imported).into_iter().filter(|line| line.contains("RATED_AMPS"));
    assert_eq!(doubled.count(), 1, "what could not be read is not missing too");
}

#[test]
fn a_mapping_that_does_not_go_with_the_file_is_named_before_any_row() {
    let made = sheet(1);
    let map = mapping(&made, |kind| match kind {
        "cable" => "system = \"EPSG:4267\"".to_owned(),
        _ => String::new(),
    });
    let map = map.replace("of = \"pads\"", "of = \"cabinets\"").replace("\"NODE\"", "\"KNOT\"");
    let folder = Folder::new().with("m.toml", &map);
    write(&folder.path("town.gpkg"), &tables(&made), PLAIN, &as_it_is);
    let imported = folder.import(&["town.gpkg"], Some("m.toml"));
    for line in [
        "import-layer-missing m.toml cabinets layer 5",
        "import-layer-unmapped town.gpkg pads",
        "import-column-missing m.toml services layer 8",
        "import-system-unknown m.toml cables layer 3",
    ] {
        check(&imported, line);
    }
    assert_eq!(imported.rows, 0);
    // A reference system that is stated as undefined is no system.
    let folder = Folder::new().with("m.toml", &mapping(&made, |_| String::new()));
    write(&folder.path("town.gpkg"), &tables(&made), PLAIN, &as_it_is);
    let undefined = rusqlite::Connection::open(folder.path("town.gpkg")).unwrap();
    undefined.execute("UPDATE gpkg_geometry_columns SET srs_id = -1", []).unwrap();
    drop(undefined);
    let imported = folder.import(&["town.gpkg"], Some("m.toml"));
    check(&imported, "import-system-missing m.toml sources layer 1");
}

#[test]
fn a_database_that_is_no_geopackage_is_refused() {
    let folder = Folder::new().with("m.toml", &mapping(&sheet(1), |_| String::new()));
    drop(begin(&folder.path("a.gpkg"), &[]));
    let plain = rusqlite::Connection::open(folder.path("plain.gpkg")).unwrap();
    plain.execute_batch("CREATE TABLE a (b); PRAGMA user_version = 1;").unwrap();
    drop(plain);
    check(&folder.import(&["plain.gpkg"], Some("m.toml")), "import-file-broken plain.gpkg");
    check(&folder.import(&["a.gpkg"], Some("m.toml")), "import-layer-missing m.toml pads layer 5");
    check(&folder.import(&["a.gpkg"], None), "import-mapping-needed a.gpkg");
    let cut = std::fs::read(folder.path("plain.gpkg")).unwrap();
    std::fs::write(folder.path("cut.gpkg"), &cut[..50]).unwrap();
    check(&folder.import(&["cut.gpkg"], Some("m.toml")), "import-file-broken cut.gpkg");
}

/// A view could ask anything of whoever opens the file; a table of that name with quotes in it is
/// only a table.
#[test]
fn views_are_not_asked_and_odd_names_are_names() {
    let folder = Folder::new();
    let odd = begin(&folder.path("odd.gpkg"), &[]);
    odd.execute_batch(
        "CREATE TABLE \"a\"\"; DROP TABLE gpkg_contents; --\" (fid INTEGER PRIMARY KEY, N TEXT);
         CREATE VIEW v AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)
            SELECT i AS N FROM n;
         INSERT INTO gpkg_contents (table_name, data_type) VALUES
            ('a\"; DROP TABLE gpkg_contents; --', 'attributes'), ('v', 'attributes');",
    )
    .unwrap();
    drop(odd);
    let map = "[sheet]\nname = \"a\"\nedition = \"b\"\nbounds = [0, 0, 1, 1]\n[[layer]]\n\
        of = 'a\"; DROP TABLE gpkg_contents; --'\nkind = \"pedestal\"\ngeometry = \"none\"\n\
        fields = { id = \"N\", node = \"N\" }\n";
    let folder = folder.with("m.toml", map);
    let imported = folder.import(&["odd.gpkg"], Some("m.toml"));
    assert_eq!(lines(&imported), ["no-source features"]);
}
