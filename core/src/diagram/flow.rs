//! Texts broken into lines that fit. Nothing is cut off: a name that is too long goes on below.

use super::mark::Face;

/// A piece of a text, and how it is set.
pub(super) type Span = (Face, String);

/// One piece on a line: its first column, how it is set, what it says.
pub(super) type Piece = (usize, Face, String);

/// How many columns a letter takes: those of scripts that are set twice as wide take two. Taking
/// two for all beyond the Latin, Greek and Cyrillic ones is the wide side.
fn width(letter: char) -> usize {
    if u32::from(letter) < 0x0590 { 1 } else { 2 }
}

/// How many columns a text takes.
pub(super) fn columns(text: &str) -> usize {
    text.chars().map(width).sum()
}

/// The pieces of each line, at most `most` columns wide.
pub(super) fn flow(spans: &[Span], most: usize) -> Vec<Vec<Piece>> {
    let most = most.max(2);
    let mut lines: Vec<Vec<Piece>> = vec![Vec::new()];
    let mut at = 0;
    for (face, text) in spans {
        // A state is read in one look: it begins a line of its own before it is broken.
        let whole = columns(text);
        if *face == Face::Heavy && at > 0 && whole <= most && at + 1 + whole > most {
            lines.push(Vec::new());
            at = 0;
        }
        for word in text.split(|c: char| c.is_whitespace() || c.is_control()) {
            let wide = columns(word);
            if wide == 0 {
                continue;
            }
            if at > 0 && at + 1 + wide > most {
                lines.push(Vec::new());
                at = 0;
            } else if at > 0 {
                at += 1;
            }
            for letter in word.chars() {
                if at + width(letter) > most {
                    lines.push(Vec::new());
                    at = 0;
                }
                put(&mut lines, at, *face, letter);
                at += width(letter);
            }
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// Adds a letter at a column: to the piece before it where that ends there or one blank before.
fn put(lines: &mut [Vec<Piece>], at: usize, face: Face, letter: char) {
    let Some(line) = lines.last_mut() else { return };
    if let Some((from, of, text)) = line.last_mut().filter(|(_, of, _)| *of == face) {
        debug_assert_eq!(*of, face);
        while *from + columns(text) < at {
            text.push(' ');
        }
        text.push(letter);
    } else {
        line.push((at, face, letter.to_string()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(spans: &[Span], most: usize) -> Vec<String> {
        let all = flow(spans, most);
        all.iter()
            .map(|line| {
                let pieces: Vec<String> =
                    line.iter().map(|(at, _, text)| format!("{at}:{text}")).collect();
                pieces.concat()
            })
            .collect()
    }

    #[test]
    fn words_go_on_below_and_long_names_are_broken_not_cut() {
        let spans = [(Face::Plain, "cable C1-of-the-harbour".into()), (Face::Heavy, "live".into())];
        assert_eq!(lines(&spans, 40), ["0:cable C1-of-the-harbour24:live"]);
        assert_eq!(lines(&spans, 20), ["0:cable", "0:C1-of-the-harbour", "0:live"]);
        assert_eq!(lines(&spans, 10), ["0:cable", "0:C1-of-the-", "0:harbour", "0:live"]);
        let state = [(Face::Plain, "set S-1".into()), (Face::Heavy, "not proven".into())];
        assert_eq!(lines(&state, 14), ["0:set S-1", "0:not proven"]);
    }

    #[test]
    fn wide_letters_take_two_columns() {
        assert_eq!(columns("a\u{6e2f}"), 3);
        assert_eq!(lines(&[(Face::Plain, "\u{6e2f}\u{6e2f}".into())], 3).len(), 2);
    }
}
