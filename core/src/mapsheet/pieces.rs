//! The canonical bytes of a sheet (RFC 8785), a feature at a time, and their hash.

use std::fmt;

use serde_json::Value;
use sha2::{Digest, Sha256};

use super::pack::{Pack, Unpack};
use super::shelf::{Feature, Filled};
use super::{HEADER, KINDS, write};
use crate::plant::{Features, Plant};
use crate::quantity::AssetId;

/// A feature as it is written.
const WHOLE: u8 = 0;
/// A feature with a list that is filled in later.
const OPEN: u8 = 1;
/// That list.
const LIST: u8 = 2;

/// What stands where a list is filled in, as a member's value. No text of a sheet has a control code
/// in it, so nothing else looks like it.
const HOLE: &str = "\0";
/// The same in canonical JSON.
const HOLE_BYTES: &[u8] = b"\"\\u0000\"";

/// Hands over the canonical bytes of a plant's sheet in pieces, one feature at a time, so that they
/// never stand in memory all at once. Gives their SHA-256, 64 hexadecimal digits.
///
/// Fails where a piece is not taken, and where a number is not finite, which no sheet that was read
/// can hold.
pub fn canonical_pieces<E: From<serde_json::Error>>(
    plant: &Plant,
    take: impl FnMut(&[u8]) -> Result<(), E>,
) -> Result<String, E> {
    let mut pieces = Pieces::begin(plant, take)?;
    for (kind, feature) in write::features(plant) {
        pieces.feature(kind, &serde_jcs::to_vec(&feature)?)?;
    }
    Ok(pieces.end()?.hash)
}

/// The canonical bytes of a plant's sheet; fails as [`canonical_pieces`] does.
pub fn canonical_bytes(plant: &Plant) -> Result<Vec<u8>, serde_json::Error> {
    let mut bytes = Vec::new();
    canonical_pieces(plant, |piece| {
        bytes.extend_from_slice(piece);
        Ok::<(), serde_json::Error>(())
    })?;
    Ok(bytes)
}

/// SHA-256 of the canonical bytes, 64 hexadecimal digits; fails as [`canonical_pieces`] does.
pub fn hash(plant: &Plant) -> Result<String, serde_json::Error> {
    canonical_pieces(plant, |_| Ok(()))
}

/// A feature as bytes, for a shelf that is not in memory: the key sorts as the features of a sheet
/// stand, the row is what [`Pieces`] takes. Where it is `open`, the row of its list goes with it.
pub fn kept(feature: &Feature, open: bool) -> Result<(Vec<u8>, Vec<u8>), serde_json::Error> {
    let (kind, id, mut value) = write::one(feature);
    if open && let Some(members) = value.get_mut("properties").and_then(Value::as_object_mut) {
        let list = if matches!(feature, Feature::Pad(_)) { "contains" } else { "legs" };
        members.insert(list.to_owned(), HOLE.into());
    }
    let part = if open { OPEN } else { WHOLE };
    Ok((key(kind, id, part), serde_jcs::to_vec(&value)?))
}

/// The list of a feature that was kept open, likewise.
pub fn filled(id: &AssetId, list: &Filled) -> Result<(Vec<u8>, Vec<u8>), serde_json::Error> {
    let (kind, list) = match list {
        Filled::Contains(ids) => ("pad", write::ids(ids)),
        Filled::Legs(legs) => ("switch", write::legs(legs)),
    };
    let kind = KINDS.iter().position(|known| *known == kind).unwrap_or_default();
    Ok((key(kind, id, LIST), serde_jcs::to_vec(&list)?))
}

fn key(kind: usize, id: &AssetId, part: u8) -> Vec<u8> {
    Pack::default().field(kind).text(id.as_str()).byte(part).into_bytes()
}

/// A sheet that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Its name.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// Whether it is an invention and no real place.
    pub invented: bool,
    /// SHA-256 of its canonical bytes, 64 hexadecimal digits.
    pub hash: String,
    /// How many features of each kind it has, in the order of [`KINDS`].
    pub counts: [usize; KINDS.len()],
}

/// The canonical bytes of a sheet, as they are put together.
pub struct Pieces<T> {
    written: Written,
    digest: Sha256,
    take: T,
    /// A feature whose list has not come yet, with the place of its kind.
    open: Option<(usize, Vec<u8>)>,
}

impl<T> fmt::Debug for Pieces<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Pieces").field("written", &self.written).finish_non_exhaustive()
    }
}

impl<E: From<serde_json::Error>, T: FnMut(&[u8]) -> Result<(), E>> Pieces<T> {
    /// Begins with the header; `of` need not hold any feature.
    pub fn begin(of: &Features, take: T) -> Result<Self, E> {
        let written = Written {
            name: of.name.clone(),
            edition: of.edition.clone(),
            invented: of.invented,
            hash: String::new(),
            counts: [0; KINDS.len()],
        };
        let mut pieces = Self { written, digest: Sha256::new(), take, open: None };
        // The members of an object stand in the order of their names.
        pieces.piece(format!("{{\"{HEADER}\":").as_bytes())?;
        pieces.piece(&serde_jcs::to_vec(&write::header(of))?)?;
        pieces.piece(b",\"features\":[")?;
        Ok(pieces)
    }

    /// Takes the next of the rows of [`kept`] and [`filled`], in the order of their keys.
    pub fn row(&mut self, key: &[u8], row: &[u8]) -> Result<(), E> {
        let mut key = Unpack::of(key);
        let kind = key.field();
        key.past_text();
        match key.byte() {
            LIST => self.close(row),
            OPEN => {
                self.close(b"[]")?;
                self.open = Some((kind, row.to_vec()));
                Ok(())
            }
            _ => {
                self.close(b"[]")?;
                self.feature(kind, row)
            }
        }
    }

    /// Ends the sheet.
    pub fn end(mut self) -> Result<Written, E> {
        self.close(b"[]")?;
        self.piece(b"],\"type\":\"FeatureCollection\"}")?;
        Ok(Written { hash: hex::encode(self.digest.finalize()), ..self.written })
    }

    /// Fills in the list of the feature that waits for it.
    fn close(&mut self, list: &[u8]) -> Result<(), E> {
        let Some((kind, feature)) = self.open.take() else { return Ok(()) };
        let hole = feature.windows(HOLE_BYTES.len()).position(|bytes| bytes == HOLE_BYTES);
        let hole = hole.unwrap_or(feature.len());
        let before = feature.get(..hole).unwrap_or_default();
        let after = feature.get(hole + HOLE_BYTES.len()..).unwrap_or_default();
        self.feature(kind, &[before, list, after].concat())
    }

    fn feature(&mut self, kind: usize, canonical: &[u8]) -> Result<(), E> {
        if self.written.counts.iter().any(|count| *count > 0) {
            self.piece(b",")?;
        }
        if let Some(count) = self.written.counts.get_mut(kind) {
            *count += 1;
        }
        self.piece(canonical)
    }

    fn piece(&mut self, bytes: &[u8]) -> Result<(), E> {
        self.digest.update(bytes);
        (self.take)(bytes)
    }
}
