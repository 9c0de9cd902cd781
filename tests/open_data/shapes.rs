//! GeoJSON features of a map sheet, as plain values.

use serde_json::{Map, Value, json};

/// A place, longitude first.
pub(crate) type Place = (f64, f64);

/// A feature at a point.
pub(crate) fn point(kind: &str, id: &str, at: Place, more: Value) -> Value {
    feature(kind, id, &json!({"type": "Point", "coordinates": [at.0, at.1]}), more)
}

/// A feature along a straight line.
pub(crate) fn line(kind: &str, id: &str, from: Place, to: Place, more: Value) -> Value {
    let course = json!([[from.0, from.1], [to.0, to.1]]);
    feature(kind, id, &json!({"type": "LineString", "coordinates": course}), more)
}

fn feature(kind: &str, id: &str, geometry: &Value, more: Value) -> Value {
    let mut properties = Map::new();
    properties.insert("kind".into(), kind.into());
    properties.insert("id".into(), id.into());
    if let Value::Object(more) = more {
        properties.extend(more);
    }
    json!({"type": "Feature", "geometry": geometry, "properties": properties})
}

/// The id of a feature.
pub(crate) fn id(feature: &Value) -> &str {
    text(feature, "id")
}

/// A text property; empty when absent.
pub(crate) fn text<'a>(feature: &'a Value, key: &str) -> &'a str {
    feature["properties"][key].as_str().unwrap_or_default()
}

/// The features of one kind.
pub(crate) fn of_kind<'a>(sheet: &'a Value, kind: &str) -> Vec<&'a Value> {
    let features = sheet["features"].as_array().expect("a map sheet has features");
    features.iter().filter(|feature| text(feature, "kind") == kind).collect()
}
