//! What core lists: the variants of its closed enums, read from its sources.

use std::fs;

use coldlug_core::screen::Act;
use coldlug_tests::places;

/// The enums that every surface draws.
pub(crate) const ENUMS: [&str; 3] = ["Screen", "Act", "AskKind"];

/// These, and what phones draw a diagram from: no shell catches a variant that it does not name.
pub(crate) const CLOSED: [&str; 4] = ["Screen", "Act", "AskKind", "DiagramMark"];

/// The variants of one of them.
pub(crate) fn variants(of: &str) -> Vec<String> {
    match of {
        "Screen" => declared("core/src/screen/mod.rs", of),
        "DiagramMark" => declared("bindings/phone/src/diagram.rs", of),
        "AskKind" => declared("core/src/screen/ask/mod.rs", of),
        _ => Act::ALL.iter().map(|act| format!("{act:?}")).collect(),
    }
}

fn declared(path: &str, of: &str) -> Vec<String> {
    let text = fs::read_to_string(places::root().join(path)).expect("core's screens are there");
    let found = names(&text, of);
    assert!(found.len() > 3, "{path} declares {found:?} as {of}");
    found
}

/// The names at the top level of an enum's braces.
fn names(text: &str, of: &str) -> Vec<String> {
    let head = format!("pub enum {of} {{");
    let Some((_, body)) = text.split_once(&head) else { return Vec::new() };
    let mut depth = 0_usize;
    let mut found = Vec::new();
    for line in body.lines().map(str::trim) {
        if line.starts_with("//") || line.starts_with('#') {
            continue;
        }
        if depth == 0 && line.starts_with(char::is_uppercase) {
            found.push(line.chars().take_while(|c| c.is_alphanumeric()).collect());
        }
        let (opened, closed) = (line.matches(['{', '(']).count(), line.matches(['}', ')']).count());
        match (depth + opened).checked_sub(closed) {
            Some(now) => depth = now,
            None => break,
        }
    }
    found
}

#[test]
fn variants_are_read_whole() {
    let text = "pub enum A {\n  /// x\n  One,\n  #[y]\n  Two {\n  /// z\n  Of: u8,\n },\n  Three(u8),\n}\nNot,";
    assert_eq!(names(text, "A"), ["One", "Two", "Three"]);
    for of in CLOSED {
        assert!(variants(of).len() > 3, "{of}");
    }
}
