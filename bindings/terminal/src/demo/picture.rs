//! The picture of a meter: its number in dark figures on a light plate, as a PNG.

use png::{BitDepth, ColorType, Encoder, EncodingError};

/// Pixels of one dot of a figure.
const DOT: usize = 6;
/// Dots around a figure.
const MARGIN: usize = 2;
/// A figure is five dots wide and seven high.
const WIDE: usize = 5;
const HIGH: usize = 7;

/// Rows of dots, the left one the highest of five bits.
const FIGURES: [(char, [u8; HIGH]); 10] = [
    ('0', [0x0e, 0x11, 0x13, 0x15, 0x19, 0x11, 0x0e]),
    ('1', [0x04, 0x0c, 0x04, 0x04, 0x04, 0x04, 0x0e]),
    ('2', [0x0e, 0x11, 0x01, 0x06, 0x08, 0x10, 0x1f]),
    ('3', [0x0e, 0x11, 0x01, 0x06, 0x01, 0x11, 0x0e]),
    ('4', [0x02, 0x06, 0x0a, 0x12, 0x1f, 0x02, 0x02]),
    ('5', [0x1f, 0x10, 0x1e, 0x01, 0x01, 0x11, 0x0e]),
    ('6', [0x06, 0x08, 0x10, 0x1e, 0x11, 0x11, 0x0e]),
    ('7', [0x1f, 0x01, 0x02, 0x04, 0x08, 0x08, 0x08]),
    ('8', [0x0e, 0x11, 0x11, 0x0e, 0x11, 0x11, 0x0e]),
    ('9', [0x0e, 0x11, 0x11, 0x0f, 0x01, 0x02, 0x0c]),
];

/// A picture of a meter with this number. What is no figure is drawn as a bar.
pub(crate) fn of_meter(number: &str) -> Result<Vec<u8>, EncodingError> {
    let figures: Vec<[u8; HIGH]> = number
        .chars()
        .map(|c| {
            let known = FIGURES.iter().find(|(figure, _)| *figure == c);
            known.map_or([0, 0, 0, 0x0e, 0, 0, 0], |(_, rows)| *rows)
        })
        .collect();
    let dots_wide = figures.len() * (WIDE + 1) + 2 * MARGIN;
    let dots_high = HIGH + 2 * MARGIN;
    let mut pixels = Vec::with_capacity(dots_wide * dots_high * DOT * DOT);
    for y in 0..dots_high * DOT {
        for x in 0..dots_wide * DOT {
            pixels.push(if dark(&figures, x / DOT, y / DOT) { 0x20 } else { 0xe4 });
        }
    }
    let mut bytes = Vec::new();
    let side = |dots: usize| u32::try_from(dots * DOT).unwrap_or(u32::MAX);
    let mut encoder = Encoder::new(&mut bytes, side(dots_wide), side(dots_high));
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&pixels)?;
    writer.finish()?;
    Ok(bytes)
}

fn dark(figures: &[[u8; HIGH]], x: usize, y: usize) -> bool {
    let (Some(x), Some(y)) = (x.checked_sub(MARGIN), y.checked_sub(MARGIN)) else { return false };
    let row = figures.get(x / (WIDE + 1)).and_then(|rows| rows.get(y));
    row.is_some_and(|row| x % (WIDE + 1) < WIDE && row >> (WIDE - 1 - x % (WIDE + 1)) & 1 == 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_a_png_and_differs_with_its_number() {
        let one = of_meter("40417").unwrap();
        assert!(one.starts_with(b"\x89PNG\r\n\x1a\n"));
        assert_eq!(one, of_meter("40417").unwrap());
        assert_ne!(one, of_meter("40471").unwrap());
    }
}
