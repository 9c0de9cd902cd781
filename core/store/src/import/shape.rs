//! What is drawn: one point or one line, read from the well-known binary form.

use geo_traits::{
    CoordTrait, GeometryTrait, GeometryType, LineStringTrait, MultiLineStringTrait,
    MultiPointTrait, PointTrait,
};
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
    /// From ISO well-known binary (OGC 06-103r4, section 8).
    pub(super) fn of_wkb(bytes: &[u8]) -> Self {
        let read = match wkb::reader::read_wkb(bytes) {
            Ok(read) => read,
            Err(why) => return Self::Broken(why.to_string()),
        };
        let tall = read.dim().size() > 2;
        let shape = match read.as_type() {
            GeometryType::Point(point) => match point.coord() {
                Some(coord) => Shape::Point(place(&coord)),
                None => return Self::Nothing,
            },
            GeometryType::LineString(line) => Shape::Line(places(line)),
            GeometryType::MultiPoint(points) => {
                let mut all = points.points();
                match (all.next().and_then(|p| p.coord().map(|c| place(&c))), all.count()) {
                    (Some(one), 0) => Shape::Point(one),
                    (None, 0) => return Self::Nothing,
                    (_, more) => return Self::Kind(format!("MultiPoint of {}", more + 1)),
                }
            }
            GeometryType::MultiLineString(lines) => {
                let mut all = lines.line_strings();
                match (all.next().map(|line| places(&line)), all.count()) {
                    (Some(one), 0) => Shape::Line(one),
                    (None, _) => return Self::Nothing,
                    (_, more) => return Self::Kind(format!("MultiLineString of {}", more + 1)),
                }
            }
            GeometryType::Polygon(_) => return Self::Kind("Polygon".to_owned()),
            GeometryType::MultiPolygon(_) => return Self::Kind("MultiPolygon".to_owned()),
            GeometryType::GeometryCollection(_)
            | GeometryType::Rect(_)
            | GeometryType::Triangle(_)
            | GeometryType::Line(_) => return Self::Kind("GeometryCollection".to_owned()),
        };
        match &shape {
            Shape::Line(places) if places.is_empty() => Self::Nothing,
            _ => Self::Shape(shape, tall),
        }
    }

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

fn place(coord: &impl CoordTrait<T = f64>) -> [f64; 2] {
    [coord.x(), coord.y()]
}

fn places(line: &impl LineStringTrait<T = f64>) -> Vec<[f64; 2]> {
    line.coords().map(|coord| place(&coord)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Well-known binary as the standard has it, written here byte by byte.
    fn wkb(kind: u32, little: bool, counts: &[u32], numbers: &[f64]) -> Vec<u8> {
        let mut bytes = vec![u8::from(little)];
        let whole = |n: u32| if little { n.to_le_bytes() } else { n.to_be_bytes() };
        bytes.extend(whole(kind));
        bytes.extend(counts.iter().flat_map(|&n| whole(n)));
        bytes.extend(
            numbers.iter().flat_map(|n| if little { n.to_le_bytes() } else { n.to_be_bytes() }),
        );
        bytes
    }

    #[test]
    fn points_and_lines_of_either_byte_order_and_any_dimension_are_read() {
        for little in [true, false] {
            let point = Drawn::of_wkb(&wkb(1, little, &[], &[1.5, -2.0]));
            assert_eq!(point, Drawn::Shape(Shape::Point([1.5, -2.0]), false));
            let tall = Drawn::of_wkb(&wkb(1001, little, &[], &[1.5, -2.0, 9.0]));
            assert_eq!(tall, Drawn::Shape(Shape::Point([1.5, -2.0]), true));
            let line = Drawn::of_wkb(&wkb(2, little, &[2], &[0.0, 1.0, 2.0, 3.0]));
            let both = Shape::Line(vec![[0.0, 1.0], [2.0, 3.0]]);
            assert_eq!(line, Drawn::Shape(both.clone(), false));
            let measured = wkb(3002, little, &[1], &[0.0, 1.0, 2.0, 3.0]);
            assert_eq!(Drawn::of_wkb(&measured), Drawn::Shape(Shape::Line(vec![[0.0, 1.0]]), true));
            let mut one_of_many = wkb(5, little, &[1], &[]);
            let mut of_two_minds = one_of_many.clone();
            one_of_many.extend(wkb(2, little, &[2], &[0.0, 1.0, 2.0, 3.0]));
            assert_eq!(Drawn::of_wkb(&one_of_many), Drawn::Shape(both, false));
            // A part of another byte order than the whole is refused, never misread.
            of_two_minds.extend(wkb(2, !little, &[2], &[0.0, 1.0, 2.0, 3.0]));
            assert!(matches!(Drawn::of_wkb(&of_two_minds), Drawn::Broken(_)));
        }
    }

    #[test]
    fn what_is_empty_is_nothing_and_what_is_no_shape_is_named() {
        assert_eq!(Drawn::of_wkb(&wkb(1, true, &[], &[f64::NAN, f64::NAN])), Drawn::Nothing);
        assert_eq!(Drawn::of_wkb(&wkb(2, true, &[0], &[])), Drawn::Nothing);
        assert_eq!(Drawn::of_wkb(&wkb(5, true, &[0], &[])), Drawn::Nothing);
        assert_eq!(Drawn::of_wkb(&wkb(3, true, &[0], &[])), Drawn::Kind("Polygon".to_owned()));
        let mut two = wkb(4, true, &[2], &[]);
        two.extend(wkb(1, true, &[], &[1.0, 1.0]));
        two.extend(wkb(1, true, &[], &[2.0, 2.0]));
        assert_eq!(Drawn::of_wkb(&two), Drawn::Kind("MultiPoint of 2".to_owned()));
        for bytes in [&b""[..], b"\x01", b"\x02\x01\x00\x00\x00", &wkb(99, true, &[], &[])] {
            assert!(matches!(Drawn::of_wkb(bytes), Drawn::Broken(_)), "{bytes:?}");
        }
        let more_than_there_is = wkb(2, true, &[u32::MAX], &[0.0, 1.0]);
        assert!(matches!(Drawn::of_wkb(&more_than_there_is), Drawn::Broken(_)));
    }

    proptest! {
        #[test]
        fn damaged_bytes_never_panic(
            little in any::<bool>(),
            kind in prop_oneof![0_u32..20, 1000_u32..1020, 3000_u32..3020, any::<u32>()],
            counts in proptest::collection::vec(0_u32..5, 0..3),
            numbers in proptest::collection::vec(any::<f64>(), 0..8),
            cut in 0_usize..60, flip in any::<(u8, u8)>(),
        ) {
            let mut bytes = wkb(kind, little, &counts, &numbers);
            bytes.truncate(bytes.len().saturating_sub(cut % 9));
            let at = usize::from(flip.0) % bytes.len().max(1);
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= flip.1;
            }
            let _ = Drawn::of_wkb(&bytes);
        }
    }
}
