//! The table that the demo ends with.

use coldlug_core::{gate::Rule, words::Sentence};

use crate::table::Table;

/// One line: what was done, seen, shown, and which gates stood before it.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    /// The step, in the crew's words.
    pub(crate) step: Sentence,
    /// What was seen.
    pub(crate) seen: Sentence,
    /// What the software showed.
    pub(crate) shown: Sentence,
    /// The gates that were passed, or the one that refused.
    pub(crate) gates: Vec<Rule>,
    /// Whether the step was refused.
    pub(crate) refused: bool,
}

/// The rows of one job as a table.
pub(crate) fn table(rows: &[Row]) -> Table {
    let mut table = Table::new(["step", "seen", "shown", "gate"]);
    for row in rows {
        let gates = row.gates.iter().map(|rule| rule.id()).collect::<Vec<_>>().join(" ");
        let gates = if row.refused { format!("REFUSED {gates}") } else { gates };
        table.row([&row.step.text, &row.seen.text, &row.shown.text, &gates]);
    }
    table
}
