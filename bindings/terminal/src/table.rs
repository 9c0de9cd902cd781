//! Tables that fit a terminal: columns side by side, long cells broken between words.

/// Characters a line may have.
const WIDTH: usize = 132;
/// Longer words may be cut.
const LONGEST_WORD: usize = 44;
/// Between two columns.
const GAP: &str = "  ";

/// Rows under one head.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table with its column names.
    pub(crate) fn new<const N: usize>(head: [&str; N]) -> Self {
        Self { head: head.map(str::to_owned).into(), rows: Vec::new() }
    }

    /// A finished table.
    pub(crate) fn of(head: Vec<String>, rows: Vec<Vec<String>>) -> Self {
        Self { head, rows }
    }

    /// Adds a row.
    pub(crate) fn row<const N: usize>(&mut self, cells: [&str; N]) {
        self.rows.push(cells.map(str::to_owned).into());
    }

    /// The finished lines: head, rule, rows.
    pub(crate) fn lines(&self) -> Vec<String> {
        let widths = self.widths();
        let mut lines = laid_out(&self.head, &widths);
        lines.push(widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>().join(GAP));
        for row in &self.rows {
            lines.extend(laid_out(row, &widths));
        }
        lines
    }

    /// Each column as wide as its widest cell; when that is too much, the widest columns give way.
    fn widths(&self) -> Vec<usize> {
        let mut widths: Vec<usize> = (0..self.head.len())
            .map(|i| {
                let cells = self.rows.iter().filter_map(|r| r.get(i));
                cells.chain(self.head.get(i)).map(|c| c.chars().count()).max().unwrap_or(0)
            })
            .collect();
        let room = WIDTH.saturating_sub(GAP.len() * widths.len().saturating_sub(1));
        // Words are cut only when there is no other way.
        let words: Vec<usize> = (0..self.head.len())
            .map(|i| {
                let cells = self.rows.iter().filter_map(|r| r.get(i)).chain(self.head.get(i));
                let words = cells.flat_map(|cell| cell.split_whitespace());
                words.map(|word| word.chars().count()).max().unwrap_or(0).min(LONGEST_WORD)
            })
            .collect();
        while widths.iter().sum::<usize>() > room {
            let wide = widths.iter_mut().zip(&words).filter(|(width, word)| **width > **word);
            let widest = wide.max_by_key(|(width, _)| **width);
            match widest {
                Some((width, _)) if *width > 8 => *width -= 1,
                _ => break,
            }
        }
        widths
    }
}

fn laid_out(cells: &[String], widths: &[usize]) -> Vec<String> {
    let broken: Vec<Vec<String>> = cells.iter().zip(widths).map(|(c, w)| broken(c, *w)).collect();
    let height = broken.iter().map(Vec::len).max().unwrap_or(0);
    (0..height)
        .map(|i| {
            let parts: Vec<String> = broken
                .iter()
                .zip(widths)
                .map(|(lines, w)| format!("{:<w$}", lines.get(i).map_or("", String::as_str)))
                .collect();
            parts.join(GAP).trim_end().to_owned()
        })
        .collect()
}

/// A text in lines of at most `width` characters, broken between words where that is possible.
fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut word = word;
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            lines.push(std::mem::take(&mut line));
        }
        while word.chars().count() > width && width > 0 {
            let cut = word.char_indices().nth(width).map_or(word.len(), |(i, _)| i);
            let (head, rest) = word.split_at(cut);
            lines.push(head.to_owned());
            word = rest;
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_cells_are_broken_between_words() {
        let mut table = Table::new(["step", "shown"]);
        table.row(["1", &"word ".repeat(60)]);
        let lines = table.lines();
        assert!(lines.iter().all(|l| l.chars().count() <= WIDTH), "{lines:#?}");
        assert_eq!(lines.join(" ").matches("word").count(), 60);
    }

    #[test]
    fn a_word_without_a_place_to_break_is_cut() {
        assert_eq!(broken("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(broken("ab cdefgh i", 3), ["ab", "cde", "fgh", "i"]);
        assert_eq!(broken("", 3), [""]);
    }
}
