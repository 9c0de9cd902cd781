//! One import: files opened, a mapping read, and what is found told and kept.

use std::{
    fs,
    path::{Path, PathBuf},
};

use coldlug_core::{
    mapsheet::{Finding, Found, Gather, Origin, SourceFindingId, What},
    plant::Plant,
};

use super::cim::{self, Cim};
use super::mapping::Mapping;
use super::open::{Holds, Opened, Unreadable, open};
use super::row::{Broken, Source};
use super::{Findings, Imported, Progress, Watch, geojson};

/// Most bytes of a mapping file.
const MOST_MAPPING: u64 = 1024 * 1024;
/// Rows between two reports of progress.
const REPORTED: u64 = 4096;

/// An import on its way.
pub(super) struct Run<'w> {
    watch: &'w mut dyn Watch,
    pub(super) findings: Findings,
    rows: u64,
    /// By feature: the block of the mapping, and the row's mark.
    pub(super) rows_of: Vec<(u32, i64)>,
}

/// A source with its place for findings.
pub(super) struct From {
    /// The file's place.
    pub(super) at: Origin,
    /// What is in it.
    pub(super) source: Box<dyn Source>,
}

impl<'w> Run<'w> {
    pub(super) fn new(watch: &'w mut dyn Watch) -> Self {
        Self { watch, findings: Findings::default(), rows: 0, rows_of: Vec::new() }
    }

    pub(super) fn import(
        mut self,
        from: &[PathBuf],
        mapping: Option<&Path>,
    ) -> Result<Imported, Unreadable> {
        let plant = self.read(from, mapping)?;
        let plant = plant.filter(|_| self.findings.errors == 0);
        Ok(Imported { plant, findings: self.findings, rows: self.rows })
    }

    /// Tells and keeps a finding.
    pub(super) fn note(&mut self, found: Found) {
        self.watch.found(&found);
        self.findings.add(found);
    }

    fn read(
        &mut self,
        from: &[PathBuf],
        mapping: Option<&Path>,
    ) -> Result<Option<Plant>, Unreadable> {
        let mut mapping = match mapping {
            Some(path) => self.mapping(path)?,
            None => None,
        };
        let mut sheets = Vec::new();
        let mut sources = Vec::new();
        let mut parts: Vec<(Origin, PathBuf)> = Vec::new();
        for path in from {
            match open(path)? {
                Ok(Opened { at, holds: Holds::Sheet(sheet) }) => sheets.push((at, sheet)),
                Ok(Opened { at, holds: Holds::Layers(source) }) => {
                    sources.push(From { at, source });
                }
                Ok(Opened { at, holds: Holds::Cim }) => parts.push((at, path.clone())),
                Err(found) => self.note(found),
            }
        }
        if !parts.is_empty() {
            if let Some(mapping) = &mut mapping {
                mapping.complete(&cim::known());
            }
            sources.extend(self.model(&parts)?);
        }
        let unmapped = mapping.iter().flat_map(Mapping::unmapped).collect::<Vec<Found>>();
        for found in unmapped {
            self.note(found);
        }
        if self.findings.errors > 0 {
            return Ok(None);
        }
        Ok(match (sheets.pop(), mapping) {
            (Some((at, sheet)), None) if sheets.is_empty() && sources.is_empty() => {
                self.sheet(&at, sheet)
            }
            (Some((at, _)), _) => {
                self.note(Found::error(at, SourceFindingId::FilesMixed, []));
                None
            }
            (None, Some(mapping)) => self.mapped(sources, &mapping),
            (None, None) => {
                for from in &sources {
                    self.note(Found::error(from.at.clone(), SourceFindingId::MappingNeeded, []));
                }
                None
            }
        })
    }

    fn mapping(&mut self, path: &Path) -> Result<Option<Mapping>, Unreadable> {
        let unreadable = |source| Unreadable { path: path.to_owned(), source };
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let broken = |why: String| {
            Found::error(Origin::file(&*name), SourceFindingId::MappingBroken, [("why", why)])
        };
        let size = fs::metadata(path).map_err(unreadable)?.len();
        if size > MOST_MAPPING {
            self.note(broken(format!("{size} bytes, at most {MOST_MAPPING} are read")));
            return Ok(None);
        }
        let bytes = fs::read(path).map_err(unreadable)?;
        let Ok(text) = String::from_utf8(bytes) else {
            self.note(broken("it is not UTF-8 text".to_owned()));
            return Ok(None);
        };
        let read = Mapping::read(&name, &text);
        read.wrong.into_iter().for_each(|found| self.note(found));
        Ok(read.mapping)
    }

    /// The parts of a model in CIM as one source.
    fn model(&mut self, parts: &[(Origin, PathBuf)]) -> Result<Option<From>, Unreadable> {
        let names: Vec<&str> = parts.iter().filter_map(|(at, _)| at.file.as_deref()).collect();
        let at = Origin::file(names.join(" + "));
        let paths: Vec<&Path> = parts.iter().map(|(_, path)| path.as_path()).collect();
        let mut tell = |done, size| {
            self.watch.progress(&Progress { layer: "", done, size, rows: 0 });
        };
        let mut model = match Cim::open(&paths, &mut tell)? {
            Ok(model) => model,
            Err((part, why)) => {
                let at = parts.get(part).map_or(at, |(at, _)| at.clone());
                self.ended(Err(why), &at);
                return Ok(None);
            }
        };
        let checked = model.check(&at, &mut |found| self.note(found));
        self.ended(checked, &at);
        Ok(Some(From { at, source: Box::new(model) }))
    }

    /// A map sheet of ours, as it stands.
    fn sheet(&mut self, at: &Origin, mut sheet: geojson::GeoJson) -> Option<Plant> {
        let size = sheet.size();
        let begun = sheet.header().map(Gather::new)?;
        let mut gather = match begun {
            Ok(gather) => gather,
            Err(finding) => {
                self.note(of_sheet(at.clone(), finding));
                return None;
            }
        };
        let row = |number: usize| at.row(format!("{} {number}", geojson::WORD));
        let read = sheet.features(&mut |done, feature| {
            self.count("", done, size);
            for finding in gather.feature(&feature) {
                self.note(of_sheet(row(gather.count()), finding));
            }
        });
        if let Err(Broken(why)) = read {
            self.note(Found::error(at.clone(), SourceFindingId::FileBroken, [("why", why)]));
            return None;
        }
        gather.finish(&mut |number, finding| {
            self.note(of_sheet(number.map_or_else(|| at.clone(), row), finding));
        })
    }

    /// One row more.
    pub(super) fn count(&mut self, layer: &str, done: u64, size: u64) {
        self.rows += 1;
        if self.rows.is_multiple_of(REPORTED) {
            self.watch.progress(&Progress { layer, done, size, rows: self.rows });
        }
    }

    /// What a reading came to that may have stopped.
    pub(super) fn ended(&mut self, read: Result<(), Broken>, at: &Origin) {
        if let Err(Broken(why)) = read {
            self.note(Found::error(at.clone(), SourceFindingId::FileBroken, [("why", why)]));
        }
    }
}

/// A finding in the sheet, at its place in the source.
pub(super) fn of_sheet(at: Origin, finding: Finding) -> Found {
    Found { at, what: What::Sheet(Box::new(finding)) }
}
