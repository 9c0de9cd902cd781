//! Core's numbers against committed values that outside libraries gave; `references` derives those
//! values anew, so that this file never compares core with itself.
#![allow(
    clippy::expect_used,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use coldlug_tests::places;
use serde_json::Value;

/// Distances by geographiclib (C. F. F. Karney): `references/geodesics.py`.
fn distances() -> Vec<Value> {
    let path = places::root().join("tests/references/geodesics.json");
    let text = std::fs::read(&path).expect("the committed distances");
    serde_json::from_slice(&text).expect("JSON")
}

#[test]
fn there_are_distances_to_compare() {
    assert!(distances().len() > 200);
}
