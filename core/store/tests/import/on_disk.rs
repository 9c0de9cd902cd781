//! A sheet that lies on disk against the same in memory: the bytes, the hash and the findings, on
//! made-up sheets whole and damaged.

use coldlug_core::mapsheet::{self, Found, canonical_bytes, to_geojson};
use coldlug_store::import::{Doing, OnDisk, Progress, Watch, WriteError, import, import_on_disk};
use proptest::prelude::*;
use serde_json::{Value, json};

use super::Folder;
use super::gpkg::{Form, write};
use super::tables::{Tables, mapping, sheet, tables};

/// Everything that is told.
#[derive(Debug, Default)]
struct Told {
    found: Vec<Found>,
    doing: Vec<Doing>,
}

impl Watch for Told {
    fn progress(&mut self, at: &Progress<'_>) {
        assert!(at.done <= at.size || at.doing == Doing::Checking, "{at:?}");
        if self.doing.last() != Some(&at.doing) {
            self.doing.push(at.doing);
        }
    }

    fn found(&mut self, found: &Found) {
        self.found.push(found.clone());
    }
}

fn written(sheet: &OnDisk) -> (Vec<u8>, mapsheet::Written) {
    let mut bytes = Vec::new();
    let written = sheet.write(&mut (), |piece| {
        bytes.extend_from_slice(piece);
        Ok(())
    });
    (bytes, written.unwrap())
}

/// Imports onto disk and into memory, and checks that nothing differs; whether it was taken.
fn same(folder: &Folder, from: &str, mapping: Option<&str>) -> bool {
    let from = [folder.path(from)];
    let mapping = mapping.map(|name| folder.path(name));
    let (mut here, mut there) = (Told::default(), Told::default());
    let memory = import(&from, mapping.as_deref(), &mut here).unwrap();
    let disk = import_on_disk(&from, mapping.as_deref(), &mut there).unwrap();
    assert_eq!(here.found, there.found);
    assert_eq!((memory.rows, &memory.findings), (disk.rows, &disk.findings));
    assert_eq!(memory.sheet.is_some(), disk.sheet.is_some());
    let Some((plant, sheet)) = memory.sheet.zip(disk.sheet) else { return false };
    let (bytes, written) = written(&sheet);
    assert_eq!(bytes, canonical_bytes(&plant).unwrap());
    assert_eq!(written.hash, mapsheet::hash(&plant).unwrap());
    let kinds = to_geojson(&plant)["features"].as_array().unwrap().len();
    assert_eq!(written.counts.iter().sum::<usize>(), kinds);
    assert_eq!(mapsheet::read(&bytes).unwrap().plant, plant);
    true
}

/// Where a damage is, and what it is.
type Damage = (u8, usize, usize, usize);

const FIELDS: [&str; 16] = [
    "id",
    "kind",
    "from",
    "to",
    "node",
    "primary",
    "secondary",
    "pad",
    "position",
    "tags",
    "meters",
    "system",
    "legs",
    "normally",
    "contains",
    "device",
];

/// Something a field does not hold, or holds elsewhere.
fn odd(which: usize) -> Value {
    let all = [
        Value::Null,
        json!(7),
        json!(""),
        json!("V001:load"),
        json!("208y/120"),
        json!("120/240-delta-4w"),
        json!(["L1", "L3"]),
        json!([]),
        json!("open"),
        json!("a\u{0}b"),
        json!("feature-3"),
        json!("lug-pair"),
        json!(["x", "X "]),
        json!("nowhere"),
        json!("set"),
    ];
    all[which % all.len()].clone()
}

fn damage(sheet: &mut Value, (what, at, other, field): Damage) {
    let all = sheet["features"].as_array_mut().unwrap();
    if all.is_empty() {
        return;
    }
    let (at, other, name) = (at % all.len(), other % all.len(), FIELDS[field % FIELDS.len()]);
    match what % 6 {
        0 => drop(all.remove(at)),
        1 => {
            let twin = all[at].clone();
            all.insert(other, twin);
        }
        2 => {
            let moved = all.remove(at);
            all.insert(other.min(all.len()), moved);
        }
        3 => {
            let value = all[other]["properties"][name].clone();
            all[at]["properties"][name] = value;
        }
        4 => all[at]["properties"][name] = odd(other),
        _ => drop(all[at]["properties"].as_object_mut().unwrap().remove(name)),
    }
}

fn damage_rows(tables: &mut Tables, (what, at, other, field): Damage) {
    let table = field % tables.len();
    let rows = tables.values_mut().nth(table).unwrap();
    if rows.is_empty() {
        return;
    }
    let (at, other) = (at % rows.len(), other % rows.len());
    match what % 3 {
        0 => drop(rows.remove(at)),
        1 => {
            let twin = rows[at].clone();
            rows.insert(other, twin);
        }
        _ => {
            let values = &rows[other].values;
            let (name, value) = values.iter().nth(field % values.len()).unwrap();
            let (name, value) = (name.clone(), value.clone());
            rows[at].values.insert(name, value);
        }
    }
}

fn damages() -> impl Strategy<Value = Vec<Damage>> {
    proptest::collection::vec(any::<Damage>(), 0..6)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_sheet_of_ours_is_the_same_on_disk(seed in 0_u64..100, damages in damages()) {
        let mut made = sheet(seed);
        for one in damages {
            damage(&mut made, one);
        }
        let folder = Folder::new().with("own.geojson", &made.to_string());
        same(&folder, "own.geojson", None);
    }

    #[test]
    fn tables_of_others_are_the_same_on_disk(seed in 0_u64..100, damages in damages()) {
        let made = sheet(seed);
        let mut rows = tables(&made);
        let whole = damages.is_empty();
        for one in damages {
            damage_rows(&mut rows, one);
        }
        let folder = Folder::new().with("m.toml", &mapping(&made, |_| String::new()));
        let form = Form { little: (true, true), envelope: 0, tall: false, system: 4326 };
        write(&folder.path("town.gpkg"), &rows, form, &|place| place);
        let taken = same(&folder, "town.gpkg", Some("m.toml"));
        prop_assert!(taken || !whole);
    }
}

#[test]
fn a_sheet_that_is_not_taken_says_so() {
    let folder = Folder::new().with("own.geojson", &sheet(1).to_string());
    let imported = import_on_disk(&[folder.path("own.geojson")], None, &mut ()).unwrap();
    let full = imported.sheet.unwrap().write(&mut (), |_| Err(std::io::Error::other("full")));
    assert!(matches!(full, Err(WriteError::NotTaken(why)) if why.to_string() == "full"));
}
