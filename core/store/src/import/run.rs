//! One import: files opened, a mapping read, and what is found told and kept.

use std::{
    fs,
    path::{Path, PathBuf},
};

use coldlug_core::{
    mapsheet::{Finding, Found, Gather, Origin, Shelf, SourceFindingId, Told, What},
    plant::Features,
};

use super::aside::Aside;
use super::cim::{self, Cim};
use super::mapping::Mapping;
use super::open::{Holds, Opened, Unreadable, open};
use super::row::{Broken, Source};
use super::{Doing, Findings, ImportError, Imported, Progress, Watch, geojson};

/// Most bytes of a mapping file.
const MOST_MAPPING: u64 = 1024 * 1024;
/// Rows between two reports of progress.
const REPORTED: u64 = 4096;

/// An import on its way.
pub(super) struct Run<'w> {
    watch: &'w mut dyn Watch,
    pub(super) findings: Findings,
    rows: u64,
    /// What is looked up beside the sheet.
    pub(super) aside: Aside,
    /// Why it cannot go on, whatever the sources say.
    pub(super) failed: Option<ImportError>,
}

/// What is left of a sheet where nothing stands in the way: its header, and its shelf.
type Sound<S> = Option<(Features, S)>;

/// A source with its place for findings.
pub(super) struct From {
    /// The file's place.
    pub(super) at: Origin,
    /// What is in it.
    pub(super) source: Box<dyn Source>,
}

impl<'w> Run<'w> {
    pub(super) fn new(watch: &'w mut dyn Watch) -> Self {
        let (findings, aside) = (Findings::default(), Aside::default());
        Self { watch, findings, rows: 0, aside, failed: None }
    }

    /// Reads files into a sheet that lies on this shelf.
    pub(super) fn import<S: Shelf>(
        mut self,
        from: &[PathBuf],
        mapping: Option<&Path>,
        on: S,
    ) -> Result<Imported<(Features, S)>, ImportError>
    where
        ImportError: std::convert::From<S::Error>,
    {
        let sheet = self.read(from, mapping, on)?;
        self.aside.wrong()?;
        if let Some(failed) = self.failed {
            return Err(failed);
        }
        let sheet = sheet.filter(|_| self.findings.errors == 0);
        Ok(Imported { sheet, findings: self.findings, rows: self.rows })
    }

    /// Tells and keeps a finding.
    pub(super) fn note(&mut self, found: Found) {
        self.watch.found(&found);
        self.findings.add(found);
    }

    /// What a shelf gave; none where the import cannot go on.
    pub(super) fn held<T, E>(&mut self, given: Result<T, E>) -> Option<T>
    where
        ImportError: std::convert::From<E>,
    {
        given.map_err(|why| self.failed = Some(why.into())).ok()
    }

    fn read<S: Shelf>(
        &mut self,
        from: &[PathBuf],
        mapping: Option<&Path>,
        on: S,
    ) -> Result<Sound<S>, Unreadable>
    where
        ImportError: std::convert::From<S::Error>,
    {
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
        if self.findings.errors > 0 || self.failed.is_some() {
            return Ok(None);
        }
        Ok(match (sheets.pop(), mapping) {
            (Some((at, sheet)), None) if sheets.is_empty() && sources.is_empty() => {
                self.sheet(&at, sheet, on)
            }
            (Some((at, _)), _) => {
                self.note(Found::error(at, SourceFindingId::FilesMixed, []));
                None
            }
            (None, Some(mapping)) => self.mapped(sources, &mapping, on),
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
            let doing = Doing::Reading;
            self.watch.progress(&Progress { doing, layer: "", done, size, rows: 0 });
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
    fn sheet<S: Shelf>(&mut self, at: &Origin, mut sheet: geojson::GeoJson, on: S) -> Sound<S>
    where
        ImportError: std::convert::From<S::Error>,
    {
        let size = sheet.size();
        let begun = sheet.header().map(|header| Gather::new(header, on))?;
        let mut gather = match begun {
            Ok(gather) => gather,
            Err(finding) => {
                self.note(of_sheet(at.clone(), finding));
                return None;
            }
        };
        let row = |number: u32| at.row(format!("{} {number}", geojson::WORD));
        let read = sheet.features(&mut |done, feature| {
            self.count("", done, size);
            if self.failed.is_some() {
                return;
            }
            let found = gather.feature(&feature);
            for finding in self.held(found).unwrap_or_default() {
                self.note(of_sheet(row(gather.count()), finding));
            }
        });
        if let Err(why) = read {
            self.ended(Err(why), at);
            return None;
        }
        self.finish(gather, &mut |_, number, _| number.map_or_else(|| at.clone(), row))
    }

    /// Checks the sheet as a whole; each finding is told at its place in the source.
    pub(super) fn finish<S: Shelf>(
        &mut self,
        gather: Gather<S>,
        place: &mut dyn FnMut(&Aside, Option<u32>, &Finding) -> Origin,
    ) -> Sound<S>
    where
        ImportError: std::convert::From<S::Error>,
    {
        if self.failed.is_some() {
            return None;
        }
        let finished = gather.finish(&mut |told| match told {
            Told::Checked { done, of: size } => {
                let (doing, rows) = (Doing::Checking, self.rows);
                self.watch.progress(&Progress { doing, layer: "", done, size, rows });
            }
            Told::Found(number, finding) => {
                let at = place(&self.aside, number, &finding);
                self.note(of_sheet(at, finding));
            }
        });
        self.held(finished)?
    }

    /// One row more.
    pub(super) fn count(&mut self, layer: &str, done: u64, size: u64) {
        self.rows += 1;
        if self.rows.is_multiple_of(REPORTED) {
            let (doing, rows) = (Doing::Reading, self.rows);
            self.watch.progress(&Progress { doing, layer, done, size, rows });
        }
    }

    /// What a reading came to that may have stopped.
    pub(super) fn ended(&mut self, read: Result<(), Broken>, at: &Origin) {
        match read {
            Ok(()) => {}
            Err(Broken::Why(why)) => {
                let args = [("why", why)];
                self.note(Found::error(at.clone(), SourceFindingId::FileBroken, args));
            }
            Err(Broken::NoRoom(why)) => self.failed = Some(why.into()),
        }
    }
}

/// A finding in the sheet, at its place in the source.
pub(super) fn of_sheet(at: Origin, finding: Finding) -> Found {
    Found { at, what: What::Sheet(Box::new(finding)) }
}
