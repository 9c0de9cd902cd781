//! `coldlug rules`: the rule book, made from the code.

use std::io::Write;

use coldlug_core::{form::RuleBookForm, words::Words};

use crate::{exit::Exit, print::Print, table::Table, trouble::Trouble};

/// Prints the rule book.
pub(crate) fn run<W: Write>(
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let book = RuleBookForm::new(words);
    if json {
        print.json(&book)?;
        return Ok(Exit::Yes);
    }
    let mut table = Table::new(["rule", "sentence", "source", "test"]);
    for rule in &book.rules {
        table.row([&rule.id, &rule.sentence, &rule.source, &rule.test]);
    }
    print.table(&table)?;
    Ok(Exit::Yes)
}
