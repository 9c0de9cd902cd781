//! Map sheets from files of others: GeoPackage, GeoJSON, CSV, CIM; and from our own, however large.
//!
//! A mapping file says which layer gives which kind of feature and which column which field; what
//! neither source nor mapping says is a finding or stays absent. Rows are read one at a time and let
//! go, and at most [`MOST_KEPT`] findings are held. The sheet that comes of them lies in memory
//! ([`import`]) or on disk ([`import_on_disk`]): by the same rules, for they are core's. A sheet with any
//! error is refused whole.

mod aside;
mod cim;
mod convert;
mod csv;
mod disk;
mod findings;
mod geojson;
mod gpkg;
mod mapped;
mod mapping;
mod nodes;
mod open;
mod project;
mod room;
mod row;
mod run;
mod shape;
mod unit;
mod wkb;

use std::{
    convert::Infallible,
    path::{Path, PathBuf},
};

use coldlug_core::{
    mapsheet::{Found, Memory},
    plant::Plant,
};

pub use disk::{OnDisk, WriteError};
pub use findings::{Findings, FoundId, MOST_KEPT};
pub use open::Unreadable;
pub use room::NoRoom;

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

/// What an import is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Rows are read, and each is checked by itself.
    Reading,
    /// The sheet is checked as a whole.
    Checking,
    /// The sheet is written.
    Writing,
}

/// How far an import has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// What it is at; how far, is of this alone.
    pub doing: Doing,
    /// The layer that is being read; empty where none is.
    pub layer: &'a str,
    /// How much of it is done.
    pub done: u64,
    /// How much there is: bytes or rows.
    pub size: u64,
    /// Rows read so far, of all layers.
    pub rows: u64,
}

/// What an import came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported<T> {
    /// The sheet; none where anything stands in the way.
    pub sheet: Option<T>,
    /// What was found.
    pub findings: Findings,
    /// How many rows were read.
    pub rows: u64,
}

impl<T> Imported<T> {
    fn map<U>(self, sheet: impl FnOnce(T) -> U) -> Imported<U> {
        let Self { sheet: from, findings, rows } = self;
        Imported { sheet: from.map(sheet), findings, rows }
    }
}

/// Why an import came to nothing, whatever the files say.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// A file cannot be read.
    #[error(transparent)]
    Unreadable(#[from] Unreadable),
    /// There is no room to lay the sheet out.
    #[error(transparent)]
    NoRoom(#[from] NoRoom),
}

impl From<Infallible> for ImportError {
    fn from(never: Infallible) -> Self {
        match never {}
    }
}

/// Reads files into a map sheet, by a mapping file where they are not a map sheet already. The sheet
/// lies in memory.
pub fn import(
    from: &[PathBuf],
    mapping: Option<&Path>,
    watch: &mut dyn Watch,
) -> Result<Imported<Plant>, ImportError> {
    let imported = run::Run::new(watch).import(from, mapping, Memory::default())?;
    Ok(imported.map(|(header, kept)| kept.plant(header)))
}

/// The same, and the sheet lies on disk: memory stays bounded however large the sheet.
///
/// It is laid out in the folder for temporary files, in a file that is taken away at the end, also
/// when the program is killed. Memory is the page caches and sorting of three databases (the sheet,
/// what is looked up beside it, a model in CIM), sixteen bytes a feature for what hangs together, and
/// the largest single feature.
pub fn import_on_disk(
    from: &[PathBuf],
    mapping: Option<&Path>,
    watch: &mut dyn Watch,
) -> Result<Imported<OnDisk>, ImportError> {
    let imported = run::Run::new(watch).import(from, mapping, disk::Disk::new()?)?;
    Ok(imported.map(OnDisk::of))
}
