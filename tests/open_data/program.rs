//! `check` and `fault-current` on the converted sheet.

use coldlug_tests::draw::Draw;
use coldlug_tests::{places, program};
use serde_json::Value;

use super::shapes::{id, of_kind, text};
use super::sheet;

fn path() -> &'static str {
    sheet::path().to_str().expect("a path of ours is text")
}

#[test]
fn check_finds_nothing_wrong() {
    let report = program::json(&["check", path()]).unwrap_or_else(|why| panic!("{why}"));
    let findings = report["findings"].as_array().map_or(0, Vec::len);
    assert_eq!(findings, 0, "{report:#}");
}

/// The same sheet, damaged: a node renamed, a length below zero, two features with one id.
#[test]
fn check_names_the_feature_and_field_of_each_planted_mistake() {
    let mut sheet = sheet::sheet().clone();
    let features = sheet["features"].as_array_mut().expect("features");
    let at = |kind: &str| {
        features.iter().position(|f| text(f, "kind") == kind).expect("one of every kind")
    };
    let (set, cable) = (at("set"), at("cable"));
    features[set]["properties"]["length_m"] = (-3.0).into();
    features[cable]["properties"]["metal"] = "tin".into();
    let double = features[set].clone();
    features.push(double);
    let (set_id, cable_id) = (id(&features[set]).to_owned(), id(&features[cable]).to_owned());
    let damaged = places::scratch().join("open-data").join("damaged.geojson");
    std::fs::write(&damaged, sheet.to_string()).expect("written");
    let damaged = damaged.to_str().expect("text");
    let out = program::run(&["check", damaged, "--json"]).unwrap_or_else(|why| panic!("{why}"));
    assert!(!out.status.success(), "a damaged sheet is accepted");
    let said = String::from_utf8_lossy(&out.stdout);
    for wanted in [set_id.as_str(), cable_id.as_str(), "length_m", "metal"] {
        assert!(said.contains(wanted), "says nothing of {wanted}: {said}");
    }
}

#[test]
fn cut_and_flipped_sheets_are_refused_in_words() {
    let whole = std::fs::read(path()).expect("the sheet");
    let mut draw = Draw::of(7, "damage");
    let damaged = places::scratch().join("open-data").join("flipped.geojson");
    for round in 0..60 {
        let mut bytes = whole.clone();
        if round % 2 == 0 {
            bytes.truncate(draw.below(bytes.len()));
        } else {
            let at = draw.below(bytes.len());
            bytes[at] ^= 1 << draw.below(8);
        }
        std::fs::write(&damaged, &bytes).expect("written");
        let out = program::run(&["check", damaged.to_str().expect("text")])
            .unwrap_or_else(|why| panic!("{why}"));
        let status = out.status.code().unwrap_or_else(|| panic!("round {round}: killed"));
        assert_ne!(
            status,
            101,
            "round {round}: panicked: {}",
            String::from_utf8_lossy(&out.stderr)
        );
        if round % 2 == 0 {
            assert_ne!(
                status,
                0,
                "round {round}: a sheet cut to {} bytes is accepted",
                bytes.len()
            );
            assert!(!out.stderr.is_empty() || !out.stdout.is_empty(), "round {round}: no word");
        }
    }
}

/// Ohms of a stranded conductor, a foot: IACS conductivity, 2 % stranding, 25 C (see
/// `references/circuit.py`, which holds the same against OpenDSS).
fn ohm_per_foot(size: &str) -> (f64, f64) {
    let (mils, diameter) = match size {
        "1/0" => (105_600.0, 0.372),
        "2/0" => (133_100.0, 0.418),
        "4/0" => (211_600.0, 0.528),
        other => panic!("no split-phase set of the data is {other}"),
    };
    let r = 10.371 / 0.61 / mils * 1.02 * (1.0 + 0.00403 * 5.0);
    let neper = 2.0 * std::f64::consts::PI * 60.0 * 2e-7 * 0.3048;
    let x = neper * f64::ln((diameter + 0.12) / (0.758 * diameter / 2.0));
    (r, x)
}

/// What line-to-line current the sheet gives at a service: unit and sets, source and primary left
/// out. The real one is smaller, by little.
fn line_to_line_without_primary(sets: &[&Value], unit: &Value) -> f64 {
    let number =
        |feature: &Value, key: &str| feature["properties"][key].as_f64().expect("a number");
    let base = 240.0 * 240.0 / (number(unit, "kva") * 1000.0);
    let angle = number(unit, "x_over_r").atan();
    let z = number(unit, "percent_z") / 100.0 * base;
    let (mut r, mut x) = (z * angle.cos(), z * angle.sin());
    for set in sets {
        let (r_ft, x_ft) = ohm_per_foot(text(set, "size"));
        let feet = number(set, "length_m") / 0.3048;
        r += 2.0 * r_ft * feet;
        x += 2.0 * x_ft * feet;
    }
    240.0 / r.hypot(x)
}

#[test]
fn fault_current_follows_the_path_of_every_split_phase_service() {
    let sheet = sheet::sheet();
    let (sets, units) = (of_kind(sheet, "set"), of_kind(sheet, "transformer"));
    let mut checked = 0;
    for service in of_kind(sheet, "service") {
        if text(service, "system") != "120/240-split-phase" {
            continue;
        }
        let answer = program::json(&["fault-current", "--map", path(), "--service", id(service)])
            .unwrap_or_else(|why| panic!("{why}"));
        let mut way = Vec::new();
        let mut node = text(service, "node");
        let pad = loop {
            let set = sets.iter().find(|set| text(set, "to") == node).expect("a set ends here");
            way.push(*set);
            node = text(set, "from");
            if !text(set, "pad").is_empty() {
                break text(set, "pad");
            }
        };
        let unit = units.iter().find(|unit| text(unit, "pad") == pad).expect("a transformer");
        let most = line_to_line_without_primary(&way, unit);
        let got = answer["meter_line_to_line_amps"].as_f64().expect("amps");
        assert!(
            got <= most * 1.001 && got >= most * 0.85,
            "{}: {got} A, and {most} A without the primary",
            id(service)
        );
        checked += 1;
    }
    assert_eq!(checked, 19);
}
