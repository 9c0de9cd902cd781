//! Where nodes are, from a layer of their own, for layers that draw nothing themselves.

use coldlug_core::mapsheet::{Found, Origin, SourceFindingId};

use super::aside::Aside;
use super::convert::{point, shape, turned};
use super::mapped::{Known, size};
use super::mapping::{Drawing, Mapping, Places};
use super::project::Project;
use super::row::{Ask, Cell, Taken};
use super::run::{From, Run};
use super::shape::Shape;

impl Run<'_> {
    /// Whether the layer of places can be read, and by which way its coordinates turn.
    pub(super) fn ready_places(
        &mut self,
        places: &Places,
        mapping: &Mapping,
        layers: &[Known],
    ) -> Option<(usize, Project)> {
        let at = mapping.at.layer(&*places.of).column(&*places.key);
        let layer = self.layer(&places.of, &at, layers)?;
        self.columns(&asked(places), &at, &layer.layer);
        self.project(places.system.as_deref(), &at, &layer.layer).map(|p| (layer.from, p))
    }

    /// Reads where nodes are.
    pub(super) fn places(
        &mut self,
        places: &Places,
        project: &Project,
        from: &mut From,
        layers: &[Known],
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
            if self.failed.is_some() {
                return;
            }
            if let Err(found) = place(places, project, taken, &at, &self.aside) {
                self.note(found);
            }
        });
        self.ended(read, &layer);
    }
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
    aside: &Aside,
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
    let same = |other: [f64; 2]| other.map(f64::to_bits) == place.map(f64::to_bits);
    if aside.place(&node, place).is_some_and(|other| !same(other)) {
        return Err(Found::error(at(), SourceFindingId::PlaceTwice, [("node", node)]));
    }
    Ok(())
}
