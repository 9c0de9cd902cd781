//! The smallest map sheet on which a job can be opened: one pad, two services.

use serde_json::{Value, json};

fn feature(geometry: Value, properties: Value) -> Value {
    json!({ "type": "Feature", "geometry": geometry, "properties": properties })
}

fn point(x: f64, y: f64) -> Value {
    json!({ "type": "Point", "coordinates": [x, y] })
}

fn switch(id: &str, from: &str, to: &str, device: &str, more: &Value) -> Value {
    let mut properties = json!({ "kind": "switch", "id": id, "from": from, "to": to,
        "device": device, "normally": "closed", "rated_amps": 200, "load_break_amps": 0,
        "visible_break": true, "lockable": true });
    for (name, value) in more.as_object().unwrap() {
        properties[name] = value.clone();
    }
    feature(Value::Null, properties)
}

/// The sheet's bytes; another `name` gives another hash.
pub(crate) fn map_sheet(name: &str) -> Vec<u8> {
    let primary = json!({ "volts_nominal": 7200 });
    let mut features = vec![
        feature(
            point(-30.2, 41.6),
            json!({ "kind": "source", "id": "SRC", "node": "src", "volts_line_to_line": 12470,
            "fault_amps": 2000, "x_over_r": 4 }),
        ),
        switch("CO1", "src", "tap", "cut-out", &primary),
        feature(
            json!({ "type": "LineString", "coordinates": [[-30.2, 41.6], [-30.199, 41.6]] }),
            json!({ "kind": "cable", "id": "C1", "from": "tap", "to": "in", "kv_class": 15,
            "metal": "al", "size": "1/0", "length_m": 120 }),
        ),
        switch("P1-in", "in", "bus", "elbow", &json!({ "pad": "P1", "volts_nominal": 7200 })),
        switch(
            "P1-f",
            "bus",
            "pri",
            "bayonet-fuse",
            &json!({ "pad": "P1", "volts_nominal": 7200 }),
        ),
        feature(
            Value::Null,
            json!({ "kind": "transformer", "id": "P1-tx", "primary": "pri", "secondary": "sec",
            "kva": 50, "percent_z": 1.8, "primary_volts": 7200,
            "system": "120/240-split-phase", "pad": "P1" }),
        ),
    ];
    let mut contains = vec!["P1-in".to_owned(), "P1-f".into(), "P1-tx".into()];
    for k in ["1", "2"] {
        let (lug, set, service, node) =
            (format!("lug{k}"), format!("set{k}"), format!("P1V{k}"), format!("s{k}"));
        let position = json!({ "pad": "P1", "position": k });
        features.push(switch(&lug, "sec", &node, "lug-pair", &position));
        features.push(feature(
            Value::Null,
            json!({ "kind": "set", "id": set, "from": node, "to": service, "pad": "P1",
            "position": k, "metal": "al", "size": "4/0", "neutral_size": "2/0",
            "length_m": 30.48 }),
        ));
        features.push(feature(
            point(-30.198, 41.601),
            json!({ "kind": "service", "id": service, "node": service,
            "premises": format!("{k} Ropewalk Steps"), "meters": [format!("M{k}")],
            "meter_base_amps": 200, "system": "120/240-split-phase" }),
        ));
        contains.extend([lug, set]);
    }
    features.push(feature(
        point(-30.199, 41.6),
        json!({ "kind": "pad", "id": "P1", "tags": ["T-1"], "position_accuracy_m": 3,
        "contains": contains }),
    ));
    json!({ "type": "FeatureCollection",
        "coldlug_map_sheet": { "format": 1, "name": name, "edition": "2026-03",
            "bounds": [-30.3, 41.5, -30.0, 41.7], "invented": true },
        "features": features })
    .to_string()
    .into_bytes()
}
