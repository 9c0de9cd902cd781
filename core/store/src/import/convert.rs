//! One row of a source to one feature of a map sheet, by one block of the mapping.

use coldlug_core::mapsheet::{FieldForm, FieldOf, Found, Origin, SourceFindingId};
use serde_json::{Map, Value, json};

use super::aside::Aside;
use super::mapping::{Block, Column, Drawing, Filling, form_word};
use super::project::Project;
use super::row::{Cell, Row};
use super::shape::{Drawn, Shape};

/// The place of a row, made only where something is found there.
pub(super) type At<'a> = &'a dyn Fn() -> Origin;

/// A block of the mapping, made ready for the rows of one layer.
#[derive(Debug)]
pub(super) struct Convert<'a> {
    /// The block.
    pub(super) block: &'a Block,
    /// The columns that are asked of the source, in this order.
    pub(super) columns: Vec<String>,
    /// From the layer's coordinates to longitude and latitude; none where nothing is drawn.
    pub(super) project: Option<Project>,
    /// Which of the columns was ever seen to hold something.
    pub(super) seen: Vec<bool>,
    /// How many features came of it.
    pub(super) taken: u64,
    /// How many rows it left out.
    pub(super) left: u64,
    /// How many heights it did not keep.
    pub(super) heights: u64,
}

impl<'a> Convert<'a> {
    pub(super) fn new(block: &'a Block, project: Option<Project>) -> Self {
        let mut columns: Vec<String> = Vec::new();
        let fields = block.fields.iter().flat_map(|(_, filling)| filling.columns());
        let drawn = match &block.drawing {
            Drawing::Columns { lon, lat } => vec![lon.as_str(), lat.as_str()],
            Drawing::Own | Drawing::Nothing | Drawing::Node | Drawing::Ends => Vec::new(),
        };
        for name in block.lines.keys().map(String::as_str).chain(fields).chain(drawn) {
            if !columns.iter().any(|column| column == name) {
                columns.push(name.to_owned());
            }
        }
        let seen = vec![false; columns.len()];
        Self { block, columns, project, seen, taken: 0, left: 0, heights: 0 }
    }

    /// The feature of a row, with what is wrong with the row; none where the row is left out.
    pub(super) fn feature(&mut self, row: &Row<'_>, aside: &Aside, at: At<'_>) -> Option<Made> {
        for (seen, cell) in self.seen.iter_mut().zip(&row.cells) {
            *seen |= *cell != Cell::Absent;
        }
        let picked = self.block.lines.iter().all(|(column, codes)| {
            self.cell(row, column).as_text().is_some_and(|code| codes.contains(code.as_ref()))
        });
        if !picked {
            self.left += 1;
            return None;
        }
        self.taken += 1;
        let mut made = Made { item: Value::Null, wrong: Vec::new(), fields: Vec::new() };
        let mut members = Map::from_iter([("kind".to_owned(), self.block.kind.into())]);
        members.extend(self.fields(&self.block.fields, row, at, &mut made));
        let geometry = match self.geometry(row, &members, aside, at) {
            Ok(geometry) => geometry,
            Err(wrong) => {
                made.wrong.push(wrong);
                made.fields.push("geometry");
                Value::Null
            }
        };
        if matches!(&row.drawn, Drawn::Shape(_, true)) && self.block.drawing == Drawing::Own {
            self.heights += 1;
        }
        made.item = json!({"type": "Feature", "geometry": geometry});
        if let Some(item) = made.item.as_object_mut() {
            item.insert("properties".to_owned(), Value::Object(members));
        }
        Some(made)
    }

    fn cell<'r>(&self, row: &'r Row<'_>, column: &str) -> &'r Cell<'r> {
        let place = self.columns.iter().position(|name| name == column);
        place.and_then(|place| row.cells.get(place)).unwrap_or(&Cell::Absent)
    }

    fn fields(
        &self,
        fields: &[(FieldOf, Filling)],
        row: &Row<'_>,
        at: At<'_>,
        made: &mut Made,
    ) -> Map<String, Value> {
        let mut members = Map::new();
        for (field, filling) in fields {
            let value = match filling {
                Filling::Value { value, .. } => value.clone(),
                Filling::Objects(objects) => {
                    let objects = objects.iter().filter(|object| self.tells(object, row));
                    objects.map(|object| self.object(object, row, at, made)).collect()
                }
                Filling::Column(column) => match self.value(*field, column, row) {
                    Ok(value) => value,
                    Err((id, args)) => {
                        let at = at().column(column.columns.join(", "));
                        made.wrong.push(Found::error(at, id, args));
                        made.fields.push(field.name);
                        continue;
                    }
                },
            };
            if !value.is_null() {
                members.insert(field.name.to_owned(), value);
            }
        }
        members
    }

    /// Whether a row tells of an object: one of its columns holds something, be it wrong. That
    /// something is not there (a flag that says no) tells of none; what has no column is always there.
    fn tells(&self, object: &[(FieldOf, Filling)], row: &Row<'_>) -> bool {
        let mut columns = object.iter().filter(|(_, filling)| !filling.columns().is_empty());
        let filled = |(field, filling): &(FieldOf, Filling)| match filling {
            Filling::Column(column) => {
                let holds = |name: &String| *self.cell(row, name) != Cell::Absent;
                let no = Ok(Value::Bool(false));
                column.columns.iter().any(holds) && self.value(*field, column, row) != no
            }
            Filling::Value { .. } | Filling::Objects(_) => false,
        };
        columns.clone().next().is_none() || columns.any(filled)
    }

    /// An object that a row tells of; a needed field that the row leaves empty is named by its column.
    fn object(
        &self,
        object: &[(FieldOf, Filling)],
        row: &Row<'_>,
        at: At<'_>,
        made: &mut Made,
    ) -> Value {
        let wrong = made.wrong.len();
        let members = self.fields(object, row, at, made);
        for (field, filling) in object.iter().filter(|(field, _)| field.required) {
            let column = filling.columns().join(", ");
            let told = |found: &Found| found.at.column.as_deref() == Some(column.as_str());
            let told = made.wrong.iter().skip(wrong).any(told);
            if !members.contains_key(field.name) && !told {
                let args = [("field", field.name.to_owned())];
                let at = at().column(column);
                made.wrong.push(Found::error(at, SourceFindingId::ObjectHalf, args));
                made.fields.push(field.name);
            }
        }
        Value::Object(members)
    }

    fn value(&self, field: FieldOf, column: &Column, row: &Row<'_>) -> Result<Value, Wrong> {
        let wrong = |cell: &Cell<'_>| {
            let is = cell.as_text().map_or("-".to_owned(), |text| text.chars().take(40).collect());
            let needs = form_word(field.form).to_owned();
            (SourceFindingId::CellWrong, [("is", is), ("needs", needs)])
        };
        if let (FieldForm::Texts, [name], None) =
            (field.form, column.columns.as_slice(), &column.codes)
        {
            let cell = self.cell(row, name);
            if let Cell::Texts(texts) = cell {
                return Ok(texts.iter().map(|text| column.around(text)).collect());
            }
        }
        let joined = self.joined(column, row).map_err(wrong)?;
        let cell = match &column.codes {
            None => joined,
            Some(_) if joined == Cell::Absent => return Ok(Value::Null),
            Some(codes) => {
                let code = joined.as_text().unwrap_or_default();
                let unknown = || {
                    let known: Vec<&str> = codes.keys().map(String::as_str).collect();
                    let is = code.chars().take(40).collect();
                    (SourceFindingId::CodeUnknown, [("is", is), ("known", known.join(", "))])
                };
                let value = codes.get(code.as_ref()).ok_or_else(unknown)?;
                return Ok(scaled(value, column));
            }
        };
        if cell == Cell::Absent {
            // Where a list is kept and stands empty, the source says: none.
            let none = Value::Array(Vec::new());
            return Ok(if field.form == FieldForm::Texts { none } else { Value::Null });
        }
        let value = match field.form {
            FieldForm::Text => cell.as_text().map(|text| Value::from(column.around(&text))),
            FieldForm::Texts => cell.as_text().map(|text| match &column.split {
                None => Value::from(vec![column.around(&text)]),
                Some(split) => {
                    let parts = text.split(split.as_str()).map(str::trim);
                    parts.filter(|part| !part.is_empty()).map(|part| column.around(part)).collect()
                }
            }),
            FieldForm::Number(_) => cell.as_number().map(|n| json!(column.unit.of(n))),
            FieldForm::Whole => cell
                .as_number()
                .filter(|n| n.fract() == 0.0 && (0.0..1e9).contains(n))
                .map(|n| json!(whole(n))),
            FieldForm::Flag => match &cell {
                Cell::Flag(flag) => Some((*flag).into()),
                Cell::Whole(0) => Some(false.into()),
                Cell::Whole(1) => Some(true.into()),
                Cell::Text(text) => match text.as_ref() {
                    "true" | "1" => Some(true.into()),
                    "false" | "0" => Some(false.into()),
                    _ => None,
                },
                _ => None,
            },
            FieldForm::Objects(_) => None,
        };
        value.ok_or_else(|| wrong(&cell))
    }

    /// The columns of a field as one cell; absent where any of them is.
    fn joined<'r>(&self, column: &Column, row: &'r Row<'_>) -> Result<Cell<'r>, &'r Cell<'r>> {
        if let [name] = column.columns.as_slice() {
            return Ok(self.cell(row, name).clone());
        }
        let mut texts = Vec::new();
        for name in &column.columns {
            match self.cell(row, name) {
                Cell::Absent => return Ok(Cell::Absent),
                cell => texts.push(cell.as_text().ok_or(cell)?),
            }
        }
        Ok(Cell::owned(&texts.join(&column.between)))
    }

    fn geometry(
        &self,
        row: &Row<'_>,
        members: &Map<String, Value>,
        aside: &Aside,
        at: At<'_>,
    ) -> Result<Value, Found> {
        let place = |field: &str| {
            let node = members.get(field).and_then(Value::as_str).unwrap_or_default();
            let missing = || {
                let args = [("node", node.chars().take(60).collect())];
                Found::error(at(), SourceFindingId::PlaceMissing, args)
            };
            aside.place_of(node).ok_or_else(missing)
        };
        let shape = match &self.block.drawing {
            Drawing::Nothing => None,
            Drawing::Own => shape(&row.drawn, at)?,
            Drawing::Columns { lon, lat } => self.point(row, lon, lat, at)?,
            Drawing::Node => {
                return Ok(Shape::Point(place("node")?).geojson());
            }
            Drawing::Ends => {
                let (from, to) = match self.block.kind {
                    "transformer" => ("primary", "secondary"),
                    _ => ("from", "to"),
                };
                return Ok(Shape::Line(vec![place(from)?, place(to)?]).geojson());
            }
        };
        let Some(shape) = shape else { return Ok(Value::Null) };
        let turned = match &self.project {
            Some(project) => turned(project, shape, at)?,
            None => shape,
        };
        Ok(turned.geojson())
    }

    fn point(
        &self,
        row: &Row<'_>,
        lon: &str,
        lat: &str,
        at: At<'_>,
    ) -> Result<Option<Shape>, Found> {
        point([self.cell(row, lon), self.cell(row, lat)], [lon, lat], at)
    }
}

/// A point from two cells; none where both are empty.
pub(super) fn point(
    cells: [&Cell<'_>; 2],
    names: [&str; 2],
    at: At<'_>,
) -> Result<Option<Shape>, Found> {
    let numbers = cells.map(Cell::as_number);
    if let [Some(x), Some(y)] = numbers {
        return Ok(Some(Shape::Point([x, y])));
    }
    if cells.iter().all(|cell| **cell == Cell::Absent) {
        return Ok(None);
    }
    let (cell, name) =
        if numbers[0].is_none() { (cells[0], names[0]) } else { (cells[1], names[1]) };
    let is = cell.as_text().map_or("-".to_owned(), |text| text.chars().take(40).collect());
    let args = [("is", is), ("needs", "number".to_owned())];
    Err(Found::error(at().column(name), SourceFindingId::CellWrong, args))
}

/// What a row has drawn, where a map sheet can hold it.
pub(super) fn shape(drawn: &Drawn, at: At<'_>) -> Result<Option<Shape>, Found> {
    match drawn {
        Drawn::Nothing => Ok(None),
        Drawn::Shape(shape, _) => Ok(Some(shape.clone())),
        Drawn::Kind(is) => {
            Err(Found::error(at(), SourceFindingId::GeometryKind, [("is", is.clone())]))
        }
        Drawn::Broken(why) => {
            Err(Found::error(at(), SourceFindingId::GeometryBroken, [("why", why.clone())]))
        }
    }
}

/// A shape in longitude and latitude.
pub(super) fn turned(project: &Project, shape: Shape, at: At<'_>) -> Result<Shape, Found> {
    shape.turned(|place| {
        project.place(place).map_err(|why| {
            let args = [("x", place[0].to_string()), ("y", place[1].to_string()), ("why", why)];
            Found::error(at(), SourceFindingId::PlaceOutside, args)
        })
    })
}

/// The kind of a finding, and what its sentence names.
type Wrong = (SourceFindingId, [(&'static str, String); 2]);

/// A feature that came of a row.
#[derive(Debug)]
pub(super) struct Made {
    /// The feature, as GeoJSON has it.
    pub(super) item: Value,
    /// What is wrong with the row.
    pub(super) wrong: Vec<Found>,
    /// The fields this concerns: that they are missing need not be said again.
    pub(super) fields: Vec<&'static str>,
}

/// What a code means, in the sheet's own unit.
fn scaled(value: &Value, column: &Column) -> Value {
    match value.as_f64() {
        Some(number) if column.unit != super::unit::Unit::OWN => json!(column.unit.of(number)),
        _ => value.clone(),
    }
}

/// A number that is whole, not negative and below a thousand million.
fn whole(number: f64) -> u64 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it is whole and in the range"
    )]
    let whole = number as u64;
    whole
}

impl Column {
    fn around(&self, text: &str) -> String {
        format!("{}{text}{}", self.before, self.after)
    }
}
