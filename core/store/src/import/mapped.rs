//! Layers of others to a sheet, by the mapping: what goes with what, then row by row, then the whole.

use coldlug_core::{
    mapsheet::{Found, Gather, Origin, Shelf, SourceFindingId},
    plant::Features,
};

use super::ImportError;
use super::convert::Convert;
use super::mapping::{Drawing, Filling, Mapping};
use super::project::Project;
use super::row::{Ask, Layer};
use super::run::{From, Run, of_sheet};

/// A layer with the place of its source among the files.
pub(super) struct Known {
    /// The place of its source.
    pub(super) from: usize,
    /// The layer.
    pub(super) layer: Layer,
}

impl Run<'_> {
    /// Layers of others, by the mapping.
    pub(super) fn mapped<S: Shelf>(
        &mut self,
        mut sources: Vec<From>,
        mapping: &Mapping,
        on: S,
    ) -> Option<(Features, S)>
    where
        ImportError: std::convert::From<S::Error>,
    {
        let gather = match Gather::new(&mapping.header, on) {
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
            let at = mapping.at.layer(&*block.of).column(&*block.key);
            let Some(layer) = self.layer(&block.of, &at, &layers) else { continue };
            let own = block.drawing == Drawing::Own && layer.layer.drawn;
            let drawn = own || matches!(block.drawing, Drawing::Columns { .. });
            let project = drawn.then(|| self.project(block.system.as_deref(), &at, &layer.layer));
            let convert = Convert::new(block, project.flatten());
            self.columns(&convert.columns, &at, &layer.layer);
            ready.push((layer.from, convert));
        }
        let mut gather = gather.filter(|_| self.findings.errors == 0)?;
        for (places, ready) in mapping.places.iter().zip(places) {
            let Some((from, project)) = ready else { continue };
            let from = sources.get_mut(from)?;
            self.places(places, &project, from, &layers);
        }
        for (number, (from, convert)) in ready.iter_mut().enumerate() {
            let from = sources.get_mut(*from)?;
            self.block(number, convert, from, &layers, &mut gather);
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

    /// The layer of a name.
    pub(super) fn layer<'l>(
        &mut self,
        of: &str,
        at: &Origin,
        layers: &'l [Known],
    ) -> Option<&'l Known> {
        let found = layers.iter().find(|known| known.layer.name == of);
        if found.is_none() {
            let known: Vec<&str> = layers.iter().map(|l| l.layer.name.as_str()).take(40).collect();
            let args = [("layer", of.to_owned()), ("known", known.join(", "))];
            self.note(Found::error(at.clone(), SourceFindingId::LayerMissing, args));
        }
        found
    }

    /// Whether the layer has every column that is asked of it.
    pub(super) fn columns(&mut self, wanted: &[String], at: &Origin, layer: &Layer) {
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
    pub(super) fn project(
        &mut self,
        said: Option<&str>,
        at: &Origin,
        layer: &Layer,
    ) -> Option<Project> {
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

    /// Reads the features of one block.
    fn block<S: Shelf>(
        &mut self,
        number: usize,
        convert: &mut Convert<'_>,
        from: &mut From,
        layers: &[Known],
        gather: &mut Gather<S>,
    ) where
        ImportError: std::convert::From<S::Error>,
    {
        let block = convert.block;
        let layer = from.at.layer(&*block.of);
        let size = size(layers, &block.of);
        let columns = convert.columns.clone();
        let drawn = block.drawing == Drawing::Own;
        let ask = Ask { layer: &block.of, columns: &columns, drawn };
        let read = from.source.rows(ask, &mut |taken| {
            self.count(&block.of, taken.done, size);
            if self.failed.is_some() {
                return;
            }
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
            let Some(made) = convert.feature(row, &self.aside, &at) else { return };
            made.wrong.into_iter().for_each(|found| self.note(found));
            let found = gather.feature(&made.item);
            self.aside.row(gather.count(), number, taken.mark);
            for finding in self.held(found).unwrap_or_default() {
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
    fn whole<S: Shelf>(
        &mut self,
        gather: Gather<S>,
        sources: &[From],
        ready: &[(usize, Convert<'_>)],
    ) -> Option<(Features, S)>
    where
        ImportError: std::convert::From<S::Error>,
    {
        self.finish(gather, &mut |aside, number, finding| {
            let place = number.and_then(|number| {
                let (block, mark) = aside.row_of(number)?;
                let (from, convert) = ready.get(block)?;
                let from = sources.get(*from)?;
                let at = from.at.layer(&*convert.block.of).row(from.source.row_name(mark));
                Some(column_of(convert, at, finding.field.as_deref().unwrap_or_default()))
            });
            place.unwrap_or_default()
        })
    }
}

/// How much of a layer there is to read.
pub(super) fn size(layers: &[Known], of: &str) -> u64 {
    layers.iter().find(|known| known.layer.name == of).map_or(0, |known| known.layer.size)
}

/// The place with the columns that the field is filled from.
fn column_of(convert: &Convert<'_>, at: Origin, field: &str) -> Origin {
    let columns = convert.block.filling(field).map(Filling::columns).unwrap_or_default();
    if columns.is_empty() { at } else { at.column(columns.join(", ")) }
}
