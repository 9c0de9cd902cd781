//! A plant as GeoJSON, without loss.

use serde_json::{Map, Value, json};

use super::feature::{
    CONNECTIONS, CRITICAL, DEVICES, LEGS, METALS, METERING, NEUTRALS, NORMALLY, SOURCE_KINDS,
};
use super::shelf::Feature;
use super::{HEADER, members};
use crate::plant::{
    Cable, Conductor, Features, LonLat, Pad, Pedestal, Plant, Service, Set, Source, Switch,
    Transformer,
};
use crate::quantity::{
    AssetId, Power, in_amps, in_kilovolt_amps, in_metres, in_volts, kilovolt_amps,
};

/// The map sheet of a plant: features by kind, then by id.
pub fn to_geojson(plant: &Plant) -> Value {
    Value::Object(members([
        ("type", "FeatureCollection".into()),
        (HEADER, header(plant)),
        ("features", Value::Array(features(plant).map(|(_, feature)| feature).collect())),
    ]))
}

pub(super) fn header(of: &Features) -> Value {
    let b = &of.bounds;
    Value::Object(members([
        ("format", 1.into()),
        ("name", of.name.clone().into()),
        ("edition", of.edition.clone().into()),
        ("bounds", json!([b.west_deg, b.south_deg, b.east_deg, b.north_deg])),
        ("invented", of.invented.into()),
    ]))
}

/// Each feature with the place of its kind among [`KINDS`](super::KINDS).
pub(super) fn features(plant: &Plant) -> impl Iterator<Item = (usize, Value)> {
    let lines = plant.sources.values().map(|it| (0, source(it)));
    let lines = lines.chain(plant.switches.values().map(|it| (1, switch(it))));
    let lines = lines.chain(plant.cables.values().map(|it| (2, cable(it))));
    let lines = lines.chain(plant.transformers.values().map(|it| (3, transformer(it))));
    let lines = lines.chain(plant.pads.values().map(|it| (4, pad(it))));
    let lines = lines.chain(plant.pedestals.values().map(|it| (5, pedestal(it))));
    let lines = lines.chain(plant.sets.values().map(|it| (6, set(it))));
    lines.chain(plant.services.values().map(|it| (7, service(it))))
}

/// The same of one feature, with its id.
pub(super) fn one(feature: &Feature) -> (usize, &AssetId, Value) {
    match feature {
        Feature::Source(it) => (0, &it.id, source(it)),
        Feature::Switch(it) => (1, &it.id, switch(it)),
        Feature::Cable(it) => (2, &it.id, cable(it)),
        Feature::Transformer(it) => (3, &it.id, transformer(it)),
        Feature::Pad(it) => (4, &it.id, pad(it)),
        Feature::Pedestal(it) => (5, &it.id, pedestal(it)),
        Feature::Set(it) => (6, &it.id, set(it)),
        Feature::Service(it) => (7, &it.id, service(it)),
    }
}

fn feature(geometry: Value, properties: Map<String, Value>) -> Value {
    Value::Object(members([
        ("type", "Feature".into()),
        ("geometry", geometry),
        ("properties", Value::Object(properties)),
    ]))
}

fn position(place: LonLat) -> Value {
    json!([place.lon_deg, place.lat_deg])
}

pub(super) fn point(place: LonLat) -> Value {
    json!({"type": "Point", "coordinates": position(place)})
}

fn maybe_point(place: Option<LonLat>) -> Value {
    place.map_or(Value::Null, point)
}

fn line(course: &[LonLat]) -> Value {
    if course.is_empty() {
        return Value::Null;
    }
    let positions: Vec<Value> = course.iter().copied().map(position).collect();
    json!({"type": "LineString", "coordinates": positions})
}

/// A power in thousands such that reading it gives the same power again: dividing and multiplying by
/// a thousand may round differently by one step.
fn in_thousands(power: Power) -> Value {
    let near = in_kilovolt_amps(power);
    let same = [near, near.next_up(), near.next_down()]
        .into_iter()
        .find(|&value| kilovolt_amps(value) == power);
    same.unwrap_or(near).into()
}

/// Likewise for kilovolts.
fn in_kilovolts(volts: f64) -> Value {
    let near = volts / 1000.0;
    #[allow(clippy::float_cmp, reason = "the very same number is what is looked for")]
    let same = |&value: &f64| value * 1000.0 == volts;
    [near, near.next_up(), near.next_down()].into_iter().find(same).unwrap_or(near).into()
}

/// The word for a choice; every value is in its table.
fn word<T: PartialEq>(choices: &[(&'static str, T)], value: &T) -> Value {
    choices.iter().find(|(_, v)| v == value).map_or(Value::Null, |&(word, _)| word.into())
}

/// Adds what is there.
fn with(into: &mut Map<String, Value>, name: &str, value: Option<impl Into<Value>>) {
    if let Some(value) = value {
        into.insert(name.to_owned(), value.into());
    }
}

fn source(s: &Source) -> Value {
    let mut p = members([
        ("kind", "source".into()),
        ("id", s.id.as_str().into()),
        ("node", s.node.as_str().into()),
        ("volts_line_to_line", in_volts(s.line_to_line).into()),
    ]);
    with(&mut p, "fault_amps", s.fault.map(in_amps));
    with(&mut p, "x_over_r", s.x_over_r);
    feature(point(s.at), p)
}

fn switch(s: &Switch) -> Value {
    let mut p = members([
        ("kind", "switch".into()),
        ("id", s.id.as_str().into()),
        ("from", s.from.as_str().into()),
        ("to", s.to.as_str().into()),
        ("device", word(&DEVICES, &s.device)),
        ("normally", word(&NORMALLY, &s.normally)),
        ("rated_amps", in_amps(s.rated).into()),
        ("load_break_amps", in_amps(s.load_break).into()),
        ("visible_break", s.visible_break.into()),
        ("lockable", s.lockable.into()),
    ]);
    with(&mut p, "pad", s.pad.as_ref().map(AssetId::as_str));
    with(&mut p, "position", s.position.clone());
    with(&mut p, "volts_nominal", s.voltage.map(in_volts));
    if !s.legs.is_empty() {
        p.insert("legs".to_owned(), legs(&s.legs));
    }
    feature(maybe_point(s.at), p)
}

fn cable(c: &Cable) -> Value {
    let mut p = members([
        ("kind", "cable".into()),
        ("id", c.id.as_str().into()),
        ("from", c.from.as_str().into()),
        ("to", c.to.as_str().into()),
        ("kv_class", in_kilovolts(in_volts(c.class))),
        ("metal", word(&METALS, &c.metal)),
        ("size", c.size.clone().into()),
        ("length_m", in_metres(c.length).into()),
    ]);
    with(&mut p, "neutral", c.neutral.map(|n| word(&NEUTRALS, &n)));
    feature(line(&c.course), p)
}

fn transformer(t: &Transformer) -> Value {
    let mut p = members([
        ("kind", "transformer".into()),
        ("id", t.id.as_str().into()),
        ("primary", t.primary.as_str().into()),
        ("secondary", t.secondary.as_str().into()),
        ("kva", in_thousands(t.rating)),
        ("percent_z", t.percent_z.into()),
        ("primary_volts", in_volts(t.primary_voltage).into()),
        ("system", t.system.name().into()),
        ("pad", t.pad.as_str().into()),
    ]);
    with(&mut p, "x_over_r", t.x_over_r);
    with(&mut p, "connection", t.windings.connection.map(|c| word(&CONNECTIONS, &c)));
    with(&mut p, "half_winding_r", t.windings.half_r);
    with(&mut p, "half_winding_x", t.windings.half_x);
    with(&mut p, "zero_over_positive", t.windings.zero_over_positive);
    with(&mut p, "phase", t.phase.clone());
    feature(maybe_point(t.at), p)
}

fn pad(pad: &Pad) -> Value {
    let p = members([
        ("kind", "pad".into()),
        ("id", pad.id.as_str().into()),
        ("tags", pad.tags.clone().into()),
        ("position_accuracy_m", in_metres(pad.accuracy).into()),
        ("contains", ids(&pad.contains)),
    ]);
    feature(point(pad.at), p)
}

fn pedestal(pedestal: &Pedestal) -> Value {
    let p = members([
        ("kind", "pedestal".into()),
        ("id", pedestal.id.as_str().into()),
        ("node", pedestal.node.as_str().into()),
    ]);
    feature(point(pedestal.at), p)
}

fn set(s: &Set) -> Value {
    let mut p = members([
        ("kind", "set".into()),
        ("id", s.id.as_str().into()),
        ("from", s.from.as_str().into()),
        ("to", s.to.as_str().into()),
        ("metal", word(&METALS, &s.metal)),
        ("size", s.size.clone().into()),
        ("length_m", in_metres(s.length).into()),
        ("runs", s.runs.into()),
    ]);
    with(&mut p, "pad", s.pad.as_ref().map(AssetId::as_str));
    with(&mut p, "position", s.position.clone());
    with(&mut p, "neutral_size", s.neutral_size.clone());
    feature(line(&s.course), p)
}

fn service(s: &Service) -> Value {
    let mut p = members([
        ("kind", "service".into()),
        ("id", s.id.as_str().into()),
        ("node", s.node.as_str().into()),
        ("premises", s.premises.clone().into()),
        ("meters", s.meters.clone().into()),
        ("meter_base_amps", in_amps(s.base_rating).into()),
        ("system", s.system.name().into()),
        ("unmetered_loads", s.unmetered_loads.into()),
    ]);
    with(&mut p, "metering", s.metering.map(|m| word(&METERING, &m)));
    with(&mut p, "withstand_amps", s.withstand.map(in_amps));
    with(&mut p, "peak_kva", s.peak.map(in_thousands));
    with(&mut p, "critical", s.critical.map(|c| word(&CRITICAL, &c)));
    if !s.sources.is_empty() {
        let sources = s.sources.iter().map(|own| {
            let mut own_p = members([
                ("type", word(&SOURCE_KINDS, &own.kind)),
                ("kw", in_thousands(own.power)),
                ("transfer_switch", own.transfer_switch.into()),
            ]);
            with(&mut own_p, "switch_withstand_amps", own.switch_withstand.map(in_amps));
            Value::Object(own_p)
        });
        p.insert("customer_sources".to_owned(), sources.collect());
    }
    feature(point(s.at), p)
}

pub(super) fn legs(legs: &[Conductor]) -> Value {
    legs.iter().map(|leg| word(&LEGS, leg)).collect()
}

pub(super) fn ids(ids: &[AssetId]) -> Value {
    ids.iter().map(AssetId::as_str).collect()
}
