//! One import, from files to the sheet: files, mapping, places of nodes, features, the whole.

use std::{fs, path::Path, path::PathBuf};

use coldlug_core::{
    mapsheet::{Finding, Found, Gather, Origin, SourceFindingId, What},
    plant::Plant,
};

use super::convert::{Convert, Nodes, point, shape, turned};
use super::mapping::{Drawing, Filling, Mapping, Places};
use super::open::{Holds, Opened, Unreadable, open};
use super::project::Project;
use super::row::{Ask, Broken, Cell, Layer, Source, Taken};
use super::shape::Shape;
use super::{Findings, Imported, Progress, Watch, geojson};

/// Most bytes of a mapping file.
const MOST_MAPPING: u64 = 1024 * 1024;
/// Rows between two reports of progress.
const REPORTED: u64 = 4096;

/// An import on its way.
pub(super) struct Run<'w> {
    watch: &'w mut dyn Watch,
    findings: Findings,
    rows: u64,
    /// By feature: the block of the mapping, and the row's mark.
    rows_of: Vec<(u32, i64)>,
}

/// A source with its place for findings.
struct From {
    at: Origin,
    source: Box<dyn Source>,
}

/// A layer with the place of its source among the files.
struct Known {
    from: usize,
    layer: Layer,
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

    fn note(&mut self, found: Found) {
        self.watch.found(&found);
        self.findings.add(found);
    }

    fn read(
        &mut self,
        from: &[PathBuf],
        mapping: Option<&Path>,
    ) -> Result<Option<Plant>, Unreadable> {
        let mapping = match mapping {
            Some(path) => self.mapping(path)?,
            None => None,
        };
        let mut sheets = Vec::new();
        let mut sources = Vec::new();
        for path in from {
            match open(path)? {
                Ok(Opened { at, holds: Holds::Sheet(sheet) }) => sheets.push((at, sheet)),
                Ok(Opened { at, holds: Holds::Layers(source) }) => {
                    sources.push(From { at, source });
                }
                Err(found) => self.note(found),
            }
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
        if let Some(mapping) = &read.mapping {
            mapping.unmapped().into_iter().for_each(|found| self.note(found));
        }
        Ok(read.mapping)
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
    fn count(&mut self, layer: &str, done: u64, size: u64) {
        self.rows += 1;
        if self.rows.is_multiple_of(REPORTED) {
            self.watch.progress(&Progress { layer, done, size, rows: self.rows });
        }
    }

    /// Layers of others, by the mapping.
    fn mapped(&mut self, mut sources: Vec<From>, mapping: &Mapping) -> Option<Plant> {
        let gather = match Gather::new(&mapping.header) {
            Ok(gather) => Some(gather.filling_pads()),
            Err(finding) => {
                self.note(of_sheet(mapping.at.column("sheet"), finding));
                None
            }
        };
        let layers = self.layers(&sources, mapping);
        let places: Vec<Option<(usize, Project)>> = mapping
            .places
            .iter()
            .map(|places| self.ready_places(places, mapping, &layers))
            .collect();
        let mut ready: Vec<(usize, Convert<'_>)> = Vec::new();
        for block in &mapping.blocks {
            let at = mapping.at.layer(&block.of).column(&*block.key);
            let Some(layer) = self.layer(&block.of, &at, &layers) else { continue };
            let own = block.drawing == Drawing::Own && layer.layer.drawn;
            let drawn = own || matches!(block.drawing, Drawing::Columns { .. });
            let project = drawn.then(|| self.project(block.system.as_deref(), &at, &layer.layer));
            let convert = Convert::new(block, project.flatten());
            self.columns(&convert.columns, &at, &layer.layer);
            ready.push((layer.from, convert));
        }
        let mut gather = gather.filter(|_| self.findings.errors == 0)?;
        let mut nodes = Nodes::new();
        for (places, ready) in mapping.places.iter().zip(places) {
            let Some((from, project)) = ready else { continue };
            let from = sources.get_mut(from)?;
            self.places(places, &project, from, &layers, &mut nodes);
        }
        for (number, (from, convert)) in ready.iter_mut().enumerate() {
            let from = sources.get_mut(*from)?;
            self.block(number, convert, from, &layers, &nodes, &mut gather);
        }
        self.whole(gather, &sources, &ready)
    }

    /// Every layer of every file, and what is wrong with them together.
    fn layers(&mut self, sources: &[From], mapping: &Mapping) -> Vec<Known> {
        let mut layers: Vec<Known> = Vec::new();
        for (number, from) in sources.iter().enumerate() {
            for layer in from.source.layers() {
                let at = from.at.layer(&*layer.name);
                if layers.iter().any(|known| known.layer.name == layer.name) {
                    self.note(Found::error(at.clone(), SourceFindingId::LayerTwice, []));
                }
                let blocks = mapping.blocks.iter().map(|block| &block.of);
                if !blocks.chain(mapping.places.iter().map(|p| &p.of)).any(|of| *of == layer.name) {
                    self.note(Found::warning(at, SourceFindingId::LayerUnmapped, []));
                }
                layers.push(Known { from: number, layer: layer.clone() });
            }
        }
        layers
    }

    fn layer<'l>(&mut self, of: &str, at: &Origin, layers: &'l [Known]) -> Option<&'l Known> {
        let found = layers.iter().find(|known| known.layer.name == of);
        if found.is_none() {
            let known: Vec<&str> = layers.iter().map(|l| l.layer.name.as_str()).take(40).collect();
            let args = [("layer", of.to_owned()), ("known", known.join(", "))];
            self.note(Found::error(at.clone(), SourceFindingId::LayerMissing, args));
        }
        found
    }

    /// Whether the layer has every column that is asked of it.
    fn columns(&mut self, wanted: &[String], at: &Origin, layer: &Layer) {
        let Some(columns) = &layer.columns else { return };
        for name in wanted.iter().filter(|name| !columns.contains(name)) {
            let args = [("column", name.clone()), ("known", columns.join(", "))];
            self.note(Found::error(at.clone(), SourceFindingId::ColumnMissing, args));
        }
        for (place, name) in columns.iter().enumerate() {
            if wanted.contains(name) && columns.iter().skip(place + 1).any(|other| other == name) {
                let args = [("name", name.clone())];
                self.note(Found::error(at.clone(), SourceFindingId::NameTwice, args));
            }
        }
    }

    /// The way from a layer's coordinates to longitude and latitude.
    fn project(&mut self, said: Option<&str>, at: &Origin, layer: &Layer) -> Option<Project> {
        let Some(name) = said.or(layer.system.as_deref()) else {
            self.note(Found::error(at.clone(), SourceFindingId::SystemMissing, []));
            return None;
        };
        match Project::of(name) {
            Ok(project) => Some(project),
            Err((id, why)) => {
                let args = [("system", name.chars().take(120).collect()), ("why", why)];
                self.note(Found::error(at.clone(), id, args));
                None
            }
        }
    }

    fn ready_places(
        &mut self,
        places: &Places,
        mapping: &Mapping,
        layers: &[Known],
    ) -> Option<(usize, Project)> {
        let at = mapping.at.layer(&places.of).column(&*places.key);
        let layer = self.layer(&places.of, &at, layers)?;
        self.columns(&asked(places), &at, &layer.layer);
        self.project(places.system.as_deref(), &at, &layer.layer).map(|p| (layer.from, p))
    }

    /// Reads where nodes are.
    fn places(
        &mut self,
        places: &Places,
        project: &Project,
        from: &mut From,
        layers: &[Known],
        nodes: &mut Nodes,
    ) {
        let layer = from.at.layer(&*places.of);
        let size = size(layers, &places.of);
        let columns = asked(places);
        let drawn = places.drawing == Drawing::Own;
        let ask = Ask { layer: &places.of, columns: &columns, drawn };
        let read = from.source.rows(ask, &mut |taken| {
            self.count(&places.of, taken.done, size);
            let name = taken.name();
            let at = || layer.row(&*name);
            if let Err(found) = place(places, project, taken, &at, nodes) {
                self.note(found);
            }
        });
        self.ended(read, &layer);
    }

    fn ended(&mut self, read: Result<(), Broken>, at: &Origin) {
        if let Err(Broken(why)) = read {
            self.note(Found::error(at.clone(), SourceFindingId::FileBroken, [("why", why)]));
        }
    }

    /// Reads the features of one block.
    fn block(
        &mut self,
        number: usize,
        convert: &mut Convert<'_>,
        from: &mut From,
        layers: &[Known],
        nodes: &Nodes,
        gather: &mut Gather,
    ) {
        let block = convert.block;
        let layer = from.at.layer(&*block.of);
        let size = size(layers, &block.of);
        let number = u32::try_from(number).unwrap_or(u32::MAX);
        let columns = convert.columns.clone();
        let drawn = block.drawing == Drawing::Own;
        let ask = Ask { layer: &block.of, columns: &columns, drawn };
        let read = from.source.rows(ask, &mut |taken| {
            self.count(&block.of, taken.done, size);
            let row = match &taken.row {
                Ok(row) => row,
                Err(why) => {
                    let at = layer.row(taken.name());
                    let args = [("why", why.clone())];
                    self.note(Found::error(at, SourceFindingId::RowBroken, args));
                    return;
                }
            };
            let at = || layer.row(taken.name());
            let Some(made) = convert.feature(row, nodes, &at) else { return };
            made.wrong.into_iter().for_each(|found| self.note(found));
            self.rows_of.push((number, taken.mark));
            for finding in gather.feature(&made.item) {
                let field = finding.field.as_deref().unwrap_or_default();
                // What could not be read is not missing too.
                if made.fields.contains(&field) {
                    continue;
                }
                self.note(of_sheet(column_of(convert, at(), field), finding));
            }
        });
        self.ended(read, &layer);
        self.told(convert, &layer);
    }

    /// What the mapping did for all rows of a block.
    fn told(&mut self, convert: &Convert<'_>, at: &Origin) {
        let block = convert.block;
        let count = |number: u64| ("count", number.to_string());
        for (field, filling) in &block.fields {
            if let Filling::Value { value, because } = filling {
                let args = [
                    ("field", field.name.to_owned()),
                    ("value", value.to_string()),
                    ("because", because.clone()),
                    count(convert.taken),
                ];
                self.note(Found::warning(at.clone(), SourceFindingId::ValueStated, args));
            }
        }
        let straight = if block.drawing == Drawing::Ends { convert.taken } else { 0 };
        for (number, id) in [
            (convert.left, SourceFindingId::RowsLeft),
            (convert.heights, SourceFindingId::HeightsLeft),
            (straight, SourceFindingId::DrawnStraight),
        ] {
            if number > 0 {
                self.note(Found::warning(at.clone(), id, [count(number)]));
            }
        }
        let never = convert.columns.iter().zip(&convert.seen).filter(|(_, seen)| !**seen);
        for (name, _) in never.filter(|_| convert.taken > 0) {
            let at = at.column(&**name);
            self.note(Found::warning(at, SourceFindingId::ColumnEmpty, []));
        }
    }

    /// Checks the sheet as a whole; what is found is looked up in its row.
    fn whole(
        &mut self,
        gather: Gather,
        sources: &[From],
        ready: &[(usize, Convert<'_>)],
    ) -> Option<Plant> {
        let rows_of = std::mem::take(&mut self.rows_of);
        gather.finish(&mut |number, finding| {
            let row = number.and_then(|number| rows_of.get(number.checked_sub(1)?));
            let place = row.and_then(|&(block, mark)| {
                let (from, convert) = ready.get(usize::try_from(block).ok()?)?;
                let from = sources.get(*from)?;
                let at = from.at.layer(&*convert.block.of).row(from.source.row_name(mark));
                Some(column_of(convert, at, finding.field.as_deref().unwrap_or_default()))
            });
            self.note(of_sheet(place.unwrap_or_default(), finding));
        })
    }
}

fn of_sheet(at: Origin, finding: Finding) -> Found {
    Found { at, what: What::Sheet(finding) }
}

fn size(layers: &[Known], of: &str) -> u64 {
    layers.iter().find(|known| known.layer.name == of).map_or(0, |known| known.layer.size)
}

/// The place with the columns that the field is filled from.
fn column_of(convert: &Convert<'_>, at: Origin, field: &str) -> Origin {
    let columns = convert.block.filling(field).map(Filling::columns).unwrap_or_default();
    if columns.is_empty() { at } else { at.column(columns.join(", ")) }
}

/// The columns that are asked of a layer of places.
fn asked(places: &Places) -> Vec<String> {
    let mut columns = vec![places.node.clone()];
    if let Drawing::Columns { lon, lat } = &places.drawing {
        columns.extend([lon.clone(), lat.clone()]);
    }
    columns
}

/// Takes the place of one node.
fn place(
    places: &Places,
    project: &Project,
    taken: Taken<'_>,
    at: &dyn Fn() -> Origin,
    nodes: &mut Nodes,
) -> Result<(), Found> {
    let row =
        taken.row.map_err(|why| Found::error(at(), SourceFindingId::RowBroken, [("why", why)]))?;
    let cell = |number: usize| row.cells.get(number).unwrap_or(&Cell::Absent);
    let node = cell(0).as_text().map(|node| format!("{}{node}", places.before));
    let needed = |name: &str| {
        let args = [("is", "-".to_owned()), ("needs", "text".to_owned())];
        Found::error(at().column(name), SourceFindingId::CellWrong, args)
    };
    let node = node.ok_or_else(|| needed(&places.node))?;
    let shape = match &places.drawing {
        Drawing::Columns { lon, lat } => point([cell(1), cell(2)], [lon, lat], at)?,
        _ => shape(&row.drawn, at)?,
    };
    let missing = || Found::error(at(), SourceFindingId::PlaceMissing, [("node", node.clone())]);
    let Shape::Point(place) = turned(project, shape.ok_or_else(missing)?, at)? else {
        let args = [("is", "LineString".to_owned())];
        return Err(Found::error(at(), SourceFindingId::GeometryKind, args));
    };
    if nodes.insert(node.clone(), place).is_some_and(|other| other != place) {
        return Err(Found::error(at(), SourceFindingId::PlaceTwice, [("node", node)]));
    }
    Ok(())
}
