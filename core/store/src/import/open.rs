//! Which form a file has, told by how it begins, and the file opened.

use std::{
    fs::File,
    io::{self, Read},
    path::{Path, PathBuf},
};

use coldlug_core::mapsheet::{Found, Origin, SourceFindingId};

use super::csv::Csv;
use super::geojson::GeoJson;
use super::gpkg::GeoPackage;
use super::row::{Broken, Source};

/// A file cannot be read at all.
#[derive(Debug, thiserror::Error)]
#[error("cannot read {}", path.display())]
pub struct Unreadable {
    /// Which.
    pub path: PathBuf,
    /// Why.
    pub source: io::Error,
}

/// A file that was opened.
pub(super) struct Opened {
    /// Its name, for findings.
    pub(super) at: Origin,
    /// What is in it.
    pub(super) holds: Holds,
}

/// What is in a file.
pub(super) enum Holds {
    /// A map sheet of ours.
    Sheet(GeoJson),
    /// Layers of somebody else's.
    Layers(Box<dyn Source>),
    /// Part of a model in CIM, which is laid out once all parts are known.
    Cim,
}

/// Opens a file; what is wrong with it is found, not returned.
pub(super) fn open(path: &Path) -> Result<Result<Opened, Found>, Unreadable> {
    let unreadable = |source| Unreadable { path: path.to_owned(), source };
    let text =
        |name: Option<&std::ffi::OsStr>| name.unwrap_or_default().to_string_lossy().into_owned();
    let at = Origin::file(text(path.file_name()));
    let name = text(path.file_stem());
    let broken = |broken: Broken| {
        let why = match broken {
            Broken::Why(why) => why,
            Broken::NoRoom(why) => why.to_string(),
        };
        Found::error(at.clone(), SourceFindingId::FileBroken, [("why", why)])
    };
    let mut begins = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    file.take(4096).read_to_end(&mut begins).map_err(unreadable)?;
    let opened = match form(&begins, path) {
        Some(Form::GeoPackage) => {
            GeoPackage::open(path).map(|source| Holds::Layers(Box::new(source)))
        }
        Some(Form::GeoJson) => {
            GeoJson::open(path, name).map_err(unreadable)?.map(|source| match source.header() {
                Some(_) => Holds::Sheet(source),
                None => Holds::Layers(Box::new(source)),
            })
        }
        Some(Form::Cim) => Ok(Holds::Cim),
        Some(Form::Csv) => {
            Csv::open(path, name).map_err(unreadable)?.map(|source| Holds::Layers(Box::new(source)))
        }
        None => return Ok(Err(Found::error(at, SourceFindingId::FileUnknown, []))),
    };
    Ok(opened.map_err(broken).map(|holds| Opened { at, holds }))
}

/// The forms of files that are read.
enum Form {
    GeoPackage,
    GeoJson,
    Csv,
    Cim,
}

fn form(begins: &[u8], path: &Path) -> Option<Form> {
    if begins.starts_with(b"SQLite format 3\0") {
        return Some(Form::GeoPackage);
    }
    let text = begins.strip_prefix(b"\xef\xbb\xbf").unwrap_or(begins);
    if text.trim_ascii_start().starts_with(b"{") {
        return Some(Form::GeoJson);
    }
    if text.trim_ascii_start().starts_with(b"<") {
        return Some(Form::Cim);
    }
    let ends = |ending: &str| path.extension().is_some_and(|end| end.eq_ignore_ascii_case(ending));
    (ends("csv") || ends("tsv")).then_some(Form::Csv)
}
