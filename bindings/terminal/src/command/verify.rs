//! `coldlug verify`: is a record whole?

use std::{io::Write, path::Path};

use coldlug_core::{form::RecordForm, log::verify};

use crate::{exit::Exit, file, print::Print, table::Table, trouble::Trouble};

/// Prints what the record says of itself, or the first thing that is wrong with it.
pub(crate) fn run<W: Write>(
    path: &Path,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let form = RecordForm::new(&verify(&file::read(path)?));
    let exit = if form.whole { Exit::Yes } else { Exit::No };
    if json {
        print.json(&form)?;
        return Ok(exit);
    }
    if let Some(fault) = &form.fault {
        print.line(format!("not whole: line {}: {}", fault.line, fault.reason))?;
        print.line("Nothing of it counts. Ask for the record again.")?;
    }
    if let Some(record) = &form.record {
        let mut table = Table::new(["device", "entries", "public key"]);
        for (device, chain) in &record.devices {
            table.row([device.as_str(), &chain.entries.to_string(), &chain.public_key]);
        }
        print.table(&table)?;
        print.line(format!(
            "whole: job {}, {} entries, manifest signed by {}",
            record.job, record.entries, record.signer
        ))?;
        print.line("Compare the public keys with the ones your utility enrolled.")?;
    }
    Ok(exit)
}
