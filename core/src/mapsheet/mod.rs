//! Map sheets: GeoJSON (RFC 7946) to [`Plant`] with complete findings, and back without loss.
//!
//! A sheet with any error is refused whole, with everything that was found; nothing of it is kept.
//! A sheet's hash is over the canonical bytes of what was understood, so the order of features and
//! fields nobody reads do not count.

mod around;
mod correct;
mod correction;
mod feature;
mod field;
mod finding;
mod geometry;
mod nodes;
mod strict;
mod whole;
mod write;

#[cfg(test)]
pub(crate) mod fixture;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

pub use around::{AROUND_M, AroundError, MOST_CARRIED, around};
pub use correct::CorrectError;
pub use correction::{MapCorrection, corrections_to_geojson};
pub use finding::{Finding, FindingId, Refused, Severity};
pub use write::{canonical_bytes, hash, to_geojson};

use crate::plant::{Bounds, Features, Plant};
use crate::quantity::AssetId;
use field::{Fields, checked_id, shown};

/// Most bytes a map sheet may have: 64 MiB. A town of 60 pads takes half of one.
pub const MOST_BYTES: usize = 64 * 1024 * 1024;
/// Most features a map sheet may have.
pub const MOST_FEATURES: usize = 200_000;
/// The header's name among the members of the collection.
const HEADER: &str = "coldlug_map_sheet";

/// A map sheet that holds together.
#[derive(Debug, Clone, PartialEq)]
pub struct MapSheet {
    /// What it says.
    pub plant: Plant,
    /// SHA-256 of its canonical bytes, 64 hexadecimal digits.
    pub hash: String,
    /// What was found and does not stand in the way.
    pub warnings: Vec<Finding>,
}

/// Reads a map sheet; see [`Refused`] for how it fails.
pub fn read(bytes: &[u8]) -> Result<MapSheet, Refused> {
    let refuse = |finding| Err(Refused { findings: vec![finding] });
    if bytes.len() > MOST_BYTES {
        let says = format!(
            "the file has {} bytes, at most {MOST_BYTES} are read: cut the sheet to the job",
            bytes.len()
        );
        return refuse(Finding::of_sheet(FindingId::TooLarge, None, says));
    }
    let value = match strict::parse(bytes) {
        Ok(value) => value,
        Err(error) => return refuse(not_json(&error)),
    };
    let (mut features, items) = match header(&value) {
        Ok(parts) => parts,
        Err(finding) => return refuse(finding),
    };
    let mut findings = Vec::new();
    let mut seen = Seen::default();
    for (i, item) in items.iter().enumerate() {
        read_feature(i + 1, item, &mut features, &mut seen, &mut findings);
    }
    let all_read = findings.iter().all(|f| f.severity == Severity::Warning);
    findings.extend(nodes::check(&seen.ends));
    findings.extend(whole::check(&features, &seen.pads, all_read));
    whole::fill_legs(&mut features);
    if findings.iter().any(|f| f.severity == Severity::Error) {
        return Err(Refused { findings });
    }
    let plant = Plant::of(features);
    match hash(&plant) {
        Ok(hash) => Ok(MapSheet { plant, hash, warnings: findings }),
        Err(error) => refuse(not_json(&error)),
    }
}

fn not_json(error: &serde_json::Error) -> Finding {
    let text = error.to_string();
    let text = text.split(" at line ").next().unwrap_or_default();
    let (id, says) = if text.starts_with(strict::REPEATED) {
        (FindingId::RepeatedMember, format!("{text}: name it once"))
    } else if error.is_eof() {
        (FindingId::NotJson, format!("the file is cut off ({text}): get it again"))
    } else {
        (FindingId::NotJson, format!("this is not JSON ({text}): get the file again"))
    };
    Finding {
        line: Some(error.line()),
        column: Some(error.column()),
        ..Finding::of_sheet(id, None, says)
    }
}

/// The header, without any feature yet, and the features still to be read.
fn header(value: &Value) -> Result<(Features, &Vec<Value>), Finding> {
    let bad =
        |field: &str, says: &str| Finding::of_sheet(FindingId::NotAMapSheet, Some(field), says);
    let top = value.as_object().filter(|o| o.get("type") == Some(&"FeatureCollection".into()));
    let top = top.ok_or_else(|| bad("type", "the file must be a GeoJSON FeatureCollection"))?;
    let head = top.get(HEADER).and_then(Value::as_object);
    let head = head.ok_or_else(|| bad(HEADER, "the sheet's header is missing"))?;
    if head.get("format").and_then(Value::as_u64) != Some(1) {
        let says = "only format 1 of the map sheet is known here";
        return Err(Finding::of_sheet(FindingId::UnknownFormat, Some("format"), says));
    }
    let text = |name: &'static str| {
        let text = head.get(name).and_then(Value::as_str);
        text.filter(|t| !t.trim().is_empty() && t.chars().count() <= 120)
            .filter(|t| !t.chars().any(char::is_control))
            .map(str::to_owned)
            .ok_or_else(|| bad(name, "must be text of 1 to 120 characters"))
    };
    let edges: Option<Vec<f64>> = head
        .get("bounds")
        .and_then(Value::as_array)
        .and_then(|a| a.iter().map(Value::as_f64).collect());
    let bounds = match edges.as_deref() {
        Some([west, south, east, north]) => {
            Bounds { west_deg: *west, south_deg: *south, east_deg: *east, north_deg: *north }
        }
        _ => return Err(bad("bounds", "must be [west, south, east, north] in degrees")),
    };
    let on_earth = (-180.0..=180.0).contains(&bounds.west_deg)
        && (-180.0..=180.0).contains(&bounds.east_deg)
        && (-90.0..=90.0).contains(&bounds.south_deg)
        && (-90.0..=90.0).contains(&bounds.north_deg);
    if !on_earth || bounds.west_deg >= bounds.east_deg || bounds.south_deg >= bounds.north_deg {
        return Err(bad("bounds", "west must be less than east and south less than north"));
    }
    let invented = match head.get("invented") {
        None => false,
        Some(Value::Bool(invented)) => *invented,
        Some(_) => return Err(bad("invented", "must be true or false")),
    };
    let items = top.get("features").and_then(Value::as_array);
    let items = items.ok_or_else(|| bad("features", "the list of features is missing"))?;
    if items.len() > MOST_FEATURES {
        let says = format!("the sheet has {} features, at most {MOST_FEATURES}", items.len());
        return Err(Finding::of_sheet(FindingId::TooLarge, Some("features"), says));
    }
    let (name, edition) = (text("name")?, text("edition")?);
    Ok((Features { name, edition, bounds, invented, ..Features::default() }, items))
}

/// What was seen of the file so far, whether or not it could be read.
#[derive(Default)]
struct Seen {
    /// Where each id was last used.
    ids: BTreeMap<AssetId, usize>,
    /// The ids of all pads.
    pads: BTreeSet<String>,
    /// The nodes of all features.
    ends: Vec<nodes::Ends>,
}

/// Reads one feature into the plant.
fn read_feature(
    number: usize,
    item: &Value,
    features: &mut Features,
    seen: &mut Seen,
    findings: &mut Vec<Finding>,
) {
    let place = format!("feature {number}");
    let members = item
        .as_object()
        .filter(|o| o.get("type") == Some(&"Feature".into()))
        .and_then(|o| o.get("properties"))
        .and_then(Value::as_object);
    let Some(members) = members else {
        let says = "must be a GeoJSON Feature with properties";
        findings.push(Finding::of(FindingId::NotAMapSheet, &place, "properties", says));
        return;
    };
    let id = match members.get("id").map(Value::as_str) {
        Some(Some(text)) => checked_id(text).map_err(|says| (FindingId::BadName, says)),
        Some(None) => Err((FindingId::WrongType, "must be text in quotes".to_owned())),
        None => Err((FindingId::MissingField, "is missing: every feature needs a name".to_owned())),
    };
    let label = id.as_ref().map_or_else(|_| place.clone(), ToString::to_string);
    seen.ends.push(nodes::Ends::of(&label, members));
    if members.get("kind") == Some(&"pad".into()) {
        seen.pads.insert(label.clone());
    }
    let fields = Fields::new(label, members, item.get("geometry"), features.bounds);
    match &id {
        Err((kind, says)) => fields.note(*kind, "id", says.as_str()),
        Ok(id) => {
            if let Some(first) = seen.ids.insert(id.clone(), number) {
                let says = format!("is the id of features {first} and {number}: name one anew");
                fields.note(FindingId::DuplicateId, "id", says);
            }
        }
    }
    // A feature without a good name is still read, for the findings on its other fields.
    let named = id.clone().ok().or_else(|| AssetId::new(format!("feature-{number}")).ok());
    if let (Some(id), Some(kind)) = (named, fields.text("kind")) {
        read_kind(&kind, id, &fields, features);
    }
    findings.extend(fields.finish());
}

fn read_kind(kind: &str, id: AssetId, fields: &Fields<'_>, features: &mut Features) {
    fn keep<T>(into: &mut BTreeMap<AssetId, T>, id: AssetId, read: Option<T>) {
        if let Some(thing) = read {
            into.insert(id, thing);
        }
    }
    match kind {
        "source" => keep(&mut features.sources, id.clone(), feature::source(id, fields)),
        "switch" => keep(&mut features.switches, id.clone(), feature::switch(id, fields)),
        "cable" => keep(&mut features.cables, id.clone(), feature::cable(id, fields)),
        "transformer" => {
            keep(&mut features.transformers, id.clone(), feature::transformer(id, fields));
        }
        "pad" => keep(&mut features.pads, id.clone(), feature::pad(id, fields)),
        "pedestal" => keep(&mut features.pedestals, id.clone(), feature::pedestal(id, fields)),
        "set" => keep(&mut features.sets, id.clone(), feature::set(id, fields)),
        "service" => keep(&mut features.services, id.clone(), feature::service(id, fields)),
        other => {
            let says = format!("'{}' is no kind of feature on a map sheet", shown(other));
            fields.note(FindingId::UnknownKind, "kind", says);
        }
    }
}

/// The members of an object that is built here.
fn members<const N: usize>(pairs: [(&str, Value); N]) -> Map<String, Value> {
    pairs.into_iter().map(|(name, value)| (name.to_owned(), value)).collect()
}
