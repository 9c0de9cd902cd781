//! What is drawn: one point or one line, and what is none.

use serde_json::{Value, json};

/// A geometry that a map sheet can hold, in the source's own coordinates.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Shape {
    /// One place.
    Point([f64; 2]),
    /// Places in a row.
    Line(Vec<[f64; 2]>),
}

/// What a row has drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Drawn {
    /// Nothing.
    Nothing,
    /// A shape, and whether it came with heights or measures.
    Shape(Shape, bool),
    /// Something a map sheet cannot hold: what it is.
    Kind(String),
    /// Bytes that are no geometry: why.
    Broken(String),
}

impl Shape {
    /// The shape with each place turned into another; the first that cannot be is the answer.
    pub(super) fn turned<E>(
        self,
        mut turn: impl FnMut([f64; 2]) -> Result<[f64; 2], E>,
    ) -> Result<Self, E> {
        Ok(match self {
            Self::Point(place) => Self::Point(turn(place)?),
            Self::Line(places) => {
                Self::Line(places.into_iter().map(turn).collect::<Result<_, E>>()?)
            }
        })
    }

    /// As GeoJSON has it.
    pub(super) fn geojson(&self) -> Value {
        match self {
            Self::Point(place) => json!({"type": "Point", "coordinates": place}),
            Self::Line(places) => json!({"type": "LineString", "coordinates": places}),
        }
    }
}

impl Drawn {
    /// From the geometry of a GeoJSON feature.
    pub(super) fn of_geojson(value: Option<&Value>) -> Self {
        let Some(object) = value.filter(|v| !v.is_null()) else { return Self::Nothing };
        let kind = object.get("type").and_then(Value::as_str).unwrap_or_default();
        let Some(coordinates) = object.get("coordinates") else {
            return Self::Kind(kind.chars().take(40).collect());
        };
        let (kind, coordinates) = match (kind, coordinates.as_array().map(Vec::as_slice)) {
            ("MultiPoint", Some([one])) => ("Point", one),
            ("MultiLineString", Some([one])) => ("LineString", one),
            (kind, _) => (kind, coordinates),
        };
        let mut tall = false;
        let mut position = |value: &Value| {
            let numbers = value.as_array()?;
            tall |= numbers.len() > 2;
            match numbers.as_slice() {
                [x, y, ..] => Some([x.as_f64()?, y.as_f64()?]),
                _ => None,
            }
        };
        let shape = match kind {
            "Point" => position(coordinates).map(Shape::Point),
            "LineString" => coordinates
                .as_array()
                .and_then(|all| all.iter().map(position).collect::<Option<Vec<_>>>())
                .map(Shape::Line),
            other => return Self::Kind(other.chars().take(40).collect()),
        };
        shape.map_or_else(
            || Self::Broken("a position is not two numbers".to_owned()),
            |shape| Self::Shape(shape, tall),
        )
    }
}
