//! Map sheets from files of others: what comes in is what went out, and what is wrong is named.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails"
)]

mod cim;
mod cim_equipment;
mod csv_pairs;
mod customer_sources;
mod geojson;
mod geopackage;
mod gpkg;
mod on_disk;
mod tables;

use std::{fs, path::PathBuf};

use coldlug_core::mapsheet::{Found, What};
use coldlug_core::plant::Plant;
use coldlug_store::import::{Imported, import};
use tempfile::TempDir;

/// A folder with files, and what an import of some of them comes to.
struct Folder(TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn with(self, name: &str, text: &str) -> Self {
        fs::write(self.path(name), text).unwrap();
        self
    }

    fn import(&self, from: &[&str], mapping: Option<&str>) -> Imported<Plant> {
        let from: Vec<PathBuf> = from.iter().map(|name| self.path(name)).collect();
        let mapping = mapping.map(|name| self.path(name));
        import(&from, mapping.as_deref(), &mut ()).unwrap()
    }
}

/// What was found, as `id file layer row column`.
fn lines(imported: &Imported<Plant>) -> Vec<String> {
    let line = |found: &Found| {
        let at = &found.at;
        let parts = [&at.file, &at.layer, &at.row, &at.column];
        let mut parts: Vec<&str> = parts.into_iter().flatten().map(|part| &**part).collect();
        let id = found.what.id();
        parts.insert(0, &id);
        let field = match &found.what {
            What::Sheet(finding) => finding.field.clone().unwrap_or_default(),
            What::Source(_) => String::new(),
        };
        format!("{} {field}", parts.join(" ")).trim_end().to_owned()
    };
    imported.findings.kept.iter().map(line).collect()
}

/// Checks that this was found.
fn check(imported: &Imported<Plant>, line: &str) {
    let lines = lines(imported);
    assert!(lines.iter().any(|found| found == line), "no {line} in {lines:#?}");
    assert!(imported.sheet.is_none() || line.starts_with("import-"), "taken in spite of {line}");
}
