//! The record as a map sheet: a GeoJSON FeatureCollection (RFC 7946), electrical connection by
//! node names only.

use crate::feature::{
    CABINET_ACCURACY_M, CABLE_KV_CLASS, CABLE_METAL, Feature, METER_BASE_AMPS, PRIMARY_VOLTS,
    SetFeature, SwitchFeature, X_OVER_R, on_sheet, tenth,
};
use crate::record::{Record, ServiceClaim};
use crate::world::{LonLat, World};
use serde_json::{Map, Value, json};

impl Record {
    /// The map sheet that a phone would carry: this record, on the world's primary network.
    pub fn map_sheet(&self, world: &World) -> Value {
        let features = self.features(world);
        let bounds = Self::bounds(&features);
        json!({
            "type": "FeatureCollection",
            "coldlug_map_sheet": {
                "format": 1,
                "name": self.name,
                "edition": self.edition,
                "bounds": bounds,
                "invented": true,
            },
            "features": features.iter().map(written).collect::<Vec<_>>(),
        })
    }
}

fn written(feature: &Feature<'_>) -> Value {
    let (geometry, properties) = match feature {
        Feature::Source(supply) => (
            point(supply.at),
            json!({"kind": "source", "id": supply.id, "node": supply.node,
                "volts_line_to_line": supply.volts_line_to_line,
                "fault_amps": supply.fault_amps, "x_over_r": supply.x_over_r}),
        ),
        Feature::Cabinet(cabinet, contains) => (
            point(cabinet.at),
            json!({"kind": "pad", "id": cabinet.id, "tags": cabinet.tags,
                "position_accuracy_m": CABINET_ACCURACY_M, "contains": contains}),
        ),
        Feature::Switch(switch) => (switch.at.map_or(Value::Null, point), opening(switch)),
        Feature::Cable(cable) => (
            line(&cable.line),
            json!({"kind": "cable", "id": cable.id, "from": cable.from, "to": cable.to,
                "kv_class": CABLE_KV_CLASS, "metal": CABLE_METAL, "size": cable.size,
                "length_m": cable.length_m}),
        ),
        Feature::Transformer(pad, claim) => (
            point(claim.at),
            json!({"kind": "transformer", "id": format!("{pad}-T"),
                "primary": format!("{pad}:pri"), "secondary": format!("{pad}:sec"),
                "kva": claim.kva, "percent_z": claim.percent_z, "x_over_r": X_OVER_R,
                "primary_volts": PRIMARY_VOLTS, "system": "120/240-split-phase",
                "phase": claim.phase, "pad": pad}),
        ),
        Feature::Pad(id, claim, contains) => (
            point(claim.at),
            json!({"kind": "pad", "id": id, "tags": claim.tags,
                "position_accuracy_m": claim.accuracy_m, "contains": contains}),
        ),
        Feature::Pedestal(id, at) => {
            (point(*at), json!({"kind": "pedestal", "id": id, "node": id}))
        }
        Feature::Set(set) => (set.course.map_or(Value::Null, |c| line(&c)), cable_set(set)),
        Feature::Service(id, claim) => (point(claim.at), service(id, claim)),
    };
    let mut feature = Map::new();
    feature.insert("type".to_owned(), json!("Feature"));
    feature.insert("geometry".to_owned(), geometry);
    feature.insert("properties".to_owned(), properties);
    Value::Object(feature)
}

fn coordinates(at: LonLat) -> [f64; 2] {
    let LonLat { lon, lat } = on_sheet(at);
    [lon, lat]
}

fn point(at: LonLat) -> Value {
    json!({"type": "Point", "coordinates": coordinates(at)})
}

fn line(along: &[LonLat]) -> Value {
    let places: Vec<[f64; 2]> = along.iter().map(|at| coordinates(*at)).collect();
    json!({"type": "LineString", "coordinates": places})
}

fn opening(switch: &SwitchFeature<'_>) -> Value {
    let mut properties = json!({"kind": "switch", "id": switch.id, "from": switch.from,
        "to": switch.to, "device": switch.device.word(),
        "normally": if switch.normally_closed { "closed" } else { "open" },
        "rated_amps": switch.rated_amps, "load_break_amps": switch.load_break_amps,
        "visible_break": switch.visible_break, "lockable": switch.lockable,
        "volts_nominal": switch.volts_nominal});
    if let Some(map) = properties.as_object_mut() {
        if let Some(pad) = switch.pad {
            map.insert("pad".to_owned(), json!(pad));
        }
        if let Some(position) = switch.position {
            map.insert("position".to_owned(), json!(position.to_string()));
            map.insert("legs".to_owned(), json!(["L1", "L2"]));
        }
    }
    properties
}

fn cable_set(set: &SetFeature<'_>) -> Value {
    let claim = set.claim;
    let mut properties = json!({"kind": "set", "id": set.id, "from": set.from, "to": set.to,
        "metal": claim.metal.word(), "size": claim.size.word(),
        "length_m": tenth(claim.length_m)});
    if let Some(map) = properties.as_object_mut() {
        if let Some((pad, position)) = set.lug {
            map.insert("pad".to_owned(), json!(pad));
            map.insert("position".to_owned(), json!(position.to_string()));
        }
        if claim.runs > 1 {
            map.insert("runs".to_owned(), json!(claim.runs));
        }
    }
    properties
}

fn service(id: &str, claim: &ServiceClaim) -> Value {
    let sources: Vec<Value> = claim
        .sources
        .iter()
        .map(|s| json!({"type": s.kind.word(), "kw": s.kw, "transfer_switch": s.transfer_switch}))
        .collect();
    let mut properties = json!({"kind": "service", "id": id, "node": id,
        "premises": claim.premises, "meters": claim.meters, "meter_base_amps": METER_BASE_AMPS,
        "system": "120/240-split-phase"});
    if let Some(map) = properties.as_object_mut() {
        if !claim.meters.is_empty() {
            map.insert("metering".to_owned(), json!("self-contained"));
        }
        if !sources.is_empty() {
            map.insert("customer_sources".to_owned(), json!(sources));
        }
        if let Some(why) = claim.critical {
            map.insert("critical".to_owned(), json!(why));
        }
        if claim.unmetered_loads > 0 {
            map.insert("unmetered_loads".to_owned(), json!(claim.unmetered_loads));
        }
    }
    properties
}
