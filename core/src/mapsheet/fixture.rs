//! A small made-up sheet for tests: a feeder, pads in a row joined by cables, a loop end, services.

use serde_json::{Value, json};

use crate::plant::Plant;

/// Adds a pad with a through feed, its transformer and `sets` services at lug positions 1, 2, …
pub(crate) fn pad(features: &mut Vec<Value>, name: &str, sets: u8) {
    let node = |part: &str| format!("{name}:{part}");
    let id = |part: &str| format!("{name}-{part}");
    let mut contains = vec![id("in"), id("out"), id("fuse"), id("tx")];
    let x = -30.2 + 1e-4 * f64::from(u16::try_from(features.len()).unwrap());
    let elbow = |id: String, from: String, to: String| {
        json!({"type": "Feature", "geometry": null, "properties": {
            "kind": "switch", "id": id, "from": from, "to": to, "device": "elbow",
            "normally": "closed", "rated_amps": 200, "load_break_amps": 200,
            "visible_break": true, "lockable": true, "pad": name, "volts_nominal": 7200}})
    };
    features.push(elbow(id("in"), node("in"), node("bus")));
    features.push(elbow(id("out"), node("bus"), node("out")));
    features.push(json!({"type": "Feature", "geometry": null, "properties": {
        "kind": "switch", "id": id("fuse"), "from": node("bus"), "to": node("pri"),
        "device": "bayonet-fuse", "normally": "closed", "rated_amps": 25, "load_break_amps": 25,
        "visible_break": false, "lockable": false, "pad": name, "volts_nominal": 7200}}));
    features.push(json!({"type": "Feature", "geometry": null, "properties": {
        "kind": "transformer", "id": id("tx"), "primary": node("pri"), "secondary": node("sec"),
        "kva": 50, "percent_z": 1.8, "primary_volts": 7200, "system": "120/240-split-phase",
        "pad": name}}));
    for k in 1..=sets {
        let (lug, set, service) =
            (id(&format!("lug{k}")), id(&format!("set{k}")), format!("{name}V{k}"));
        features.push(json!({"type": "Feature", "geometry": null, "properties": {
            "kind": "switch", "id": lug, "from": node("sec"), "to": node(&format!("s{k}")),
            "device": "lug-pair", "normally": "closed", "rated_amps": 400, "load_break_amps": 0,
            "visible_break": true, "lockable": false, "pad": name, "position": k.to_string()}}));
        features.push(json!({"type": "Feature", "geometry": null, "properties": {
            "kind": "set", "id": set, "from": node(&format!("s{k}")), "to": service,
            "pad": name, "position": k.to_string(), "metal": "al", "size": "4/0",
            "neutral_size": "2/0", "length_m": 30.48}}));
        features.push(json!({"type": "Feature",
            "geometry": {"type": "Point", "coordinates": [x + 1e-4 * f64::from(k), 41.601]},
            "properties": {"kind": "service", "id": service, "node": service,
                "premises": format!("{k} Ropewalk Steps, {name}"),
                "meters": [format!("M{name}{k}")], "meter_base_amps": 200,
                "system": "120/240-split-phase"}}));
        contains.extend([lug, set]);
    }
    features.push(json!({"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [x, 41.6]},
        "properties": {"kind": "pad", "id": name, "tags": [format!("T-{name}")],
            "position_accuracy_m": 3, "contains": contains}}));
}

/// Adds a primary cable.
pub(crate) fn cable(features: &mut Vec<Value>, id: &str, from: &str, to: &str) {
    features.push(json!({"type": "Feature",
        "geometry": {"type": "LineString", "coordinates": [[-30.2, 41.6], [-30.19, 41.6]]},
        "properties": {"kind": "cable", "id": id, "from": from, "to": to, "kv_class": 15,
            "metal": "al", "size": "1/0", "length_m": 120}}));
}

/// The features of the fixture: source, cut-out, pads P1 (3 sets), P2 (2), P3 (1) in a row, and a
/// second cut-out at the far end of the row that is normally open.
pub(crate) fn features() -> Vec<Value> {
    let mut features = vec![json!({"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-30.2, 41.6]},
        "properties": {"kind": "source", "id": "SRC", "node": "src", "volts_line_to_line": 12470,
            "fault_amps": 2000, "x_over_r": 4}})];
    for (id, to, normally) in [("CO1", "tap1", "closed"), ("CO2", "tap2", "open")] {
        features.push(json!({"type": "Feature", "geometry": null, "properties": {
            "kind": "switch", "id": id, "from": "src", "to": to, "device": "cut-out",
            "normally": normally, "rated_amps": 100, "load_break_amps": 0,
            "visible_break": true, "lockable": true, "volts_nominal": 7200}}));
    }
    pad(&mut features, "P1", 3);
    pad(&mut features, "P2", 2);
    pad(&mut features, "P3", 1);
    cable(&mut features, "C1", "tap1", "P1:in");
    cable(&mut features, "C2", "P1:out", "P2:in");
    cable(&mut features, "C3", "P2:out", "P3:in");
    cable(&mut features, "C4", "P3:out", "tap2");
    features
}

/// A sheet of features.
pub(crate) fn sheet(features: &[Value]) -> Value {
    json!({"type": "FeatureCollection",
        "coldlug_map_sheet": {"format": 1, "name": "Made-up row", "edition": "2026-03",
            "bounds": [-30.3, 41.5, -30.0, 41.7], "invented": true},
        "features": features})
}

/// The features with one field of one feature changed; null takes it out.
pub(crate) fn changed(id: &str, field: &str, value: Value) -> Vec<Value> {
    let mut all = features();
    let feature = all.iter_mut().find(|f| f["properties"]["id"] == id).unwrap();
    if value.is_null() {
        feature["properties"].as_object_mut().unwrap().remove(field);
    } else {
        feature["properties"][field] = value;
    }
    all
}

/// The plant of a sheet that is in order.
pub(crate) fn plant_of(features: &[Value]) -> Plant {
    super::read(sheet(features).to_string().as_bytes()).unwrap().plant
}
