//! Every page from made-up data, written to `target/pages` to be looked at and tested in a browser.

mod at;
mod desk;
mod jobs;
mod made_up;

use std::{error::Error, fs, path::Path};

use coldlug_core::words::Words;
use coldlug_desk::pages::{POLICY, SCRIPT, STYLE};

/// A page: its file's name and its text.
type Page = (&'static str, String);

fn main() -> Result<(), Box<dyn Error>> {
    let words = Words::english()?;
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/pages");
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("style.css"), STYLE)?;
    fs::write(folder.join("page.js"), SCRIPT)?;
    fs::write(folder.join("policy.txt"), POLICY)?;
    let mut names = Vec::new();
    for (name, text) in desk::pages(&words)?.into_iter().chain(jobs::pages(&words)?) {
        write(&folder, &mut names, name, &text)?;
    }
    for (name, text) in at::pages(&words)? {
        write(&folder, &mut names, name, &text)?;
    }
    fs::write(folder.join("pages.txt"), names.join("\n"))?;
    Ok(())
}

fn write(
    folder: &Path,
    names: &mut Vec<&'static str>,
    name: &'static str,
    text: &str,
) -> Result<(), Box<dyn Error>> {
    // Opened as files, the pages look beside themselves for what the desk serves.
    let text = text.replace("\"/style.css\"", "style.css").replace("\"/page.js\"", "page.js");
    fs::write(folder.join(format!("{name}.html")), text)?;
    names.push(name);
    Ok(())
}
