//! A map sheet of 10^6 nodes imported from GeoPackage and from CSV: nodes a second, beside a plain
//! scan of the same rows in the same run, and the most memory it took.
//!
//!     cargo bench -p coldlug-speed --bench import
//!     COLDLUG_NODES=100000 cargo bench -p coldlug-speed --bench import
//!
//! The utility is made up, and written to a folder that goes with the run. All of the import is
//! timed, on the processor: reading, checking, and writing the sheet.
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a benchmark: it prints, and stops where it cannot go on"
)]

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

use coldlug_store::import::import_on_disk;
use spread::timed;

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
    let imported = import_on_disk(from, Some(mapping), &mut ()).expect("the files are there");
    if imported.sheet.is_none() {
        println!("{:#?}", imported.findings.kept.first());
    }
    let sheet = imported.sheet.expect("the made-up utility is taken");
    let mut out = BufWriter::new(File::create(to).expect("a file"));
    let mut bytes = 0;
    let written = sheet.write(&mut (), |piece| {
        bytes += piece.len() as u64;
        out.write_all(piece)
    });
    written.expect("the sheet is written");
    out.flush().expect("the sheet is written");
    (imported.rows, bytes)
}

fn main() {
    let nodes = std::env::var("COLDLUG_NODES").ok().and_then(|n| n.parse().ok());
    let nodes: u32 = nodes.unwrap_or(1_000_000);
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    let gpkg = path("town.gpkg");
    let made = town::write_geopackage(&gpkg, nodes);
    let tables = town::write_csv(folder.path(), nodes);
    println!("{made} nodes");
    let runs = [
        ("GeoPackage", vec![gpkg], town::geopackage_mapping()),
        ("CSV", tables, town::MAPPING.to_owned()),
    ];
    for (name, files, mapping) in runs {
        let said = path("mapping.toml");
        fs::write(&said, mapping).expect("the mapping is written");
        let scan = || files.iter().map(|file| plain::scan(file)).sum::<u64>();
        let (rows, plain) = timed(scan);
        forget_memory();
        let before = most_memory().unwrap_or_default();
        let ((read, bytes), took) = timed(|| imported(&files, &said, &path("sheet.geojson")));
        let most = most_memory().unwrap_or_default();
        let (plain, took) = (plain.as_secs_f64(), took.as_secs_f64());
        let megabytes = |bytes: u64| bytes / (1024 * 1024);
        println!(
            "{name}: {rows} rows scanned in {plain:.2} s; {read} rows imported and {} MB written in \
             {took:.2} s, {:.0} nodes/s, {:.1} times the scan; VmHWM {} MB, {} MB before",
            megabytes(bytes),
            f64::from(made) / took,
            took / plain,
            megabytes(most),
            megabytes(before),
        );
    }
}
