//! Good texts, damaged in ways that parsers get wrong.

/// One damage as the fuzzer draws it: what is done, where, how far, and with what.
pub(crate) type Drawn = (u8, u16, u8, u8);

/// Pieces that have broken parsers before.
const PIECES: &[&str] = &[
    "",
    "\"",
    "\\",
    "{",
    "}",
    "[",
    "]",
    ",",
    ":",
    "\n",
    "\u{0}",
    "\u{feff}",
    "\u{202e}",
    "\u{fffd}",
    "0",
    "-0",
    "-1",
    "1e999",
    "1E-400",
    "0.1",
    "00",
    "+1",
    ".5",
    "5.",
    "NaN",
    "Infinity",
    "null",
    "true",
    "9223372036854775808",
    "-9223372036854775809",
    "18446744073709551616",
    "340282366920938463463374607431768211456",
    "99999999999999999999999999999.9",
    "\"\"",
    "{}",
    "[]",
    "\\u0000",
    "\\ud800",
    "\"id\":\"e01\",",
    "\"kind\":\"sighting\",",
    "É",
    "１２",
    "L3",
    "G",
];

/// The text with one to three damages, each at its place from the start of what is left. Half of
/// them keep the text's own form: what is put is a digit, or a value that stood elsewhere in it.
pub(crate) fn damaged(good: &[u8], damages: &[Drawn]) -> Vec<u8> {
    let mut bytes = good.to_vec();
    let most = damages.first().map_or(0, |first| 1 + usize::from(first.3 % 3));
    for &(what, place, far, with) in damages.iter().take(most) {
        if bytes.is_empty() {
            break;
        }
        // A place drawn from 65,536 spreads over texts longer and shorter than that.
        let at = usize::from(place).wrapping_mul(131) % bytes.len();
        let end = (at + usize::from(far)).min(bytes.len());
        let piece = PIECES.get(usize::from(with) % PIECES.len()).copied().unwrap_or_default();
        match what % 16 {
            0 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= with.max(1);
                }
            }
            1 => {
                bytes.splice(at..at, piece.bytes());
            }
            2 => {
                bytes.splice(at..end, piece.bytes());
            }
            3 => {
                bytes.drain(at..end);
            }
            4 => {
                let copied: Vec<u8> = bytes.get(at..end).unwrap_or_default().to_vec();
                let to = usize::from(with).wrapping_mul(977) % bytes.len();
                bytes.splice(to..to, copied);
            }
            5 => replace_value(&mut bytes, at, piece.as_bytes()),
            6 => bytes.truncate(at),
            7 | 8 => {
                let from = usize::from(far).wrapping_mul(977) % bytes.len();
                let value = value_from(&bytes, from);
                replace_value(&mut bytes, at, &value);
            }
            _ => another_digit(&mut bytes, at, with),
        }
    }
    bytes
}

/// Where the next text in quotes begins and ends, quotes left out.
fn quoted(bytes: &[u8], from: usize) -> Option<(usize, usize)> {
    let quote =
        |from: usize| bytes.iter().skip(from).position(|&b| b == b'"').map(|found| from + found);
    let open = quote(from)? + 1;
    Some((open, quote(open)?))
}

fn value_from(bytes: &[u8], from: usize) -> Vec<u8> {
    let of = quoted(bytes, from).and_then(|(open, close)| bytes.get(open..close));
    of.unwrap_or_default().to_vec()
}

/// Puts a piece in the place of the next text in quotes: what is left is JSON or TOML more often
/// than not.
fn replace_value(bytes: &mut Vec<u8>, from: usize, piece: &[u8]) {
    if let Some((open, close)) = quoted(bytes, from) {
        bytes.splice(open..close, piece.iter().copied());
    }
}

fn another_digit(bytes: &mut [u8], from: usize, with: u8) {
    if let Some(digit) = bytes.iter_mut().skip(from).find(|byte| byte.is_ascii_digit()) {
        *digit = b'0' + with % 10;
    }
}
