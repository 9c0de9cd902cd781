//! Tables as text: a file of nodes and files of what is between them. All of it is invented.

use super::{Folder, check, lines};
use coldlug_core::mapsheet::to_geojson;

const MAPPING: &str = r#"
[sheet]
name = "Invented row"
edition = "2026-03"
bounds = [-30.3, 41.5, -30.0, 41.7]
invented = true

[[places]]
of = "nodes"
node = "name"
lon = "x"
lat = "y"
system = "EPSG:4326"

[[layer]]
of = "feeders"
kind = "source"
geometry = "node"
[layer.fields]
id = "name"
node = "at"
volts_line_to_line = { column = "kv", unit = "kV" }

[[layer]]
of = "edges"
kind = "cable"
only = { type = "C" }
geometry = "ends"
[layer.fields]
id = { column = "id", before = "C-" }
from = "from"
to = "to"
kv_class = { value = 15, because = "invented: one class was ever bought" }
metal = { column = "metal", codes = { 1 = "al", 2 = "cu" } }
size = "size"
length_m = { column = "feet", unit = "ft" }

[[layer]]
of = "edges"
kind = "switch"
only = { type = ["F", "E"] }
geometry = "none"
[layer.fields]
id = { column = "id", before = "S-" }
from = "from"
to = "to"
device = { column = "type", codes = { F = "cut-out", E = "elbow" } }
normally = { column = "open", codes = { y = "open", n = "closed" } }
rated_amps = { column = "amps", unit = "A" }
load_break_amps = { value = 0, because = "invented: nothing here breaks load" }
visible_break = { value = true, because = "invented" }
lockable = { value = true, because = "invented" }

[[layer]]
of = "posts"
kind = "pedestal"
geometry = "node"
[layer.fields]
id = { columns = ["street", "no"], between = "-" }
node = "at"
"#;

const NODES: &str = "name,x,y\nsrc,-30.2,41.6\na,-30.19,41.6\nb,-30.18,41.6\n";
const FEEDERS: &str = "name,at,kv\nF1,src,12.47\n";
const EDGES: &str = "id,type,from,to,metal,size,feet,open,amps\n\
    1,F,src,a,,,,n,100\n\
    2,C,a,b,1,1/0,393.700787401575,,\n\
    3,X,a,b,,,,,\n";
const POSTS: &str = "street,no,at\nQuay,1,b\n";
const FILES: [&str; 4] = ["nodes.csv", "feeders.csv", "edges.csv", "posts.csv"];

fn folder() -> Folder {
    Folder::new()
        .with("m.toml", MAPPING)
        .with("nodes.csv", NODES)
        .with("feeders.csv", FEEDERS)
        .with("edges.csv", EDGES)
        .with("posts.csv", POSTS)
}

#[test]
fn nodes_and_edges_make_a_sheet_and_all_that_is_stated_is_said() {
    let imported = folder().import(&FILES, Some("m.toml"));
    let said = lines(&imported);
    let plant = imported.sheet.unwrap_or_else(|| panic!("{said:#?}"));
    assert_eq!(
        said,
        [
            "import-value-stated edges.csv edges",
            "import-rows-left edges.csv edges",
            "import-drawn-straight edges.csv edges",
            "import-value-stated edges.csv edges",
            "import-value-stated edges.csv edges",
            "import-value-stated edges.csv edges",
            "import-rows-left edges.csv edges",
        ]
    );
    let sheet = to_geojson(&plant).to_string();
    for part in [
        r#""coordinates":[[-30.19,41.6],[-30.18,41.6]],"type":"LineString""#,
        r#""id":"C-2""#,
        r#""metal":"al""#,
        r#""id":"Quay-1""#,
        r#""volts_line_to_line":12470.0"#,
    ] {
        assert!(sheet.contains(part), "no {part} in {sheet}");
    }
    assert_eq!(plant.cables.len() + plant.switches.len(), 2);
}

#[test]
fn each_row_that_is_wrong_is_named_by_its_line() {
    let wrong = folder()
        .with(
            "nodes.csv",
            "name,x,y\nsrc,-30.2,41.6\na,-30.19,forty\nb,-30.18,41.6\nb,-30.17,41.6\n,1,2\n",
        )
        .with(
            "edges.csv",
            "id,type,from,to,metal,size,feet,open,amps\n\
             1,F,src,a,,,,perhaps,100\n\
             2,C,a,b,3,1/0,393.7,,\n\
             \"4\n\",F,src\n\
             5,C,src,c,1,1/0,\"1,200\",,\n",
        );
    let imported = wrong.import(&FILES, Some("m.toml"));
    for line in [
        "import-cell-wrong nodes.csv nodes line 3 y",
        "import-place-twice nodes.csv nodes line 5",
        "import-cell-wrong nodes.csv nodes line 6 name",
        "import-code-unknown edges.csv edges line 2 open",
        "import-code-unknown edges.csv edges line 3 metal",
        "import-row-broken edges.csv edges line 4",
        "import-cell-wrong edges.csv edges line 6 feet",
        "import-place-missing edges.csv edges line 3",
        "import-place-missing edges.csv edges line 6",
    ] {
        check(&imported, line);
    }
    assert_eq!(imported.sheet, None);
}

#[test]
fn everything_that_is_wrong_with_a_mapping_is_named_in_one_go() {
    let check_mapping = |from: &str, to: &str, line: &str| {
        let text = MAPPING.replacen(from, to, 1);
        assert_ne!(text, MAPPING, "{from} is not there");
        check(&folder().with("m.toml", &text).import(&FILES, Some("m.toml")), line);
    };
    let because = ", because = \"invented: one class was ever bought\"";
    check_mapping(because, "", "import-filling-wrong m.toml layer 2.fields.kv_class");
    check_mapping(
        "value = 15",
        "value = \"15\"",
        "import-filling-wrong m.toml layer 2.fields.kv_class",
    );
    check_mapping(", unit = \"ft\"", "", "import-unit-wrong m.toml layer 2.fields.length_m.unit");
    check_mapping("\"ft\"", "\"V\"", "import-unit-wrong m.toml layer 2.fields.length_m.unit");
    check_mapping("size = \"size\"", "", "import-field-unmapped m.toml edges layer 2.fields");
    check_mapping("size = ", "seize = ", "import-field-unknown m.toml layer 2.fields.seize");
    check_mapping("\"cable\"", "\"rope\"", "import-kind-unknown m.toml layer 2.kind");
    check_mapping("\"ends\"", "\"end\"", "import-filling-wrong m.toml layer 2.geometry");
    check_mapping("EPSG:4326", "EPSG:4267", "import-system-unknown m.toml nodes places 1");
    check_mapping("system = \"EPSG:4326\"", "", "import-system-missing m.toml nodes places 1");
    check_mapping("of = \"posts\"", "of = \"nodes\"", "import-layer-unmapped posts.csv posts");
    check_mapping("[sheet]", "[sheet", "import-mapping-broken m.toml line 2");
    check_mapping("bounds = [-30.3", "bounds = [30.3", "not-a-map-sheet m.toml sheet bounds");
    check_mapping("lon = \"x\"\n", "", "import-filling-wrong m.toml places 1.lon");
    check_mapping("\"metal\"", "\"metall\"", "import-column-missing m.toml edges layer 2");
    check_mapping(
        "only = { type = \"C\" }",
        "only = 3",
        "import-filling-wrong m.toml layer 2.only",
    );
}

#[test]
fn files_that_do_not_go_together_are_named() {
    let folder = folder().with("a.txt", "what").with("own.geojson", r#"{"coldlug_map_sheet": {}}"#);
    check(&folder.import(&["a.txt"], Some("m.toml")), "import-file-unknown a.txt");
    let mixed = folder.import(&["nodes.csv", "own.geojson"], Some("m.toml"));
    check(&mixed, "import-files-mixed own.geojson");
    check(&folder.import(&["own.geojson"], Some("m.toml")), "import-files-mixed own.geojson");
    check(
        &folder.import(&["nodes.csv", "nodes.csv"], Some("m.toml")),
        "import-layer-twice nodes.csv nodes",
    );
    check(&folder.import(&["own.geojson"], None), "unknown-format own.geojson format");
}
