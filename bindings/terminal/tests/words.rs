//! Every sentence that is asked for is there, with every place filled; and none lies about unused.
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use std::{collections::BTreeSet, fs, path::Path};

use coldlug_core::words::Words;

/// Folders whose sources ask for sentences.
const SOURCES: [&str; 6] =
    ["src", "templates", "../../core/src", "../phone/src", "../desk/src", "../desk/templates"];

fn sources_below(dir: &Path, out: &mut Vec<String>) {
    for entry in fs::read_dir(dir).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources_below(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs" || e == "html") {
            out.push(fs::read_to_string(&path).expect("text"));
        }
    }
}

fn sources() -> Vec<String> {
    let mut out = Vec::new();
    for dir in SOURCES {
        sources_below(&Path::new(env!("CARGO_MANIFEST_DIR")).join(dir), &mut out);
    }
    out
}

/// Ids that stand right inside `plain("…")` or `say("…")`.
fn asked_for(source: &str) -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    for call in [".plain(", ".say("] {
        for (at, found) in source.match_indices(call) {
            let rest = source.get(at + found.len()..).unwrap_or_default().trim_start();
            let Some(text) = rest.strip_prefix('"') else { continue };
            if let Some((id, _)) = text.split_once('"') {
                ids.insert(id.to_owned());
            }
        }
    }
    ids
}

#[test]
fn every_id_in_the_code_has_a_sentence() {
    let words = Words::english().expect("sentences");
    let mut seen = 0;
    for source in sources() {
        for id in asked_for(&source) {
            let planted = id == "a" || id == "no-such-thing";
            assert!(planted || words.has(&id), "no sentence for '{id}'");
            seen += 1;
        }
    }
    assert!(seen > 60, "only {seen} ids found: are they written another way now?");
}

#[test]
fn no_sentence_is_left_over() {
    let words = Words::english().expect("sentences");
    let all = sources().concat();
    // These ids are put together from a prefix and the name of an enum's variant.
    let composed = [
        "step-",
        "mind-",
        "device-",
        "not-allowed-",
        "breach-",
        "event-",
        "told-",
        "instrument-",
        "scope-",
        "desk-scope-",
        "own-sources-",
        "front-",
        "bolt-",
        "rotation-",
        "class-",
        "critical-",
        "plan-not-picked-up-",
        "simulate-keys-",
    ];
    let left: Vec<&str> = words
        .ids()
        .filter(|id| !composed.iter().any(|prefix| id.starts_with(prefix)))
        .filter(|id| !all.contains(&format!("\"{id}\"")))
        .collect();
    assert!(left.is_empty(), "nobody asks for {left:?}");
}
