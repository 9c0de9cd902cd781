//! Map sheets: GeoJSON (RFC 7946) to [`Plant`] with complete findings, and back without loss.
//!
//! A sheet with any error is refused whole, with everything that was found; nothing of it is kept.
//! A sheet's hash is over the canonical bytes of what was understood, so the order of features and
//! fields nobody reads do not count.

mod around;
mod check;
mod correct;
mod correction;
mod end;
mod feature;
mod field;
mod finding;
mod found;
mod gather;
mod geometry;
mod groups;
mod kinds;
mod lugs;
mod marks;
mod memory;
mod nodes;
mod pack;
mod pads;
mod pieces;
mod reach;
mod shelf;
mod strict;
mod write;

#[cfg(test)]
pub(crate) mod fixture;
#[cfg(test)]
mod tests;

use serde_json::{Map, Value};

pub use around::{AROUND_M, AroundError, MOST_CARRIED, around};
pub use check::Told;
pub use correct::CorrectError;
pub use correction::{MapCorrection, corrections_to_geojson};
pub use finding::{Finding, FindingId, Refused, Severity};
pub use found::{Found, Origin, SourceFinding, SourceFindingId, What};
pub use gather::Gather;
pub use kinds::{FieldForm, FieldOf, KINDS, Measure, fields_of};
pub use memory::Memory;
pub use pieces::{Pieces, Written, canonical_bytes, canonical_pieces, filled, hash, kept};
pub use shelf::{Feature, Filled, Rows, Shelf, TakeRow};
pub use strict::Strict;
pub use write::to_geojson;

use crate::plant::{Bounds, Features, Plant};

/// Most bytes a map sheet may have: 64 MiB. A town of 60 pads takes half of one.
pub const MOST_BYTES: usize = 64 * 1024 * 1024;
/// Most features a map sheet may have.
pub const MOST_FEATURES: usize = 200_000;
/// Most features that are gathered from elsewhere into one sheet: a city of a million nodes has two.
pub const MOST_GATHERED: u32 = 4_000_000;
/// The header's name among the members of the collection.
pub const HEADER: &str = "coldlug_map_sheet";

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
    let (header, items) = match parts(&value) {
        Ok(parts) => parts,
        Err(finding) => return refuse(finding),
    };
    let mut gather = match Gather::new(header, Memory::default()) {
        Ok(gather) => gather,
        Err(finding) => return refuse(finding),
    };
    let mut findings = Vec::new();
    for item in items {
        let Ok(found) = gather.feature(item);
        findings.extend(found);
    }
    let Ok(kept) = gather.finish(&mut |told| {
        if let Told::Found(_, finding) = told {
            findings.push(finding);
        }
    });
    let Some((header, kept)) = kept else { return Err(Refused { findings }) };
    let plant = kept.plant(header);
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

fn bad_header(field: &str, says: &str) -> Finding {
    Finding::of_sheet(FindingId::NotAMapSheet, Some(field), says)
}

/// The header and the features, neither of them read yet.
fn parts(value: &Value) -> Result<(&Map<String, Value>, &Vec<Value>), Finding> {
    let top = value.as_object().filter(|o| o.get("type") == Some(&"FeatureCollection".into()));
    let top =
        top.ok_or_else(|| bad_header("type", "the file must be a GeoJSON FeatureCollection"))?;
    let head = top.get(HEADER).and_then(Value::as_object);
    let head = head.ok_or_else(|| bad_header(HEADER, "the sheet's header is missing"))?;
    let items = top.get("features").and_then(Value::as_array);
    let items = items.ok_or_else(|| bad_header("features", "the list of features is missing"))?;
    if items.len() > MOST_FEATURES {
        let says = format!("the sheet has {} features, at most {MOST_FEATURES}", items.len());
        return Err(Finding::of_sheet(FindingId::TooLarge, Some("features"), says));
    }
    Ok((head, items))
}

/// What the header says, without any feature yet.
fn header(head: &Map<String, Value>) -> Result<Features, Finding> {
    let bad = bad_header;
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
    let (name, edition) = (text("name")?, text("edition")?);
    Ok(Features { name, edition, bounds, invented, ..Features::default() })
}

/// The members of an object that is built here.
fn members<const N: usize>(pairs: [(&str, Value); N]) -> Map<String, Value> {
    pairs.into_iter().map(|(name, value)| (name.to_owned(), value)).collect()
}
