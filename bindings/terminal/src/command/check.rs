//! `coldlug check`: does a map sheet hold together, and everything that is wrong with it.

use std::{io::Write, path::Path};

use coldlug_core::form::CheckForm;

use crate::{exit::Exit, print::Print, sheets, table::Table, trouble::Trouble};

/// Prints what was found; exit code 1 when the sheet is refused.
pub(crate) fn run<W: Write>(
    path: &Path,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let read = sheets::read(path)?;
    let form = CheckForm::new(&read);
    let exit = if form.accepted { Exit::Yes } else { Exit::No };
    if json {
        print.json(&form)?;
        return Ok(exit);
    }
    if !form.findings.is_empty() {
        let mut table = Table::new(["finding", "place", "what and why"]);
        for finding in &form.findings {
            table.row([&finding.id.name(), &sheets::place(finding), &finding.says]);
        }
        print.table(&table)?;
    }
    match &form.sheet {
        Some(sheet) => {
            let mut table = Table::new(["map sheet", &sheet.name]);
            let numbers = [
                ("pads", sheet.pads),
                ("pedestals", sheet.pedestals),
                ("transformers", sheet.transformers),
                ("services", sheet.services),
                ("cable sets", sheet.sets),
                ("switches", sheet.switches),
                ("primary cables", sheet.cables),
                ("sources", sheet.sources),
            ];
            table.row(["edition", &sheet.edition]);
            table.row(["sha-256", &sheet.sha256]);
            for (what, count) in numbers {
                table.row([what, &count.to_string()]);
            }
            print.table(&table)?;
            print.line(format!("accepted, {} warnings", form.findings.len()))?;
        }
        None => print.line(format!("refused whole, {} findings", form.findings.len()))?,
    }
    Ok(exit)
}
