//! Small files, each with a word about what it is.

use super::sources;

/// No source file is longer than this many lines.
const LONGEST: usize = 500;

fn is_source(path: &str) -> bool {
    [".rs", ".py", ".sql", ".kt", ".swift", ".js", ".css"].iter().any(|end| path.ends_with(end))
}

#[test]
fn no_source_file_is_too_long() {
    let long: Vec<String> = sources::files()
        .into_iter()
        .filter(|path| is_source(path))
        .filter_map(|path| {
            let lines = sources::text(&path)?.lines().count();
            (lines > LONGEST).then(|| format!("{path}: {lines} lines"))
        })
        .collect();
    assert!(long.is_empty(), "longer than {LONGEST} lines: {long:#?}");
}

#[test]
fn every_rust_file_of_a_crate_begins_with_its_docs() {
    let bare: Vec<String> = sources::files()
        .into_iter()
        .filter(|path| sources::is_rust(path) && !sources::is_unit_tests(path))
        .filter(|path| sources::text(path).is_some_and(|text| !text.starts_with("//!")))
        .collect();
    assert!(bare.is_empty(), "begin with no `//!` line: {bare:#?}");
}

#[test]
fn every_module_folder_says_what_it_is() {
    let mut thin = Vec::new();
    for path in sources::files() {
        if !path.ends_with("/mod.rs") && !path.ends_with("/lib.rs") {
            continue;
        }
        let text = sources::text(&path).unwrap_or_default();
        let words: usize = text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .map(|line| line.split_whitespace().count() - 1)
            .sum();
        if words < 4 {
            thin.push(format!("{path}: {words} words"));
        }
    }
    assert!(thin.is_empty(), "say too little: {thin:#?}");
}

#[test]
fn nothing_is_named_after_no_idea_at_all() {
    let empty_words = [
        "utils",
        "util",
        "manager",
        concat!("hel", "per"),
        concat!("hel", "pers"),
        "common",
        "misc",
    ];
    let named: Vec<String> = sources::files()
        .into_iter()
        .filter(|path| {
            path.split('/')
                .any(|step| empty_words.contains(&step.split('.').next().unwrap_or(step)))
        })
        .collect();
    assert!(named.is_empty(), "{named:#?}");
}
