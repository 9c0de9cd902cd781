//! The converted map sheet itself, before the program sees it.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::OnceLock;

use coldlug_tests::{places, smart_ds};
use serde_json::Value;

use super::convert;
use super::shapes::{id, of_kind, text};

/// The seed of what is invented.
const SEED: u64 = 1;

/// The map sheet.
pub(crate) fn sheet() -> &'static Value {
    static SHEET: OnceLock<Value> = OnceLock::new();
    SHEET.get_or_init(|| convert::map_sheet(&smart_ds::dir(), SEED))
}

/// The map sheet as a file.
pub(crate) fn path() -> &'static PathBuf {
    static PATH: OnceLock<PathBuf> = OnceLock::new();
    PATH.get_or_init(|| {
        let dir = places::scratch().join("open-data");
        std::fs::create_dir_all(&dir).expect("a folder below the build folder");
        let path = dir.join("smart-ds.geojson");
        std::fs::write(&path, serde_json::to_vec_pretty(sheet()).expect("JSON")).expect("written");
        path
    })
}

#[test]
fn everything_in_the_data_is_on_the_sheet() {
    let count = |kind: &str| of_kind(sheet(), kind).len();
    // Counted in the published files: 20 transformers, 26 customer buses, 9 buses between, 7
    // switching devices of their own, and 63 lines less those devices.
    assert_eq!(count("source"), 1);
    assert_eq!(count("transformer"), 20);
    assert_eq!(count("pad"), 20);
    assert_eq!(count("service"), 26);
    assert_eq!(count("pedestal"), 9);
    assert_eq!(count("set") + count("cable"), 55);
    let own = |feature: &&&Value| !id(feature).starts_with("inv-");
    assert_eq!(of_kind(sheet(), "switch").iter().filter(own).count(), 8);
}

#[test]
fn ids_are_unique_and_short() {
    let mut seen = BTreeSet::new();
    for feature in sheet()["features"].as_array().expect("features") {
        assert!(seen.insert(id(feature)), "{} twice", id(feature));
        assert!(id(feature).len() <= 40, "{} is long", id(feature));
        assert!(!text(feature, "kind").is_empty());
    }
}

#[test]
fn the_same_seed_gives_the_same_sheet_and_another_another() {
    let dir = smart_ds::dir();
    assert_eq!(&convert::map_sheet(&dir, SEED), sheet());
    assert_ne!(&convert::map_sheet(&dir, SEED + 1), sheet());
}
