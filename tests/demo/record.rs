//! The records that the demo leaves: whole, and refused when a single bit of them is not.

use std::path::{Path, PathBuf};

use coldlug_tests::draw::Draw;
use coldlug_tests::{demo, program};

use super::run;

fn is_accepted(record: &Path) -> bool {
    let path = record.to_str().expect("a path of ours is text");
    let out = program::run(&["verify", path]).unwrap_or_else(|why| panic!("{why}"));
    let status = out.status.code().expect("it was not killed");
    assert_ne!(status, 101, "verify panicked: {}", String::from_utf8_lossy(&out.stderr));
    let said = out.stdout.len() + out.stderr.len();
    assert!(said > 0, "verify says nothing");
    status == 0
}

fn records() -> Vec<Vec<u8>> {
    let files = run::one().named("record", 2);
    files.iter().map(|path| std::fs::read(path).expect("a record")).collect()
}

fn written(name: &str, bytes: &[u8]) -> PathBuf {
    let path = demo::fresh_dir(name).expect("a folder").join("record.jsonl");
    std::fs::write(&path, bytes).expect("written");
    path
}

#[test]
fn both_records_verify() {
    for record in records() {
        assert!(is_accepted(&written("whole", &record)));
    }
}

#[test]
fn a_record_without_its_last_line_is_refused() {
    for record in records() {
        let end = record.len() - 1;
        let cut = record[..end].iter().rposition(|&b| b == b'\n').expect("several lines");
        assert!(!is_accepted(&written("no-manifest", &record[..=cut])));
    }
}

#[test]
fn a_flipped_bit_anywhere_is_refused() {
    let mut draw = Draw::of(11, "flip");
    for record in records() {
        for _ in 0..60 {
            let mut bytes = record.clone();
            let at = draw.below(bytes.len());
            bytes[at] ^= 1 << draw.below(8);
            assert!(!is_accepted(&written("flipped", &bytes)), "byte {at} flipped, and accepted");
        }
    }
}

#[test]
fn a_line_cut_doubled_or_moved_is_refused() {
    let mut draw = Draw::of(12, "lines");
    for record in records() {
        let lines: Vec<&[u8]> = record.split_inclusive(|&b| b == b'\n').collect();
        for round in 0..40 {
            let at = draw.below(lines.len());
            let mut other = lines.clone();
            match round % 3 {
                0 => drop(other.remove(at)),
                1 => other.insert(at, lines[at]),
                _ => other.swap(at, (at + 1) % lines.len()),
            }
            assert!(!is_accepted(&written("lines", &other.concat())), "round {round}, line {at}");
        }
    }
}

#[test]
fn the_same_value_written_otherwise_is_refused() {
    for record in records() {
        // A space after the first colon of every line: the same JSON, other bytes.
        let text = String::from_utf8(record).expect("a record is text");
        let spaced: Vec<String> = text.lines().map(|line| line.replacen(':', ": ", 1)).collect();
        assert!(!is_accepted(&written("spaced", (spaced.join("\n") + "\n").as_bytes())));
        assert!(!is_accepted(&written("tail", (text.clone() + "\n").as_bytes())));
        assert!(!is_accepted(&written("crlf", text.replace('\n', "\r\n").as_bytes())));
    }
}
