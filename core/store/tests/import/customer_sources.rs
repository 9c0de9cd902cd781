//! A customer's own source is never lost for a column that stands empty. All of it is invented.

use super::{Folder, lines};

const MAPPING: &str = r#"
[sheet]
name = "Invented row"
edition = "2026-03"
bounds = [-30.3, 41.5, -30.0, 41.7]
invented = true

[[layer]]
of = "services"
kind = "service"
lon = "X"
lat = "Y"
system = "EPSG:4326"
[layer.fields]
id = "ID"
node = "ID"
premises = "PREMISES"
meters = "METER"
meter_base_amps = { value = 200, because = "invented" }
system = { value = "120/240-split-phase", because = "invented" }
customer_sources = [
  { type = { column = "TYPE", codes = { GENERATOR = "generator", PV = "pv" } }, kw = { column = "KW", unit = "kW" }, transfer_switch = "TRANSFER", switch_withstand_amps = { column = "STANDS", unit = "A" } },
]
"#;

/// What is found of sources, in a file with these columns TYPE, KW, TRANSFER, STANDS of one row.
fn found(row: &str) -> Vec<String> {
    let text =
        format!("ID,PREMISES,METER,X,Y,TYPE,KW,TRANSFER,STANDS\nV1,1 Quay,M1,-30.2,41.6,{row}\n");
    let folder = Folder::new().with("m.toml", MAPPING).with("services.csv", &text);
    let of_source = |line: &String| line.starts_with("import-") && !line.contains("-value-stated");
    let all = lines(&folder.import(&["services.csv"], Some("m.toml")));
    all.into_iter().filter(of_source).filter(|line| !line.contains("column-empty")).collect()
}

fn half(columns: &[&str]) -> Vec<String> {
    let line = |column| format!("import-object-half services.csv services line 2 {column}");
    columns.iter().map(line).collect()
}

#[test]
fn a_source_of_which_something_is_not_known_is_told_by_row_and_column() {
    assert_eq!(found("GENERATOR,,1,"), half(&["KW"]));
    assert_eq!(found("GENERATOR,,,"), half(&["KW", "TRANSFER"]));
    assert_eq!(found(",9,1,"), half(&["TYPE"]));
    assert_eq!(found(",,1,"), half(&["KW", "TYPE"]));
    assert_eq!(found(",,,10000"), half(&["KW", "TRANSFER", "TYPE"]));
    let wrong = "import-cell-wrong services.csv services line 2 KW";
    assert_eq!(found("GENERATOR,nine,1,"), [wrong]);
    let unknown = "import-code-unknown services.csv services line 2 TYPE";
    assert_eq!(found("WINDMILL,9,1,"), [unknown]);
}

#[test]
fn a_whole_source_and_none_are_both_in_order() {
    for row in ["GENERATOR,9,1,", "GENERATOR,9,0,10000", ",,,", ",,0,", ",,false,"] {
        assert_eq!(found(row), Vec::<String>::new(), "{row}");
    }
}
