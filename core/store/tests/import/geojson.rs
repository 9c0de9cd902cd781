//! GeoJSON of others, and map sheets of ours.

use serde_json::{Value, json};

use super::tables::{columns, sheet, tables};
use super::{Folder, check, lines};
use coldlug_core::mapsheet::{self, MOST_FEATURES};

const MAPPING: &str = r#"
[sheet]
name = "Invented"
edition = "1"
bounds = [-30.3, 41.5, -30.0, 41.7]

[[layer]]
of = "posts"
kind = "pedestal"
only = { what = "post" }
[layer.fields]
id = "name"
node = "node"
"#;

fn post(name: &str, geometry: &Value) -> Value {
    json!({"type": "Feature", "geometry": geometry,
        "properties": {"what": "post", "name": name, "node": name}})
}

fn collection(features: &[Value]) -> String {
    json!({"type": "FeatureCollection", "features": features}).to_string()
}

#[test]
fn what_is_drawn_is_one_point_or_one_line() {
    let point = json!({"type": "Point", "coordinates": [-30.2, 41.6, 12.0]});
    let features = [
        post("a", &point),
        post("b", &json!({"type": "MultiPoint", "coordinates": [[-30.2, 41.6]]})),
        post("c", &json!({"type": "Polygon", "coordinates": []})),
        post("d", &json!({"type": "MultiPoint", "coordinates": [[1, 2], [3, 4]]})),
        post("e", &json!({"type": "Point", "coordinates": ["x", 4]})),
        json!({"type": "Feature", "geometry": point, "properties": {"what": "tree"}}),
        json!({"type": "Tree"}),
        json!({"type": "Feature", "geometry": point, "properties": {"what": "post", "name": 12, "node": {}}}),
    ];
    let folder = Folder::new().with("m.toml", MAPPING).with("posts.json", &collection(&features));
    let imported = folder.import(&["posts.json"], Some("m.toml"));
    for line in [
        "import-geometry-kind posts.json posts feature 3",
        "import-geometry-kind posts.json posts feature 4",
        "import-geometry-broken posts.json posts feature 5",
        "import-row-broken posts.json posts feature 7",
        "import-cell-wrong posts.json posts feature 8 node",
        "import-heights-left posts.json posts",
        "import-rows-left posts.json posts",
        "dangling-node posts.json posts feature 1 node node",
    ] {
        check(&imported, line);
    }
    assert_eq!(imported.rows, 8);
}

#[test]
fn a_file_that_names_its_own_system_needs_it_in_the_mapping() {
    let text = collection(&[]).replacen('{', r#"{"crs": {"type": "name"}, "#, 1);
    let folder = Folder::new().with("m.toml", MAPPING).with("posts.json", &text);
    check(
        &folder.import(&["posts.json"], Some("m.toml")),
        "import-system-missing m.toml posts layer 1",
    );
    let stated = MAPPING.replace("only =", "system = \"EPSG:32626\"\nonly =");
    let folder = folder.with("m.toml", &stated);
    assert_eq!(lines(&folder.import(&["posts.json"], Some("m.toml"))), ["no-source features"]);
}

#[test]
fn a_file_that_is_cut_off_or_says_a_thing_twice_is_refused_whole() {
    let good = collection(&[post("a", &json!({"type": "Point", "coordinates": [-30.2, 41.6]}))]);
    let twice = good.replacen("\"name\"", "\"what\": \"post\", \"name\"", 1);
    for text in [&good[..good.len() - 5], &twice, "{\"type\": \"Feature\"}", "{}"] {
        let folder = Folder::new().with("m.toml", MAPPING).with("posts.json", text);
        let imported = folder.import(&["posts.json"], Some("m.toml"));
        let broken =
            lines(&imported).iter().any(|line| line.starts_with("import-file-broken posts.json"));
        assert!(broken, "{text}: {:?}", lines(&imported));
        assert_eq!(imported.sheet, None);
    }
}

/// Properties that hold a feature of a sheet field by field, as GeoJSON has types for all of them.
#[test]
fn a_column_that_never_holds_anything_is_said() {
    let made = sheet(3);
    let taken_apart = tables(&made);
    let features: Vec<Value> = taken_apart["service"]
        .iter()
        .map(|row| json!({"type": "Feature", "geometry": row.geometry, "properties": row.values}))
        .collect();
    assert!(columns("service").contains(&"CRITICAL".to_owned()));
    let map = "[sheet]\nname = \"a\"\nedition = \"b\"\nbounds = [-180, -90, 180, 90]\n[[layer]]\n\
        of = \"s\"\nkind = \"service\"\n[layer.fields]\nid = \"ID\"\nnode = \"NODE\"\n\
        premises = \"PREMISES\"\nmeters = { column = \"METERS\", split = \";\" }\nsystem = \"SYSTEM\"\n\
        meter_base_amps = { column = \"METER_BASE_AMPS\", unit = \"A\" }\nmetering = \"COUNTING\"\n";
    let folder = Folder::new().with("m.toml", map).with("s.geojson", &collection(&features));
    let imported = folder.import(&["s.geojson"], Some("m.toml"));
    check(&imported, "import-column-empty s.geojson s COUNTING");
    check(&imported, "dangling-node s.geojson s feature 1 NODE node");
}

/// A sheet beyond what a phone takes is still imported: features are read one at a time.
#[test]
fn a_sheet_of_ours_may_be_larger_than_what_is_read_in_one_go() {
    let pads: Vec<Value> = (0..MOST_FEATURES + 2)
        .map(|n| {
            json!({"type": "Feature", "geometry": {"type": "Point", "coordinates": [0.5, 0.5]},
                "properties": {"kind": "pad", "id": format!("P{n}"), "tags": [],
                "position_accuracy_m": 3, "contains": []}})
        })
        .chain([
            json!({"type": "Feature", "geometry": {"type": "Point", "coordinates": [0.5, 0.5]},
            "properties": {"kind": "source", "id": "S", "node": "s", "volts_line_to_line": 12470}}),
        ])
        .collect();
    let text = json!({"type": "FeatureCollection", "features": pads, "coldlug_map_sheet":
        {"format": 1, "name": "a", "edition": "b", "bounds": [0, 0, 1, 1]}})
    .to_string();
    assert!(mapsheet::read(text.as_bytes()).is_err());
    let folder = Folder::new().with("large.geojson", &text);
    let imported = folder.import(&["large.geojson"], None);
    assert_eq!(imported.rows, MOST_FEATURES as u64 + 3);
    // The source feeds nothing.
    check(&imported, "dangling-node large.geojson feature 200003 node");
}
