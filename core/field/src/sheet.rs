//! The record as a map sheet: a GeoJSON FeatureCollection (RFC 7946), electrical connection by
//! node names only.
//!
//! Ratings written here: load-break elbows 200 A (IEEE 386, 200 A interface, ten make and break
//! operations at 200 A); bayonet fuses 100 A load break (a maker's sheet for current-limiting
//! links), no visible break; feeder switches and breaker 600 A (common practice, no source); lug
//! pairs 400 A, not to be opened under load (common practice, no source).

use crate::network::{Cable, Device, Supply, Switch};
use crate::record::{PadClaim, Record, ServiceClaim, SetClaim};
use crate::world::{End, LonLat, Start, World};
use serde_json::{Map, Value, json};

impl Record {
    /// The map sheet that a phone would carry: this record, on the world's primary network.
    pub fn map_sheet(&self, world: &World) -> Value {
        let network = &world.network;
        let mut features = Vec::new();
        features.extend(network.supplies.iter().map(supply));
        features.extend(network.cabinets.iter().map(|cabinet| {
            let contains = inside(&network.switches, &cabinet.id);
            feature(
                point(cabinet.at),
                json!({"kind": "pad", "id": cabinet.id, "tags": cabinet.tags,
                    "position_accuracy_m": 2.0, "contains": contains}),
            )
        }));
        features.extend(network.switches.iter().map(switch));
        features.extend(network.cables.iter().map(cable));
        for (id, pad) in &self.pads {
            features.push(transformer(id, pad));
            features.push(self.pad(id, pad, &network.switches));
        }
        for (id, at) in &self.pedestals {
            features.push(feature(point(*at), json!({"kind": "pedestal", "id": id, "node": id})));
        }
        for (id, set) in &self.sets {
            features.extend(lug_pair(set, self));
            features.push(self.cable_set(id, set));
        }
        features.extend(self.services.iter().map(|(id, claim)| service(id, claim)));
        json!({
            "type": "FeatureCollection",
            "coldlug_map_sheet": {
                "format": 1,
                "name": self.name,
                "edition": self.edition,
                "bounds": bounds(&features),
                "invented": true,
            },
            "features": features,
        })
    }

    fn pad(&self, id: &str, pad: &PadClaim, switches: &[Switch]) -> Value {
        let mut contains = inside(switches, id);
        contains.push(format!("{id}-T"));
        for (position, set) in self.sets_at(id) {
            contains.push(format!("{id}-s{position}"));
            contains.push(set.to_owned());
        }
        feature(
            point(pad.at),
            json!({"kind": "pad", "id": id, "tags": pad.tags,
                "position_accuracy_m": pad.accuracy_m, "contains": contains}),
        )
    }

    fn cable_set(&self, id: &str, set: &SetClaim) -> Value {
        let to_at = match &set.to {
            End::Service(id) => self.services.get(id).map(|s| s.at),
            End::Junction(id) => self.pedestals.get(id).copied(),
            End::Dead => None,
        };
        let to = match &set.to {
            End::Service(id) | End::Junction(id) => id.as_str(),
            End::Dead => "",
        };
        let (from_at, from) = match &set.from {
            Start::Pad { pad, position } => {
                (self.pads.get(pad).map(|p| p.at), format!("{pad}:s{position}"))
            }
            Start::Junction(id) => (self.pedestals.get(id).copied(), id.clone()),
        };
        let mut properties = json!({"kind": "set", "id": id, "from": from, "to": to,
            "metal": set.metal.word(), "size": set.size.word(), "length_m": tenth(set.length_m)});
        if let (Start::Pad { pad, position }, Some(map)) = (&set.from, properties.as_object_mut()) {
            map.insert("pad".to_owned(), json!(pad));
            map.insert("position".to_owned(), json!(position.to_string()));
        }
        let geometry = match (from_at, to_at) {
            (Some(from), Some(to)) => line(&[from, to]),
            _ => Value::Null,
        };
        feature(geometry, properties)
    }
}

fn feature(geometry: Value, properties: Value) -> Value {
    let mut feature = Map::new();
    feature.insert("type".to_owned(), json!("Feature"));
    feature.insert("geometry".to_owned(), geometry);
    feature.insert("properties".to_owned(), properties);
    Value::Object(feature)
}

/// Coordinates are kept to 1e-7 degree, about a centimetre.
fn coordinates(at: LonLat) -> [f64; 2] {
    [libm::round(at.lon * 1e7) / 1e7, libm::round(at.lat * 1e7) / 1e7]
}

fn tenth(x: f64) -> f64 {
    libm::round(x * 10.0) / 10.0
}

fn point(at: LonLat) -> Value {
    json!({"type": "Point", "coordinates": coordinates(at)})
}

fn line(along: &[LonLat]) -> Value {
    let places: Vec<[f64; 2]> = along.iter().map(|at| coordinates(*at)).collect();
    json!({"type": "LineString", "coordinates": places})
}

fn inside(switches: &[Switch], enclosure: &str) -> Vec<String> {
    switches.iter().filter(|s| s.pad.as_deref() == Some(enclosure)).map(|s| s.id.clone()).collect()
}

fn supply(supply: &Supply) -> Value {
    feature(
        point(supply.at),
        json!({"kind": "source", "id": supply.id, "node": supply.node,
            "volts_line_to_line": supply.volts_line_to_line,
            "fault_amps": supply.fault_amps, "x_over_r": supply.x_over_r}),
    )
}

fn switch(switch: &Switch) -> Value {
    let (device, rated, load_break, visible, lockable) = match switch.device {
        Device::Breaker => ("breaker", 600, 600, false, true),
        Device::FeederSwitch => ("feeder-switch", 600, 600, true, true),
        Device::Elbow => ("elbow", 200, 200, true, true),
        Device::BayonetFuse => ("bayonet-fuse", 100, 100, false, false),
    };
    let mut properties = json!({"kind": "switch", "id": switch.id, "from": switch.from,
        "to": switch.to, "device": device,
        "normally": if switch.normally_closed { "closed" } else { "open" },
        "rated_amps": rated, "load_break_amps": load_break, "visible_break": visible,
        "lockable": lockable, "volts_nominal": 7200});
    if let (Some(pad), Some(map)) = (&switch.pad, properties.as_object_mut()) {
        map.insert("pad".to_owned(), json!(pad));
    }
    feature(point(switch.at), properties)
}

fn cable(cable: &Cable) -> Value {
    feature(
        line(&cable.line),
        json!({"kind": "cable", "id": cable.id, "from": cable.from, "to": cable.to,
            "kv_class": 15, "metal": "al", "size": cable.size, "length_m": cable.length_m}),
    )
}

fn transformer(pad: &str, claim: &PadClaim) -> Value {
    feature(
        point(claim.at),
        json!({"kind": "transformer", "id": format!("{pad}-T"), "primary": format!("{pad}:pri"),
            "secondary": format!("{pad}:sec"), "kva": claim.kva, "percent_z": claim.percent_z,
            "x_over_r": 1.5, "primary_volts": 7200, "system": "120/240-split-phase",
            "phase": claim.phase, "pad": pad}),
    )
}

fn lug_pair(set: &SetClaim, record: &Record) -> Option<Value> {
    let Start::Pad { pad, position } = &set.from else { return None };
    let at = record.pads.get(pad).map_or(Value::Null, |p| point(p.at));
    Some(feature(
        at,
        json!({"kind": "switch", "id": format!("{pad}-s{position}"), "from": format!("{pad}:sec"),
            "to": format!("{pad}:s{position}"), "device": "lug-pair", "normally": "closed",
            "rated_amps": 400, "load_break_amps": 0, "visible_break": true, "lockable": true,
            "pad": pad, "position": position.to_string(), "legs": ["L1", "L2"],
            "volts_nominal": 120}),
    ))
}

fn service(id: &str, claim: &ServiceClaim) -> Value {
    let sources: Vec<Value> = claim
        .sources
        .iter()
        .map(|s| json!({"type": s.kind.word(), "kw": s.kw, "transfer_switch": s.transfer_switch}))
        .collect();
    let mut properties = json!({"kind": "service", "id": id, "node": id,
        "premises": claim.premises, "meters": claim.meters, "meter_base_amps": 200,
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
    feature(point(claim.at), properties)
}

/// The box round every coordinate, a ten-thousandth of a degree wider: west, south, east, north.
fn bounds(features: &[Value]) -> [f64; 4] {
    let mut bounds = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    let mut take = |place: &Value| {
        let lon = place.get(0).and_then(Value::as_f64);
        let lat = place.get(1).and_then(Value::as_f64);
        if let (Some(lon), Some(lat)) = (lon, lat) {
            let [west, south, east, north] = bounds;
            bounds = [west.min(lon), south.min(lat), east.max(lon), north.max(lat)];
        }
    };
    for coordinates in features.iter().filter_map(|f| f.pointer("/geometry/coordinates")) {
        match coordinates.as_array() {
            Some(places) if places.iter().all(Value::is_array) => places.iter().for_each(&mut take),
            _ => take(coordinates),
        }
    }
    let [west, south, east, north] = bounds;
    let out = |x: f64, by: f64| libm::round((x + by) * 1e4) / 1e4;
    [out(west, -1.5e-4), out(south, -1.5e-4), out(east, 1.5e-4), out(north, 1.5e-4)]
}
