//! Well-known binary, strictly: bytes that say one thing and are another are refused, never read past
//! (OGC 06-103r4, section 8; the codes of what has heights or measures are those of ISO 13249-3, as
//! GeoPackage asks).

use super::shape::{Drawn, Shape};

/// What is drawn by these bytes.
pub(super) fn drawn(bytes: &[u8]) -> Drawn {
    let mut left = Left(bytes);
    left.drawn().unwrap_or_else(Drawn::Broken)
}

/// The bytes that are not read yet.
struct Left<'a>(&'a [u8]);

/// How a geometry's numbers are written.
struct Head {
    little: bool,
    /// What it is, without heights and measures.
    kind: u32,
    /// Numbers a place.
    dims: usize,
}

impl Left<'_> {
    fn drawn(&mut self) -> Result<Drawn, String> {
        let head = self.head()?;
        let (part, name) = match head.kind {
            1 | 2 => return self.shape(&head),
            4 => (1, "MultiPoint"),
            5 => (2, "MultiLineString"),
            3 => return Ok(Drawn::Kind("Polygon".to_owned())),
            6 => return Ok(Drawn::Kind("MultiPolygon".to_owned())),
            7 => return Ok(Drawn::Kind("GeometryCollection".to_owned())),
            other => return Err(format!("{other} is no kind of geometry that is known here")),
        };
        match self.whole(head.little)? {
            0 => Ok(Drawn::Nothing),
            1 => {
                // A part has its own byte order.
                let inside = self.head()?;
                if inside.kind != part {
                    return Err(format!("a {name} holds a part of kind {}", inside.kind));
                }
                self.shape(&inside)
            }
            more => Ok(Drawn::Kind(format!("{name} of {more}"))),
        }
    }

    /// A point or a line.
    fn shape(&mut self, head: &Head) -> Result<Drawn, String> {
        let tall = head.dims > 2;
        if head.kind == 1 {
            let place = self.place(head)?;
            let empty = place.iter().all(|number| number.is_nan());
            return Ok(if empty {
                Drawn::Nothing
            } else {
                Drawn::Shape(Shape::Point(place), tall)
            });
        }
        let count = usize::try_from(self.whole(head.little)?).map_err(|e| e.to_string())?;
        // Checked before anything is kept for so many.
        let wanted = count.saturating_mul(head.dims * 8);
        if self.0.len() < wanted {
            let there = self.0.len();
            return Err(format!("a line of {count} places needs {wanted} bytes, {there} are left"));
        }
        if count == 0 {
            return Ok(Drawn::Nothing);
        }
        let places = (0..count).map(|_| self.place(head)).collect::<Result<_, _>>()?;
        Ok(Drawn::Shape(Shape::Line(places), tall))
    }

    fn head(&mut self) -> Result<Head, String> {
        let [order] = self.next::<1>()?;
        let little = match order {
            0 => false,
            1 => true,
            other => return Err(format!("byte order {other} is none")),
        };
        let code = self.whole(little)?;
        let dims = match code / 1000 {
            0 => 2,
            1 | 2 => 3,
            3 => 4,
            _ => return Err(format!("{code} is no kind of geometry")),
        };
        Ok(Head { little, kind: code % 1000, dims })
    }

    /// The first two numbers of a place; what stands beyond is passed over.
    fn place(&mut self, head: &Head) -> Result<[f64; 2], String> {
        let place = [self.number(head.little)?, self.number(head.little)?];
        for _ in 2..head.dims {
            self.number(head.little)?;
        }
        Ok(place)
    }

    fn whole(&mut self, little: bool) -> Result<u32, String> {
        let bytes = self.next()?;
        Ok(if little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) })
    }

    fn number(&mut self, little: bool) -> Result<f64, String> {
        let bytes = self.next()?;
        Ok(if little { f64::from_le_bytes(bytes) } else { f64::from_be_bytes(bytes) })
    }

    fn next<const N: usize>(&mut self) -> Result<[u8; N], String> {
        let (taken, left) = self
            .0
            .split_first_chunk::<N>()
            .ok_or_else(|| "the geometry ends too early".to_owned())?;
        self.0 = left;
        Ok(*taken)
    }
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
            let point = drawn(&wkb(1, little, &[], &[1.5, -2.0]));
            assert_eq!(point, Drawn::Shape(Shape::Point([1.5, -2.0]), false));
            let tall = drawn(&wkb(1001, little, &[], &[1.5, -2.0, 9.0]));
            assert_eq!(tall, Drawn::Shape(Shape::Point([1.5, -2.0]), true));
            let line = drawn(&wkb(2, little, &[2], &[0.0, 1.0, 2.0, 3.0]));
            let both = Shape::Line(vec![[0.0, 1.0], [2.0, 3.0]]);
            assert_eq!(line, Drawn::Shape(both.clone(), false));
            let measured = wkb(3002, little, &[1], &[0.0, 1.0, 2.0, 3.0]);
            assert_eq!(drawn(&measured), Drawn::Shape(Shape::Line(vec![[0.0, 1.0]]), true));
            let mut one_of_many = wkb(5, little, &[1], &[]);
            let mut of_two_minds = one_of_many.clone();
            one_of_many.extend(wkb(2, little, &[2], &[0.0, 1.0, 2.0, 3.0]));
            assert_eq!(drawn(&one_of_many), Drawn::Shape(both.clone(), false));
            // A part may be of another byte order than the whole.
            of_two_minds.extend(wkb(2, !little, &[2], &[0.0, 1.0, 2.0, 3.0]));
            assert_eq!(drawn(&of_two_minds), Drawn::Shape(both, false));
            let mut of_another_kind = wkb(5, little, &[1], &[]);
            of_another_kind.extend(wkb(1, little, &[], &[0.0, 1.0]));
            assert!(matches!(drawn(&of_another_kind), Drawn::Broken(_)));
        }
    }

    #[test]
    fn what_is_empty_is_nothing_and_what_is_no_shape_is_named() {
        assert_eq!(drawn(&wkb(1, true, &[], &[f64::NAN, f64::NAN])), Drawn::Nothing);
        assert_eq!(drawn(&wkb(2, true, &[0], &[])), Drawn::Nothing);
        assert_eq!(drawn(&wkb(5, true, &[0], &[])), Drawn::Nothing);
        assert_eq!(drawn(&wkb(3, true, &[0], &[])), Drawn::Kind("Polygon".to_owned()));
        let mut two = wkb(4, true, &[2], &[]);
        two.extend(wkb(1, true, &[], &[1.0, 1.0]));
        two.extend(wkb(1, true, &[], &[2.0, 2.0]));
        assert_eq!(drawn(&two), Drawn::Kind("MultiPoint of 2".to_owned()));
        for bytes in [&b""[..], b"\x01", b"\x02\x01\x00\x00\x00", &wkb(99, true, &[], &[])] {
            assert!(matches!(drawn(bytes), Drawn::Broken(_)), "{bytes:?}");
        }
        let more_than_there_is = wkb(2, true, &[u32::MAX], &[0.0, 1.0]);
        assert!(matches!(drawn(&more_than_there_is), Drawn::Broken(_)));
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
            let _ = drawn(&bytes);
        }
    }
}
