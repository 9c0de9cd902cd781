//! Map sheets from files of others: GeoPackage, GeoJSON, CSV, CIM; and from our own, however large.
//!
//! A mapping file says which layer gives which kind of feature and which column which field; what
//! neither source nor mapping says is a finding or stays absent. Rows are read one at a time and let
//! go; what is held is the sheet that comes of them, sixteen bytes a feature to find its row again,
//! and at most [`MOST_KEPT`] findings. A sheet with any error is refused whole.

mod cim;
mod convert;
mod csv;
mod findings;
mod geojson;
mod gpkg;
mod mapped;
mod mapping;
mod nodes;
mod open;
mod project;
mod row;
mod run;
mod shape;
mod unit;
mod wkb;

use std::path::{Path, PathBuf};

use coldlug_core::{mapsheet::Found, plant::Plant};

pub use findings::{Findings, FoundId, MOST_KEPT};
pub use open::Unreadable;

/// Told as an import goes on.
pub trait Watch {
    /// So far it has come.
    fn progress(&mut self, at: &Progress<'_>) {
        let _ = at;
    }

    /// This was found: every finding, also those that are not kept.
    fn found(&mut self, found: &Found) {
        let _ = found;
    }
}

/// Nobody listens.
impl Watch for () {}

/// How far an import has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// The layer that is being read.
    pub layer: &'a str,
    /// How much of it is read.
    pub done: u64,
    /// How much there is: bytes or rows.
    pub size: u64,
    /// Rows read so far, of all layers.
    pub rows: u64,
}

/// What an import came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The sheet; none where anything stands in the way.
    pub plant: Option<Plant>,
    /// What was found.
    pub findings: Findings,
    /// How many rows were read.
    pub rows: u64,
}

/// Reads files into a map sheet, by a mapping file where they are not a map sheet already.
pub fn import(
    from: &[PathBuf],
    mapping: Option<&Path>,
    watch: &mut dyn Watch,
) -> Result<Imported, Unreadable> {
    run::Run::new(watch).import(from, mapping)
}
