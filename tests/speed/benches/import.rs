//! A map sheet of 10^6 nodes imported from GeoPackage, from CSV and from a model in CIM: nodes a
//! second, beside a plain scan of the same files in the same run, and the most memory it took.
//!
//!     cargo bench -p coldlug-speed --bench import
//!     COLDLUG_NODES=100000 COLDLUG_FORMS=CSV,CIM cargo bench -p coldlug-speed --bench import
//!
//! The utility is made up, and written to a folder that goes with the run; a model in CIM of that
//! size has about 3 GB. All of the import is timed, on the processor: reading, checking, and writing
//! the sheet. The form `memory` is the GeoPackage once more, with the sheet in memory instead of on disk.
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a benchmark: it prints, and stops where it cannot go on"
)]

#[path = "import/model.rs"]
mod model;
#[path = "import/plain.rs"]
mod plain;
#[allow(dead_code, reason = "one time is no spread")]
mod spread;
#[path = "import/town.rs"]
mod town;

use std::{
    fs::{self, File},
    io::{BufWriter, Write},
    path::{Path, PathBuf},
};

use coldlug_core::mapsheet::canonical_pieces;
use coldlug_store::import::{import, import_on_disk};
use spread::timed;

/// The most memory an import may take, however large the sheet, bytes: our own bound.
const MOST_MEMORY: u64 = 150 * 1024 * 1024;
/// Nodes a second from tables, our own goal: half of what an import in memory came to.
const FROM_TABLES: f64 = 17_000.0;

/// The most memory this process ever held since it was last forgotten, bytes.
fn most_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse::<u64>().ok().map(|kilobytes| kilobytes * 1024)
}

/// Forgets it (proc(5), `clear_refs`).
fn forget_memory() {
    drop(fs::write("/proc/self/clear_refs", "5"));
}

/// Imports and writes the sheet, and gives the rows read and the bytes written.
fn imported(from: &[PathBuf], mapping: &Path, to: &Path) -> (u64, u64) {
    let mut out = BufWriter::new(File::create(to).expect("a file"));
    let imported = import_on_disk(from, Some(mapping), &mut ()).expect("the files are there");
    if imported.sheet.is_none() {
        println!("{:#?}", imported.findings.kept.first());
    }
    let sheet = imported.sheet.expect("the made-up utility is taken");
    let mut bytes = 0;
    let written = sheet.write(&mut (), |piece| {
        bytes += piece.len() as u64;
        out.write_all(piece)
    });
    written.expect("the sheet is written");
    out.flush().expect("the sheet is written");
    (imported.rows, bytes)
}

/// The same with the sheet in memory, to hold the other against.
fn imported_in_memory(from: &[PathBuf], mapping: &Path, to: &Path) -> (u64, u64) {
    let mut out = BufWriter::new(File::create(to).expect("a file"));
    let imported = import(from, Some(mapping), &mut ()).expect("the files are there");
    let plant = imported.sheet.expect("the made-up utility is taken");
    let mut bytes = 0;
    let written = canonical_pieces(&plant, |piece| {
        bytes += piece.len() as u64;
        out.write_all(piece).map_err(serde_json::Error::io)
    });
    written.expect("the sheet is written");
    out.flush().expect("the sheet is written");
    (imported.rows, bytes)
}

/// Makes the utility in one form: its files, its mapping, and how many nodes it has.
fn made(form: &str, folder: &Path, nodes: u32) -> (Vec<PathBuf>, String, u32) {
    match form {
        "CSV" => {
            let (files, made) = town::write_csv(folder, nodes);
            (files, town::MAPPING.to_owned(), made)
        }
        "CIM" => {
            let path = folder.join("town.xml");
            let made = model::write(&path, nodes);
            (vec![path], model::MAPPING.to_owned(), made)
        }
        _ => {
            let path = folder.join("town.gpkg");
            let made = town::write_geopackage(&path, nodes);
            (vec![path], town::geopackage_mapping(), made)
        }
    }
}

fn measured(form: &str, nodes: u32) {
    let folder = tempfile::tempdir().expect("a folder");
    let (files, mapping, made) = made(form, folder.path(), nodes);
    let said = folder.path().join("mapping.toml");
    fs::write(&said, mapping).expect("the mapping is written");
    let size: u64 = files.iter().map(|file| fs::metadata(file).expect("a file").len()).sum();
    let (rows, plain) = timed(|| files.iter().map(|file| plain::scan(file)).sum::<u64>());
    let in_memory = form == "memory";
    let import_it = if in_memory { imported_in_memory } else { imported };
    forget_memory();
    let before = most_memory().unwrap_or_default();
    let sheet = folder.path().join("sheet.geojson");
    let ((read, bytes), took) = timed(|| import_it(&files, &said, &sheet));
    let most = most_memory().unwrap_or_default();
    let (plain, took) = (plain.as_secs_f64(), took.as_secs_f64());
    let megabytes = |bytes: u64| bytes / (1024 * 1024);
    let rate = match form {
        "CIM" | "memory" => String::new(),
        _ => format!(" (goal: {FROM_TABLES:.0} at least)"),
    };
    let bound = match form {
        "memory" => String::new(),
        _ => format!(" (bound: {} MB)", megabytes(MOST_MEMORY)),
    };
    println!(
        "{form}: {made} nodes; {rows} rows of {} MB scanned in {plain:.2} s; {read} rows imported and \
         {} MB written in {took:.1} s: {:.0} nodes/s{rate}, {:.0} times the scan; \
         VmHWM {} MB{bound}, {} MB before",
        megabytes(size),
        megabytes(bytes),
        f64::from(made) / took,
        took / plain,
        megabytes(most),
        megabytes(before),
    );
}

fn main() {
    let said = |name: &str| std::env::var(name).ok();
    let nodes: u32 = said("COLDLUG_NODES").and_then(|n| n.parse().ok()).unwrap_or(1_000_000);
    let forms = said("COLDLUG_FORMS").unwrap_or("GeoPackage,CSV,CIM,memory".to_owned());
    for form in forms.split(',') {
        measured(form, nodes);
    }
}
