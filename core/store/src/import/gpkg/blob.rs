//! The geometry of a GeoPackage: a header, then well-known binary (OGC 12-128r19, clause 2.1.3).

use crate::import::{shape::Drawn, wkb};

/// Most bytes of one geometry: a line of half a million places.
const MOST_BYTES: usize = 16 * 1024 * 1024;

/// What is drawn, from a geometry of a layer of this reference system.
pub(crate) fn drawn(bytes: &[u8], system: i64) -> Drawn {
    match header(bytes, system) {
        Ok(Some(binary)) => wkb::drawn(binary),
        Ok(None) => Drawn::Nothing,
        Err(why) => Drawn::Broken(why),
    }
}

/// The well-known binary behind the header; none for a geometry that says it is empty.
fn header(bytes: &[u8], system: i64) -> Result<Option<&[u8]>, String> {
    if bytes.len() > MOST_BYTES {
        return Err(format!("{} bytes, at most {MOST_BYTES} are read", bytes.len()));
    }
    let cut = || "it is cut off".to_owned();
    let (magic, rest) = bytes.split_at_checked(2).ok_or_else(cut)?;
    if magic != b"GP" {
        return Err("it does not begin with GP".to_owned());
    }
    let (&[version, flags], rest) = rest.split_first_chunk().ok_or_else(cut)?;
    // Version 0 is version 1 of the form, the only one there is.
    if version != 0 {
        return Err(format!("version {version} of the form is not known here"));
    }
    if flags & 0b1100_0000 != 0 {
        return Err("flags are set that are kept for later".to_owned());
    }
    if flags & 0b0010_0000 != 0 {
        return Err("it is of an extended kind".to_owned());
    }
    let (&number, rest) = rest.split_first_chunk().ok_or_else(cut)?;
    let little = flags & 1 == 1;
    let own = if little { i32::from_le_bytes(number) } else { i32::from_be_bytes(number) };
    if i64::from(own) != system {
        return Err(format!("it is in system {own}, its layer in {system}"));
    }
    // No envelope, then x and y, with z, with m, with both: two numbers of 8 bytes each.
    let envelope = match (flags >> 1) & 0b111 {
        0 => 0,
        1 => 32,
        2 | 3 => 48,
        4 => 64,
        other => return Err(format!("an envelope of kind {other}, which there is not")),
    };
    let (_, binary) = rest.split_at_checked(envelope).ok_or_else(cut)?;
    Ok((flags & 0b0001_0000 == 0).then_some(binary))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::shape::Shape;
    use proptest::prelude::*;

    const POINT: [u8; 21] =
        [1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0xf8, 0x3f, 0, 0, 0, 0, 0, 0, 0, 0xc0];

    fn blob(flags: u8, system: i32, envelope: usize) -> Vec<u8> {
        let mut bytes = vec![b'G', b'P', 0, flags];
        bytes.extend(if flags & 1 == 1 { system.to_le_bytes() } else { system.to_be_bytes() });
        bytes.extend(vec![0; envelope]);
        bytes.extend(POINT);
        bytes
    }

    #[test]
    fn every_envelope_and_byte_order_is_passed_over() {
        for (kind, bytes) in [(0_u8, 0), (1, 32), (2, 48), (3, 48), (4, 64)] {
            for order in [0, 1] {
                let drawn = drawn(&blob(kind << 1 | order, 32626, bytes), 32626);
                assert_eq!(drawn, Drawn::Shape(Shape::Point([1.5, -2.0]), false), "{kind} {order}");
            }
        }
    }

    #[test]
    fn what_is_not_of_the_form_says_why() {
        let check = |bytes: &[u8], part: &str| {
            let Drawn::Broken(why) = drawn(bytes, 4326) else { panic!("{part} is read") };
            assert!(why.contains(part), "{why}");
        };
        check(b"", "cut off");
        check(b"GP\0\x01\xe6", "cut off");
        check(&POINT, "begin with GP");
        check(&[b"GP\x01\x01".as_slice(), &[0; 30]].concat(), "version 1");
        check(&blob(0b0010_0001, 4326, 0), "extended");
        check(&blob(0b1000_0001, 4326, 0), "kept for later");
        check(&blob(0b1011, 4326, 64), "kind 5");
        check(&blob(1, 32626, 0), "in system 32626, its layer in 4326");
        check(&blob(0b11, 4326, 0), "");
        assert_eq!(drawn(&blob(0b0001_0001, 4326, 0), 4326), Drawn::Nothing);
    }

    proptest! {
        #[test]
        fn damaged_bytes_never_panic(flags in any::<u8>(), envelope in 0_usize..70,
            at in any::<usize>(), with in any::<u8>(), cut in 0_usize..90) {
            let mut bytes = blob(flags, 4326, envelope);
            bytes.truncate(bytes.len().saturating_sub(cut));
            let at = at % bytes.len().max(1);
            if let Some(byte) = bytes.get_mut(at) {
                *byte = with;
            }
            let _ = drawn(&bytes, 4326);
        }
    }
}
