//! `coldlug import`: files of others into a map sheet, or a map sheet of ours into its canonical form.

use std::{
    io::{self, Write},
    path::Path,
};

use coldlug_core::{
    form::{FoundForm, ImportForm},
    mapsheet::{Found, Written},
    words::Words,
};
use coldlug_store::import::{
    Doing, ImportError, Imported, OnDisk, Progress, Watch, WriteError, import_on_disk,
};
use indicatif::{ProgressBar, ProgressStyle};

use crate::{cli, exit::Exit, file, print::Print, table::Table, trouble::Trouble};

/// Reads, checks and writes; exit code 1 when the sheet is refused, and then nothing is written.
pub(crate) fn run<W: Write>(
    args: &cli::Import,
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let imported = read(args, words)?;
    let written = match &imported.sheet {
        Some(sheet) => Some(written(sheet, &args.to, words)?),
        None => None,
    };
    let form = ImportForm::new(written.as_ref(), imported.rows, imported.findings.tally(), words);
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

fn bar() -> ProgressBar {
    let bar = ProgressBar::new(0);
    let template = "{msg} {bar:40} {percent} %, {prefix} rows, {elapsed}";
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    bar
}

fn read(args: &cli::Import, words: &Words) -> Result<Imported<OnDisk>, Trouble> {
    let bar = bar();
    let Some(path) = &args.findings else {
        return imported(args, &mut Listener::new(&bar, words));
    };
    file::write_whole_by(path, |out| {
        let mut listener = Listener { lines: Some(out), ..Listener::new(&bar, words) };
        let imported = imported(args, &mut listener)?;
        let unwritable = |source| Trouble::Unwritable { path: path.clone(), source };
        listener.stopped.map_or(Ok(imported), |source| Err(unwritable(source)))
    })
}

fn imported(args: &cli::Import, listener: &mut Listener<'_>) -> Result<Imported<OnDisk>, Trouble> {
    let imported = import_on_disk(&args.from, args.mapping.as_deref(), listener);
    listener.bar.finish_and_clear();
    imported.map_err(Trouble::from)
}

/// The bar follows what is done and the layer that is read; findings go to their file as they come.
struct Listener<'a> {
    bar: &'a ProgressBar,
    words: &'a Words,
    lines: Option<&'a mut dyn Write>,
    /// Why the file took no more.
    stopped: Option<io::Error>,
}

impl<'a> Listener<'a> {
    fn new(bar: &'a ProgressBar, words: &'a Words) -> Self {
        Self { bar, words, lines: None, stopped: None }
    }
}

impl Watch for Listener<'_> {
    fn progress(&mut self, at: &Progress<'_>) {
        self.bar.set_length(at.size);
        self.bar.set_position(at.done);
        self.bar.set_prefix(at.rows.to_string());
        let id = match at.doing {
            Doing::Reading => "import-reading",
            Doing::Checking => "import-checking",
            Doing::Writing => "import-writing",
        };
        self.bar.set_message(self.words.say(id, &[("layer", at.layer)]).text);
    }

    fn found(&mut self, found: &Found) {
        let Some(out) = &mut self.lines else { return };
        let line = serde_json::to_vec(&FoundForm::new(found, self.words)).unwrap_or_default();
        let written = out.write_all(&line).and_then(|()| out.write_all(b"\n"));
        if self.stopped.is_none() {
            self.stopped = written.err();
        }
    }
}

/// Writes the sheet, a feature at a time.
fn written(sheet: &OnDisk, to: &Path, words: &Words) -> Result<Written, Trouble> {
    let bar = bar();
    let written = file::write_whole_by(to, |out: &mut dyn Write| {
        let written = sheet.write(&mut Listener::new(&bar, words), |piece| out.write_all(piece));
        written.map_err(|why| match why {
            WriteError::NotTaken(source) => Trouble::Unwritable { path: to.to_owned(), source },
            WriteError::NoRoom(why) => Trouble::from(ImportError::from(why)),
        })
    });
    bar.finish_and_clear();
    written
}
