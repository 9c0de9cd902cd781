//! Core's numbers against committed values that outside libraries gave; `references` derives those
//! values anew, so that core is never compared with itself.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

mod diagrams;

use coldlug_core::{
    plant::{LonLat, distance},
    quantity::in_metres,
    reading::{surely_at_least, surely_at_most},
    rule_sheet::RuleSheet,
    sighting::{SIGMAS_IN_RADIUS68, chi_square_2_tail, normal_tail},
};
use coldlug_tests::places;
use serde_json::Value;

/// Committed values of one kind, from `references`.
fn committed(name: &str) -> Value {
    let path = places::root().join("tests/references").join(name);
    let text = std::fs::read(&path).expect("the committed values");
    serde_json::from_slice(&text).expect("JSON")
}

/// Distances by geographiclib (C. F. F. Karney), its published table first: `references/geodesics.py`.
fn distances() -> Vec<Value> {
    committed("geodesics.json").as_array().cloned().expect("a list")
}

/// Tails by SciPy: `references/chances.py`.
#[test]
fn tails_are_those_of_scipy() {
    let chances = committed("chances.json");
    let pairs = |name: &str| -> Vec<(f64, f64)> {
        let rows = chances[name].as_array().unwrap_or_else(|| panic!("no {name}"));
        rows.iter().map(|row| row[0].as_f64().zip(row[1].as_f64()).expect("two numbers")).collect()
    };
    let close = |got: f64, wanted: f64| {
        assert!((got - wanted).abs() <= 1e-13 * wanted.abs(), "{got} against {wanted}");
    };
    let (beyond, tail) = (pairs("chi_square_2_beyond"), pairs("chi_square_2_tail"));
    assert!(beyond.len() > 10 && tail.len() > 10);
    for &(share, value) in &beyond {
        // The quantile is a rounded number itself: 1e-15 of it moves the share by up to 4e-14.
        assert!((chi_square_2_tail(value) - share).abs() <= 1e-13 * share, "{share}: {value}");
    }
    for (value, share) in tail {
        close(chi_square_2_tail(value), share);
    }
    for (sigmas, share) in pairs("normal_tail") {
        close(normal_tail(sigmas), share);
    }
    close(SIGMAS_IN_RADIUS68, chances["sigmas_in_radius68"].as_f64().expect("a number"));
    // The rule sheet's limit for a fix is the 99 % quantile, to its two digits.
    let limit = beyond.iter().find(|(share, _)| (share - 0.01).abs() < 1e-12).expect("99 %").1;
    assert!((RuleSheet::default().position_chi_square.to_f64() - limit).abs() < 0.005);
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
    let cases = committed("guard_bands.json").as_array().cloned().expect("a list");
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
