//! Invented names, of invented syllables: no real place is meant.

use crate::seed::Draw;

const HEADS: [&str; 14] = [
    "Vesk", "Orru", "Thlo", "Quen", "Ibra", "Murro", "Sculv", "Tavo", "Zelm", "Drovo", "Ulvo",
    "Kreth", "Nembo", "Fasko",
];
const TAILS: [&str; 12] = [
    "tund", "wyth", "mor", "erra", "lende", "brax", "vunn", "dree", "quill", "thorpa", "rusk",
    "zane",
];
const STREETS: [&str; 6] = ["Steps", "Terrace", "Row", "Stairs", "Rise", "Path"];

/// A place name.
pub(crate) fn place(draw: &mut Draw) -> String {
    let head = draw.pick(&HEADS).copied().unwrap_or("Vesk");
    let tail = draw.pick(&TAILS).copied().unwrap_or("tund");
    format!("{head}{tail}")
}

/// A street name.
pub(crate) fn street(draw: &mut Draw) -> String {
    let name = place(draw);
    let kind = draw.pick(&STREETS).copied().unwrap_or("Steps");
    format!("{name} {kind}")
}

/// A pad's tag: two letters, four digits.
pub(crate) fn tag(draw: &mut Draw) -> String {
    const LETTERS: [char; 12] = ['B', 'D', 'G', 'H', 'K', 'L', 'M', 'N', 'S', 'U', 'W', 'Z'];
    let mut letter = || draw.pick(&LETTERS).copied().unwrap_or('K');
    let (first, second) = (letter(), letter());
    format!("{first}{second}{:04}", draw.below(10_000))
}
