//! `coldlug import`: files of others into a map sheet, or a map sheet of ours into its canonical form.

use std::{io::Write, path::Path};

use coldlug_core::{form::ImportForm, mapsheet::canonical_pieces, plant::Plant, words::Words};
use coldlug_store::import::{Imported, Progress, Watch, import};
use indicatif::{ProgressBar, ProgressStyle};

use crate::{cli, exit::Exit, file, print::Print, table::Table, trouble::Trouble};

/// Reads, checks and writes; exit code 1 when the sheet is refused, and then nothing is written.
pub(crate) fn run<W: Write>(
    args: &cli::Import,
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let imported = read(args)?;
    let hash = match &imported.plant {
        Some(plant) => Some(written(plant, &args.to)?),
        None => None,
    };
    let sheet = imported.plant.as_ref().zip(hash.as_deref());
    let form = ImportForm::new(sheet, imported.rows, imported.findings.tally(), words);
    let exit = if form.accepted { Exit::Yes } else { Exit::No };
    if json {
        print.json(&form)?;
        return Ok(exit);
    }
    if !form.findings.is_empty() {
        let mut table = Table::new(["finding", "place", "what and why"]);
        for finding in &form.findings {
            table.row([&finding.id, &finding.place(), &finding.says]);
        }
        print.table(&table)?;
    }
    let number = |number: u64| number.to_string();
    if form.left > 0 {
        print.line(words.say("import-more", &[("count", &number(form.left))]).text)?;
    }
    let (errors, warnings) = (number(form.errors), number(form.warnings));
    let said = if form.accepted {
        let path = args.to.display().to_string();
        let (features, rows) = (form.features().to_string(), number(form.rows));
        let args = [
            ("path", path.as_str()),
            ("features", &features),
            ("rows", &rows),
            ("warnings", &warnings),
        ];
        words.say("import-written", &args)
    } else {
        words.say("import-refused", &[("errors", &errors), ("warnings", &warnings)])
    };
    print.line(said.text)?;
    Ok(exit)
}

fn read(args: &cli::Import) -> Result<Imported, Trouble> {
    let bar = ProgressBar::new(0);
    let template = "{msg} {bar:40} {percent} %, {prefix} rows, {elapsed}";
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    let imported = import(&args.from, args.mapping.as_deref(), &mut Bar(&bar));
    bar.finish_and_clear();
    imported.map_err(|why| Trouble::Unreadable { path: why.path, source: why.source })
}

/// The bar follows the layer that is being read.
struct Bar<'a>(&'a ProgressBar);

impl Watch for Bar<'_> {
    fn progress(&mut self, at: &Progress<'_>) {
        self.0.set_length(at.size);
        self.0.set_position(at.done);
        self.0.set_prefix(at.rows.to_string());
        self.0.set_message(at.layer.to_owned());
    }
}

/// Writes the sheet, a feature at a time; gives its hash.
fn written(plant: &Plant, to: &Path) -> Result<String, Trouble> {
    let unwritable = |source| Trouble::Unwritable { path: to.to_owned(), source };
    file::write_whole_by(to, |out: &mut dyn Write| {
        canonical_pieces(plant, |piece| out.write_all(piece).map_err(Stopped::File)).map_err(
            |why| match why {
                Stopped::File(source) => unwritable(source),
                Stopped::Form(why) => Trouble::fault(format!("a sheet cannot be written: {why}")),
            },
        )
    })
}

/// Why a sheet was not written to its end.
enum Stopped {
    File(std::io::Error),
    Form(serde_json::Error),
}

impl From<serde_json::Error> for Stopped {
    fn from(why: serde_json::Error) -> Self {
        Self::Form(why)
    }
}
