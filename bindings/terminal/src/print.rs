//! The answer on standard output: text for people, JSON for programs.

use std::io::{self, Write};

use serde::Serialize;

use crate::{table::Table, trouble::Trouble};

/// Writes the answer.
pub(crate) struct Print<W = io::Stdout> {
    to: W,
}

impl Print {
    /// On standard output.
    pub(crate) fn stdout() -> Self {
        Self { to: io::stdout() }
    }
}

impl<W: Write> Print<W> {
    /// One line of text.
    pub(crate) fn line(&mut self, text: impl AsRef<str>) -> Result<(), Trouble> {
        writeln!(self.to, "{}", text.as_ref()).map_err(|source| Trouble::Output { source })
    }

    /// A table, then an empty line.
    pub(crate) fn table(&mut self, table: &Table) -> Result<(), Trouble> {
        for line in table.lines() {
            self.line(line)?;
        }
        self.line("")
    }

    /// A JSON form, indented.
    pub(crate) fn json<T: Serialize>(&mut self, form: &T) -> Result<(), Trouble> {
        let text = serde_json::to_string_pretty(form)
            .map_err(|e| Trouble::fault(format!("a form cannot be written as JSON: {e}")))?;
        self.line(text)
    }
}
