//! The map sheet: ids once, nodes joined, every service fed once, what its form says.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops where it finds something wrong, its own steps too"
)]

use coldlug_field::mistake::MistakeKind;
use coldlug_field::record::Record;
use coldlug_field::seed::stream;
use coldlug_field::small::small;
use coldlug_field::town::hillside;
use proptest::prelude::*;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

fn features<'a>(sheet: &'a Value, kind: &str) -> Vec<&'a Value> {
    let all = sheet["features"].as_array().unwrap();
    all.iter().map(|f| &f["properties"]).filter(|p| kind.is_empty() || p["kind"] == kind).collect()
}

fn text<'a>(properties: &'a Value, field: &str) -> &'a str {
    properties[field].as_str().unwrap_or_else(|| panic!("{field} of {properties}"))
}

fn fits(id: &str, most: usize, also: &str) -> bool {
    (1..=most).contains(&id.len())
        && id.chars().all(|c| c.is_ascii_alphanumeric() || "._-".contains(c) || also.contains(c))
}

/// The pairs of nodes that are joined when all is in its normal state.
fn joined(sheet: &Value) -> Vec<(&str, &str)> {
    let mut pairs = Vec::new();
    for p in features(sheet, "switch") {
        if p["normally"] == "closed" {
            pairs.push((text(p, "from"), text(p, "to")));
        }
    }
    for kind in ["cable", "set"] {
        pairs.extend(features(sheet, kind).into_iter().map(|p| (text(p, "from"), text(p, "to"))));
    }
    for p in features(sheet, "transformer") {
        pairs.push((text(p, "primary"), text(p, "secondary")));
    }
    pairs
}

/// Walks from the source; the second is how many branches closed a ring.
fn reached(sheet: &Value) -> (BTreeSet<&str>, usize) {
    let mut near: BTreeMap<&str, Vec<(usize, &str)>> = BTreeMap::new();
    for (k, (from, to)) in joined(sheet).into_iter().enumerate() {
        near.entry(from).or_default().push((k, to));
        near.entry(to).or_default().push((k, from));
    }
    let start = text(features(sheet, "source")[0], "node");
    let (mut seen, mut used, mut rings) = (BTreeSet::from([start]), BTreeSet::new(), 0);
    let mut open = vec![start];
    while let Some(node) = open.pop() {
        for (branch, other) in near.get(node).into_iter().flatten() {
            if !used.insert(*branch) {
                continue;
            }
            if seen.insert(other) {
                open.push(other);
            } else {
                rings += 1;
            }
        }
    }
    (seen, rings)
}

fn check_sheet(sheet: &Value) {
    let head = &sheet["coldlug_map_sheet"];
    assert_eq!(head["format"], 1);
    assert_eq!(head["invented"], true);
    let bounds: Vec<f64> =
        head["bounds"].as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
    let mut ids = BTreeSet::new();
    for feature in sheet["features"].as_array().unwrap() {
        let id = text(&feature["properties"], "id");
        assert!(fits(id, 40, ""), "{id}");
        assert!(ids.insert(id), "{id} twice");
        let places = &feature["geometry"]["coordinates"];
        let places = if feature["geometry"]["type"] == "Point" {
            vec![places]
        } else {
            places.as_array().unwrap().iter().collect()
        };
        for place in places {
            let (lon, lat) = (place[0].as_f64().unwrap(), place[1].as_f64().unwrap());
            assert!(
                (bounds[0]..=bounds[2]).contains(&lon) && (bounds[1]..=bounds[3]).contains(&lat),
                "{id}"
            );
        }
    }
    for pad in features(sheet, "pad") {
        for inside in pad["contains"].as_array().unwrap() {
            assert!(ids.contains(inside.as_str().unwrap()), "{inside} in {pad}");
        }
    }
    let mut ends: BTreeMap<&str, usize> = BTreeMap::new();
    for (from, to) in joined(sheet) {
        assert!(fits(from, 60, ":") && fits(to, 60, ":"), "{from} {to}");
        *ends.entry(from).or_default() += 1;
        *ends.entry(to).or_default() += 1;
    }
    let (reached, rings) = reached(sheet);
    assert_eq!(rings, 0, "the normal state is a tree");
    for service in features(sheet, "service") {
        let node = text(service, "node");
        assert!(reached.contains(node), "{node} is fed by nothing");
        assert_eq!(ends[node], 1, "{node}");
    }
    for pedestal in features(sheet, "pedestal") {
        assert!(reached.contains(text(pedestal, "node")));
    }
    for set in features(sheet, "set") {
        assert!(matches!(text(set, "metal"), "al" | "cu"));
        assert!(set["length_m"].as_f64().unwrap() > 0.0);
        assert_eq!(set["pad"].is_string(), set["position"].is_string());
    }
}

#[test]
fn the_towns_sheet_is_whole() {
    for seed in 0..4 {
        let world = hillside(seed);
        let sheet = Record::true_of(&world).map_sheet(&world);
        check_sheet(&sheet);
        assert_eq!(features(&sheet, "transformer").len(), 64);
        let parked: Vec<_> =
            features(&sheet, "switch").into_iter().filter(|s| s["normally"] == "open").collect();
        assert_eq!(parked.len(), 2, "one parked elbow a ring");
    }
}

#[test]
fn no_closed_ring_but_for_the_parked_elbows() {
    let world = hillside(2);
    let mut sheet = Record::true_of(&world).map_sheet(&world);
    for feature in sheet["features"].as_array_mut().unwrap() {
        if feature["properties"]["normally"] == "open" {
            feature["properties"]["normally"] = "closed".into();
        }
    }
    assert_eq!(reached(&sheet).1, 2);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn a_small_sheet_is_whole_with_any_mistake(seed: u64, also: u64) {
        let world = small(seed);
        check_sheet(&Record::true_of(&world).map_sheet(&world));
        let drawn = Record::as_drawn(&world);
        check_sheet(&drawn.map_sheet(&world));
        let mut draw = stream(also, "mistakes");
        let service = drawn.services.keys().next().unwrap().clone();
        for kind in MistakeKind::ALL {
            let Some(mistake) = kind.draw(&drawn, &service, &mut draw) else { continue };
            let mut wrong = drawn.clone();
            wrong.apply(&mistake).unwrap();
            prop_assert_ne!(&wrong, &drawn, "{:?}", mistake);
            check_sheet(&wrong.map_sheet(&world));
        }
    }

    #[test]
    fn a_record_as_drawn_knows_no_buried_splice_and_no_wrong_pad(seed: u64) {
        let world = small(seed);
        let drawn = Record::as_drawn(&world);
        prop_assert!(drawn.pedestals.keys().all(|id| id.starts_with('D')));
        for service in world.services.keys() {
            prop_assert_eq!(drawn.pad_of(service).unwrap(), world.pad_of(service).unwrap());
        }
        for junction in world.junctions.values().filter(|j| j.id.starts_with('B')) {
            for (k, set) in junction.sets.iter().enumerate() {
                let service = world.services_on(set).unwrap()[0];
                let truly = world.feeding_set(service).unwrap();
                prop_assert_eq!(drawn.feeding_set(service).unwrap() == truly, k == 0);
            }
        }
        let told = Record::true_of(&world);
        for service in world.services.keys() {
            prop_assert_eq!(told.feeding_set(service).unwrap(), world.feeding_set(service).unwrap());
        }
    }
}
