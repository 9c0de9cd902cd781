//! Core's numbers against committed values that outside libraries gave; `references` derives those
//! values anew, so that core is never compared with itself.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use coldlug_core::plant::{LonLat, distance};
use coldlug_core::quantity::in_metres;
use coldlug_core::reading::{surely_at_least, surely_at_most};
use coldlug_tests::places;
use serde_json::Value;

/// Distances by geographiclib (C. F. F. Karney): `references/geodesics.py`.
fn distances() -> Vec<Value> {
    let path = places::root().join("tests/references/geodesics.json");
    let text = std::fs::read(&path).expect("the committed distances");
    serde_json::from_slice(&text).expect("JSON")
}

#[test]
fn distances_are_those_of_geographiclib() {
    let cases = distances();
    assert!(cases.len() > 200, "only {} distances", cases.len());
    for case in cases {
        let number = |key: &str| case[key].as_f64().unwrap_or_else(|| panic!("no {key}: {case}"));
        let place = |lon: &str, lat: &str| LonLat { lon_deg: number(lon), lat_deg: number(lat) };
        let got = in_metres(distance(place("lon1", "lat1"), place("lon2", "lat2")));
        // 1e-8 m: geographiclib's own editions differ by up to 2e-9 m.
        assert!((got - number("metres")).abs() <= 1e-8, "{got} m, and {case}");
    }
}

/// Guarded decisions by SciPy's normal and uniform tails, the worked examples of JCGM 106:2012 among
/// them: `references/guard_bands.py`.
#[test]
fn decisions_are_those_of_the_probability_of_conforming() {
    let path = places::root().join("tests/references/guard_bands.json");
    let text = std::fs::read(&path).expect("the committed decisions");
    let cases: Vec<Value> = serde_json::from_slice(&text).expect("JSON");
    assert!(cases.len() > 300, "only {} decisions", cases.len());
    for case in cases {
        let number = |key: &str| case[key].as_f64().unwrap_or_else(|| panic!("no {key}: {case}"));
        let (value, error, limit) = (number("value"), number("error"), number("limit"));
        let accepted = match case["side"].as_str() {
            Some("at-most") => surely_at_most(value, error, limit),
            Some("at-least") => surely_at_least(value, error, limit),
            other => panic!("{other:?}: {case}"),
        };
        assert_eq!(Some(accepted), case["accepted"].as_bool(), "{case}");
    }
}
