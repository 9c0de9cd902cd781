//! The repository's own files, and Rust code without its comments and texts.

use std::path::{Path, PathBuf};
use std::process::Command;

use coldlug_tests::places;

/// Paths of all files of the repository, relative to its top, in order: those committed and those
/// about to be, not what is built or ignored.
pub(crate) fn files() -> Vec<String> {
    let out = Command::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard", "-z"])
        .current_dir(places::root())
        .output()
        .expect("git lists the repository's files");
    assert!(out.status.success(), "git: {}", String::from_utf8_lossy(&out.stderr));
    let listed = String::from_utf8(out.stdout).expect("file names are UTF-8");
    let mut files: Vec<String> = listed
        .split('\0')
        .filter(|path| !path.is_empty() && places::root().join(path).is_file())
        .map(str::to_owned)
        .collect();
    files.sort();
    files.dedup();
    assert!(files.iter().any(|path| path == "Cargo.toml"), "git lists no Cargo.toml");
    files
}

/// The text of one of them; `None` when it is not text.
pub(crate) fn text(path: &str) -> Option<String> {
    let full: PathBuf = places::root().join(path);
    let bytes = std::fs::read(&full).unwrap_or_else(|e| panic!("{}: {e}", full.display()));
    String::from_utf8(bytes).ok()
}

/// True for a Rust file.
pub(crate) fn is_rust(path: &str) -> bool {
    Path::new(path).extension().is_some_and(|end| end == "rs")
}

/// A file of unit tests beside the code belongs to the module it tests.
pub(crate) fn is_unit_tests(path: &str) -> bool {
    path.contains("/src/") && (path.ends_with("/tests.rs") || path.contains("/tests/"))
}

/// Rust files below `folder`, with their text.
pub(crate) fn rust_below(folder: &str) -> Vec<(String, String)> {
    let found: Vec<(String, String)> = files()
        .into_iter()
        .filter(|path| path.starts_with(folder) && is_rust(path))
        .filter_map(|path| text(&path).map(|text| (path, text)))
        .collect();
    assert!(!found.is_empty(), "no Rust files below {folder}");
    found
}

/// `text` with comments, texts and characters blanked out, line for line: what is left is code.
pub(crate) fn code_only(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut code = String::with_capacity(text.len());
    let mut at = 0;
    while at < chars.len() {
        let end = end_of_blank(&chars, at);
        if end > at {
            code.extend(chars[at..end].iter().map(|&c| if c == '\n' { '\n' } else { ' ' }));
            at = end;
        } else {
            code.push(chars[at]);
            at += 1;
        }
    }
    code
}

/// Where the comment, text or character that begins at `at` ends; `at` when none begins there.
fn end_of_blank(chars: &[char], at: usize) -> usize {
    let next = |n: usize| chars.get(at + n).copied();
    let in_word = at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    match (chars[at], next(1)) {
        ('/', Some('/')) => find(chars, at, |i| chars[i] == '\n').unwrap_or(chars.len()),
        ('/', Some('*')) => end_of_block(chars, at),
        ('"', _) => end_of_text(chars, at),
        ('r', Some('"' | '#')) if !in_word => end_of_raw(chars, at),
        ('b', Some('r')) if !in_word && matches!(next(2), Some('"' | '#')) => {
            end_of_raw(chars, at + 1)
        }
        ('\'', Some('\\')) => {
            find(chars, at + 3, |i| chars[i] == '\'').map_or(chars.len(), |i| i + 1)
        }
        ('\'', Some(_)) if next(2) == Some('\'') => at + 3,
        _ => at,
    }
}

fn find(chars: &[char], from: usize, is: impl Fn(usize) -> bool) -> Option<usize> {
    (from..chars.len()).find(|&i| is(i))
}

fn end_of_block(chars: &[char], at: usize) -> usize {
    let (mut depth, mut i) = (0, at);
    while i + 1 < chars.len() {
        match (chars[i], chars[i + 1]) {
            ('/', '*') => (depth, i) = (depth + 1, i + 2),
            ('*', '/') => (depth, i) = (depth - 1, i + 2),
            _ => i += 1,
        }
        if depth == 0 {
            return i;
        }
    }
    chars.len()
}

fn end_of_text(chars: &[char], at: usize) -> usize {
    let mut i = at + 1;
    while i < chars.len() {
        match chars[i] {
            '\\' => i += 2,
            '"' => return i + 1,
            _ => i += 1,
        }
    }
    chars.len()
}

fn end_of_raw(chars: &[char], r: usize) -> usize {
    let hashes = chars[r + 1..].iter().take_while(|&&c| c == '#').count();
    if chars.get(r + 1 + hashes) != Some(&'"') {
        // A raw identifier, not a text.
        return r;
    }
    let closes = |i: usize| {
        chars[i] == '"'
            && chars.get(i + 1..=i + hashes).is_some_and(|h| h.iter().all(|&c| c == '#'))
    };
    find(chars, r + 2 + hashes, closes).map_or(chars.len(), |i| i + 1 + hashes)
}

#[test]
fn comments_and_texts_are_no_code() {
    let check = |text: &str, want: &str| {
        let got: String = code_only(text).split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(got, want, "{text}");
    };
    check("use a; // crate::b\nuse c;", "use a; use c;");
    check("a /* x /* y */ z */ b", "a b");
    check(r#"f("crate::x \" y", 'c', '\'', b"z")"#, "f( , , , b )");
    check("let s: &'static str = r#\"crate::x\"#; y", "let s: &'static str = ; y");
    check("fn f<'a>(x: &'a u8) {}", "fn f<'a>(x: &'a u8) {}");
    check("r#type + br#\"q\"#", "r#type +");
}
