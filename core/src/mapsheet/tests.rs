//! Tests of reading map sheets.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::fixture::{cable, changed, features, pad, plant_of, sheet};
use super::*;
use crate::plant::{Device, FeedError};
use crate::quantity::AssetId;

fn refused(features: &[Value]) -> Vec<Finding> {
    read(sheet(features).to_string().as_bytes()).unwrap_err().findings
}

/// Checks that one changed field is an error that names the feature and the field.
fn check(id: &str, field: &str, value: Value, finding: FindingId) {
    let found = refused(&changed(id, field, value));
    let named = found.iter().any(|f| {
        f.id == finding
            && f.severity == Severity::Error
            && f.feature.as_deref() == Some(id)
            && f.field.as_deref() == Some(field)
    });
    assert!(named, "{id} {field} {finding:?}: {found:#?}");
}

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

#[test]
fn the_fixture_is_taken_without_a_word() {
    let taken = read(sheet(&features()).to_string().as_bytes()).unwrap();
    assert_eq!(taken.warnings, []);
    assert_eq!(taken.plant.services.len(), 6);
    assert_eq!(taken.plant.switches[&id("P1-lug1")].legs.len(), 2);
}

#[test]
fn each_bad_field_is_named() {
    check("P1V1", "system", "corner-grounded-delta".into(), FindingId::UnknownSystem);
    check("P1V1", "system", "480y/277".into(), FindingId::SystemDisagrees);
    check("P1V1", "node", "nowhere".into(), FindingId::ServiceNotFed);
    check("P1V1", "node", "nowhere".into(), FindingId::DanglingNode);
    check("P1V2", "node", "P1V1".into(), FindingId::DuplicateServiceNode);
}

#[test]
fn bad_numbers_and_sizes_are_named() {
    for (feature, field, value) in [
        ("P1-set1", "length_m", json!(-30)),
        ("P1-set1", "length_m", json!(0)),
        ("P1-set1", "runs", json!(0)),
        ("P1-set1", "runs", json!(1.5)),
        ("P1-tx", "kva", json!(0)),
        ("P1-tx", "percent_z", json!(180)),
        ("P1-in", "rated_amps", json!(-200)),
        ("P1V1", "meter_base_amps", json!(1e300)),
    ] {
        check(feature, field, value, FindingId::OutOfRange);
    }
    check("P1-set1", "size", "5/0".into(), FindingId::ImpossibleSize);
    check("P1-set1", "neutral_size", "7".into(), FindingId::ImpossibleSize);
    check("P1-set1", "size", "95".into(), FindingId::ImpossibleSize);
    check("C1", "size", "50mm2".into(), FindingId::ImpossibleSize);
    check("C1", "kv_class", json!(14), FindingId::ImpossibleSize);
    check("P1-set1", "length_m", "30 m".into(), FindingId::WrongType);
    check("P1-set1", "metal", "gold".into(), FindingId::UnknownChoice);
    check("P1-in", "lockable", "yes".into(), FindingId::WrongType);
    check("P1-tx", "percent_z", Value::Null, FindingId::MissingField);
}

/// Square millimetres carry their unit and go out as they came in; without it the finding says how
/// they are written.
#[test]
fn square_millimetres_are_a_size() {
    let plant = plant_of(&changed("P1-set1", "size", "120 mm2".into()));
    assert_eq!(plant.sets[&id("P1-set1")].size, "120 mm2");
    let bytes = String::from_utf8(canonical_bytes(&plant).unwrap()).unwrap();
    assert!(bytes.contains("\"120 mm2\""));
    let found = refused(&changed("P1-set1", "size", "120".into()));
    let says = &found.iter().find(|f| f.id == FindingId::ImpossibleSize).unwrap().says;
    assert!(says.ends_with("; if it is metric: '120 mm2'"), "{says}");
}

#[test]
fn what_does_not_hold_together_is_named() {
    check("C2", "to", "P2:inn".into(), FindingId::DanglingNode);
    check("P1-set1", "from", "P1:s9".into(), FindingId::SetStart);
    check("P1-set1", "to", "P1:sec".into(), FindingId::SetEnd);
    check("P1-in", "to", "P1:in".into(), FindingId::EndsMeet);
    check("P1-in", "pad", "P9".into(), FindingId::UnknownPad);
    check("P1-set1", "pad", "P2".into(), FindingId::LugDisagrees);
    check("P1-set1", "position", "2".into(), FindingId::LugDisagrees);
    check("P1-lug2", "position", "1".into(), FindingId::DuplicatePosition);
    check("P1-lug1", "position", Value::Null, FindingId::MissingField);
    check("P1-lug1", "legs", json!(["L1", "L3"]), FindingId::SystemDisagrees);
    check("P1", "contains", json!(["P2-in"]), FindingId::PadDisagrees);
    check("P2", "tags", json!(["t - p1"]), FindingId::DuplicateTag);
    check("P2V1", "meters", json!(["MP11"]), FindingId::DuplicateMeter);
    check("C1", "to", "P1V1:load".into(), FindingId::ReservedNode);
    check("P1V1", "premises", "a\u{0}b".into(), FindingId::WrongType);
    check("P1V1", "critcal", "life-support".into(), FindingId::MisspelledField);
}

#[test]
fn a_bad_place_is_named() {
    for geometry in [
        json!(null),
        json!({"type": "Point"}),
        json!({"type": "Point", "coordinates": ["a", 1]}),
        json!({"type": "Point", "coordinates": [1]}),
        json!({"type": "LineString", "coordinates": [[-30.2, 41.6]]}),
    ] {
        let mut all = features();
        let pad = all.iter_mut().find(|f| f["properties"]["id"] == "P1").unwrap();
        pad["geometry"] = geometry.clone();
        let found = refused(&all);
        assert!(found.iter().any(|f| f.id == FindingId::BadGeometry), "{geometry}: {found:#?}");
    }
    let mut all = features();
    let pad = all.iter_mut().find(|f| f["properties"]["id"] == "P1").unwrap();
    pad["geometry"]["coordinates"] = json!([500_000.0, 4_600_000.0]);
    let found = refused(&all);
    assert!(found.iter().any(|f| f.id == FindingId::OutsideBounds), "{found:#?}");
}

#[test]
fn names_are_held_to_one_feature_each() {
    let mut all = features();
    let twin = all.last().unwrap().clone();
    all.push(twin);
    let found = refused(&all);
    assert!(found.iter().any(|f| f.id == FindingId::DuplicateId), "{found:#?}");
    let number = features().iter().position(|f| f["properties"]["id"] == "C1").unwrap() + 1;
    for (bad, finding) in [
        (json!("a/b"), FindingId::BadName),
        (json!("x".repeat(41)), FindingId::BadName),
        (json!(""), FindingId::BadName),
        (json!(7), FindingId::WrongType),
        (Value::Null, FindingId::MissingField),
    ] {
        let found = refused(&changed("C1", "id", bad));
        let place = format!("feature {number}");
        let named = |f: &Finding| f.id == finding && f.feature.as_deref() == Some(&place);
        assert!(found.iter().any(named), "{found:#?}");
    }
}

#[test]
fn every_finding_comes_in_one_go() {
    let mut all = changed("P1-tx", "kva", json!(-1));
    for f in &mut all {
        if f["properties"]["id"] == "C2" {
            f["properties"]["to"] = "P2:inn".into();
        }
        if f["properties"]["id"] == "P2V1" {
            f["properties"]["meters"] = json!(["MP11"]);
        }
    }
    let found = refused(&all);
    for finding in [FindingId::OutOfRange, FindingId::DanglingNode, FindingId::DuplicateMeter] {
        assert!(found.iter().any(|f| f.id == finding), "{finding:?}: {found:#?}");
    }
    // The transformer that could not be read does not make its neighbours look loose: the bad
    // cable end is the only dangling cause, seen from both of its sides.
    let loose = found.iter().filter(|f| f.id == FindingId::DanglingNode);
    let loose: Vec<_> = loose.filter_map(|f| f.feature.as_deref()).collect();
    assert_eq!(loose, ["P2-in", "C2"]);
    assert!(found.iter().all(|f| f.id != FindingId::UnknownPad));
}

#[test]
fn a_service_behind_an_open_switch_is_a_warning() {
    let taken = read(sheet(&changed("P3-in", "normally", "open".into())).to_string().as_bytes());
    let warnings = taken.unwrap().warnings;
    let ids: Vec<_> = warnings.iter().map(|w| (w.id, w.feature.as_deref())).collect();
    assert_eq!(ids, [(FindingId::ServiceNormallyOut, Some("P3V1"))]);
}

#[test]
fn fields_nobody_reads_are_told_and_not_kept() {
    let taken = read(sheet(&changed("P1V1", "fid", json!(7))).to_string().as_bytes()).unwrap();
    assert_eq!(taken.warnings.len(), 1);
    assert_eq!(taken.warnings[0].id, FindingId::UnknownField);
    assert_eq!(taken.hash, hash(&plant_of(&features())).unwrap());
}

#[test]
fn broken_text_is_refused_with_its_place() {
    let whole = sheet(&features()).to_string();
    for cut in (0..whole.len()).step_by(97) {
        let found = read(&whole.as_bytes()[..cut]).unwrap_err().findings;
        assert_eq!((found.len(), found[0].id), (1, FindingId::NotJson), "cut at {cut}");
        assert!(found[0].line.is_some() && found[0].column.is_some());
    }
    let twice = whole.replacen("\"kind\":", "\"kind\":1,\"kind\":", 1);
    assert_eq!(read(twice.as_bytes()).unwrap_err().findings[0].id, FindingId::RepeatedMember);
    let huge = whole.replacen("2000", "1e999", 1);
    assert_eq!(read(huge.as_bytes()).unwrap_err().findings[0].id, FindingId::NotJson);
    let long = vec![b' '; MOST_BYTES + 1];
    assert_eq!(read(&long).unwrap_err().findings[0].id, FindingId::TooLarge);
}

#[test]
fn what_is_no_map_sheet_is_refused() {
    for (text, finding) in [
        ("[]", FindingId::NotAMapSheet),
        ("{\"type\":\"FeatureCollection\",\"features\":[]}", FindingId::NotAMapSheet),
    ] {
        assert_eq!(read(text.as_bytes()).unwrap_err().findings[0].id, finding, "{text}");
    }
    for (field, value, finding) in [
        ("format", json!(2), FindingId::UnknownFormat),
        ("bounds", json!([0, 0, 0, 0]), FindingId::NotAMapSheet),
        ("bounds", json!([0, 0, 1]), FindingId::NotAMapSheet),
        ("bounds", json!([-500, 0, 1, 1]), FindingId::NotAMapSheet),
        ("name", json!(""), FindingId::NotAMapSheet),
        ("invented", json!("no"), FindingId::NotAMapSheet),
    ] {
        let mut whole = sheet(&features());
        whole["coldlug_map_sheet"][field] = value;
        let found = read(whole.to_string().as_bytes()).unwrap_err().findings;
        assert_eq!(found[0].id, finding, "{field}");
    }
    assert_eq!(refused(&[])[0].id, FindingId::NoSource);
    let found = refused(&[json!(7), json!({"type": "Feature", "properties": {"id": "A"}})]);
    assert!(found.iter().any(|f| f.feature.as_deref() == Some("feature 1")));
}

#[test]
fn the_record_names_the_feed() {
    let plant = plant_of(&features());
    let feed = plant.feed_of(&id("P1V2")).unwrap();
    assert_eq!(feed.pad, Some(id("P1")));
    assert_eq!(feed.position.as_deref(), Some("2"));
    assert_eq!(feed.lug, Some(id("P1-lug2")));
    assert_eq!(feed.transformer, Some(id("P1-tx")));
    assert_eq!(feed.sets, [id("P1-set2")]);
    assert_eq!(plant.switches[&id("P1-lug2")].device, Device::LugPair);
    let near: Vec<_> = plant.neighbours_of(&id("P1V2")).into_iter().collect();
    assert_eq!(near, [id("P1V1"), id("P1V3")]);
    let next: Vec<_> = plant.next_pads(&id("P2")).into_iter().collect();
    assert_eq!(next, [id("P1"), id("P3")]);
    let unknown = FeedError::UnknownService { service: id("X") };
    assert_eq!(plant.feed_of(&id("X")), Err(unknown));
}

#[test]
fn a_feed_runs_through_pedestals() {
    let mut all = changed("P1-set1", "to", "ped".into());
    let point = json!({"type": "Point", "coordinates": [-30.2, 41.6]});
    all.push(json!({"type": "Feature", "geometry": point,
        "properties": {"kind": "pedestal", "id": "PED", "node": "ped"}}));
    for k in [1, 9] {
        all.push(json!({"type": "Feature", "geometry": null, "properties": {
            "kind": "set", "id": format!("tail{k}"), "from": "ped", "to": format!("P1V{k}"),
            "metal": "cu", "size": "2", "length_m": 10}}));
    }
    all.push(json!({"type": "Feature", "geometry": point, "properties": {
        "kind": "service", "id": "P1V9", "node": "P1V9", "premises": "9 Ropewalk Steps",
        "meters": ["MP19"], "meter_base_amps": 100, "system": "120/240-split-phase"}}));
    let plant = plant_of(&all);
    let feed = plant.feed_of(&id("P1V9")).unwrap();
    assert_eq!(feed.sets, [id("P1-set1"), id("tail9")]);
    assert_eq!(feed.lug, Some(id("P1-lug1")));
    let behind: Vec<_> = plant.services_of_set(&id("P1-set1")).into_iter().collect();
    assert_eq!(behind, [id("P1V1"), id("P1V9")]);
    assert!(plant.neighbours_of(&id("P1V9")).contains(&id("P1V1")));
}

#[test]
fn corrections_stand_where_the_sheet_puts_the_feature() {
    let plant = plant_of(&features());
    let correction = MapCorrection {
        claim: "feeding-pad".into(),
        feature: id("P1V2"),
        was: "P1".into(),
        now: "P2".into(),
        sightings: vec![crate::quantity::SightingId::new("s-1").unwrap()],
    };
    let written = corrections_to_geojson(&plant, &[correction]);
    assert_eq!(written["features"][0]["properties"]["was"], "P1");
    assert_eq!(written["features"][0]["properties"]["sightings"], json!(["s-1"]));
    assert_eq!(written["features"][0]["geometry"]["type"], "Point");
}

fn sheets() -> impl Strategy<Value = Vec<Value>> {
    let pads = proptest::collection::vec(0_u8..4, 1..4);
    let number = 0.02_f64..4000.0;
    (pads, number, any::<[bool; 6]>(), "[ -~]{0,8}[!-~]").prop_map(|(pads, number, on, text)| {
        let mut all = vec![json!({"type": "Feature",
            "geometry": {"type": "Point", "coordinates": [-30.2 + number * 1e-5, 41.6]},
            "properties": {"kind": "source", "id": "S", "node": "n0", "volts_line_to_line": 12470.5}})];
        for (i, &sets) in pads.iter().enumerate() {
            let name = format!("P{i}");
            pad(&mut all, &name, sets);
            let from = if i == 0 { "n0".to_owned() } else { format!("P{}:out", i - 1) };
            cable(&mut all, &format!("C{i}"), &from, &format!("P{i}:in"));
        }
        for f in &mut all {
            let p = f["properties"].as_object_mut().unwrap();
            match p["kind"].as_str().unwrap() {
                "service" => {
                    p["premises"] = text.clone().into();
                    p.insert("unmetered_loads".into(), u16::from(on[0]).into());
                    if on[1] {
                        p.insert("customer_sources".into(), json!([
                            {"type": "pv", "kw": number / 7.0, "transfer_switch": on[2],
                                "switch_withstand_amps": number + 1.0},
                            {"type": "battery", "kw": 5, "transfer_switch": on[3]}]));
                        p.insert("critical".into(), "well-pump".into());
                    }
                    if on[4] {
                        p.insert("metering".into(), "ct".into());
                        p.insert("withstand_amps".into(), (number + 1.0).into());
                        p.insert("peak_kva".into(), (number / 3.0).into());
                    }
                }
                "set" => {
                    p["length_m"] = number.into();
                    p.insert("runs".into(), (1 + u16::from(on[5])).into());
                    f["geometry"] = json!({"type": "LineString",
                        "coordinates": [[-30.2, 41.6], [-30.2 + number * 1e-6, 41.600_000_1]]});
                }
                "transformer" => {
                    p["kva"] = (number + 1.0).into();
                    p.insert("x_over_r".into(), (number / 40.0).into());
                    p.insert("phase".into(), "A".into());
                    if on[4] {
                        p.insert("connection".into(), "wye-wye".into());
                        p.insert("half_winding_r".into(), 1.44.into());
                        p.insert("half_winding_x".into(), 1.25.into());
                        p.insert("zero_over_positive".into(), 0.9.into());
                    }
                }
                "cable" if on[5] => {
                    p.insert("neutral".into(), "third".into());
                }
                "source" => {
                    p.insert("fault_amps".into(), (number + 1.0).into());
                }
                _ => {}
            }
        }
        all
    })
}

proptest! {
    #[test]
    fn a_plant_written_and_read_again_is_the_same(all in sheets(), turn in 0_usize..50) {
        let first = read(sheet(&all).to_string().as_bytes()).unwrap();
        let written = to_geojson(&first.plant).to_string();
        let again = read(written.as_bytes()).unwrap();
        prop_assert_eq!(&again.plant, &first.plant);
        prop_assert_eq!(&again.hash, &first.hash);
        let from_canonical = read(&canonical_bytes(&first.plant).unwrap()).unwrap();
        prop_assert_eq!(&from_canonical.plant, &first.plant);
        // Neither the order of the features nor the spelling of the file counts.
        let mut turned = all;
        let by = turn % turned.len();
        turned.rotate_left(by);
        let text = serde_json::to_string_pretty(&sheet(&turned)).unwrap();
        prop_assert_eq!(read(text.as_bytes()).unwrap().hash, first.hash);
    }

    #[test]
    fn no_mangled_file_makes_a_panic(at in 0_usize..20_000, byte in any::<u8>()) {
        let mut bytes = sheet(&features()).to_string().into_bytes();
        let at = at % bytes.len();
        bytes[at] = byte;
        // Taken or refused; where taken, it can be written and read again.
        if let Ok(taken) = read(&bytes) {
            let again = read(to_geojson(&taken.plant).to_string().as_bytes()).unwrap();
            prop_assert_eq!(again.hash, taken.hash);
        }
    }
}

#[test]
fn the_pieces_are_the_canonical_form_of_the_whole() {
    let plant = plant_of(&features());
    let whole = serde_jcs::to_vec(&to_geojson(&plant)).unwrap();
    assert_eq!(canonical_bytes(&plant).unwrap(), whole);
    assert_eq!(read(&whole).unwrap().hash, hash(&plant).unwrap());
}

#[test]
fn a_pad_from_elsewhere_contains_what_names_it() {
    let listed = plant_of(&features());
    let head = sheet(&[])[HEADER].clone();
    let begin = || Gather::new(head.as_object().unwrap(), Memory::default()).unwrap();
    let (mut ours, mut foreign) = (begin(), begin().filling_pads());
    let mut unlisted = features();
    for feature in &mut unlisted {
        feature["properties"].as_object_mut().unwrap().remove("contains");
    }
    let all = |gather: &mut Gather<Memory>| -> Vec<Finding> {
        unlisted.iter().flat_map(|item| gather.feature(item).unwrap()).collect()
    };
    let refused = all(&mut ours);
    assert_eq!(refused.len(), 3, "{refused:?}");
    let found = all(&mut foreign);
    assert_eq!(found, []);
    let (header, kept) = foreign.finish(&mut |told| panic!("{told:?}")).unwrap().unwrap();
    let plant = kept.plant(header);
    for pad in listed.pads.keys() {
        let sorted = |plant: &Plant| {
            let mut ids = plant.pads[pad].contains.clone();
            ids.sort();
            ids
        };
        assert_eq!(sorted(&plant), sorted(&listed));
    }
    assert!(ours.finish(&mut |_| ()).unwrap().is_none(), "what is refused is refused whole");
}

#[test]
fn what_is_found_in_the_whole_names_the_feature_by_its_number() {
    let head = sheet(&[])[HEADER].clone();
    let mut gather = Gather::new(head.as_object().unwrap(), Memory::default()).unwrap();
    let all = changed("P1V1", "node", "nowhere".into());
    let place = all.iter().position(|f| f["properties"]["id"] == "P1V1").unwrap() + 1;
    assert!(all.iter().all(|item| gather.feature(item).unwrap().is_empty()));
    let mut told = Vec::new();
    gather.finish(&mut |one| told.push(one)).unwrap();
    let told = told.into_iter().filter_map(|told| match told {
        Told::Found(number, finding) => Some((number, finding.id)),
        Told::Checked { .. } => None,
    });
    let told: Vec<_> = told.collect();
    let place = u32::try_from(place).unwrap();
    assert!(told.contains(&(Some(place), FindingId::ServiceNotFed)), "{told:?}");
}
