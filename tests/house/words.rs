//! Words that must not stand in the repository: places of the workshop it was written in.
//!
//! They are put together from halves here, or this file would be the first to hold them.

use super::sources;

/// Halves of each word; a `\b` as first half asks for a word of its own. Case does not matter.
const FORBIDDEN: [(&str, &str); 14] = [
    ("/wo", "rk/"),
    ("sha", "red/"),
    ("contr", "act/"),
    ("transc", "ript"),
    ("seed doc", "ument"),
    ("\\b", "helper"),
    ("\\b", "helpers"),
    ("\\b", "agent"),
    ("\\b", "agents"),
    ("pypi.", "org"),
    ("pythonhosted", ".org"),
    ("npmjs", ".org"),
    ("repo1.maven", ".org"),
    ("static.crates", ".io"),
];

/// Where a forbidden word stands in `text`: line number and word.
fn found(text: &str) -> Vec<(usize, String)> {
    let mut hits = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let line = line.to_lowercase();
        for (first, second) in FORBIDDEN {
            let hit = if first == "\\b" {
                line.split(|c: char| !c.is_alphanumeric()).any(|word| word == second)
            } else {
                line.contains(&format!("{first}{second}"))
            };
            if hit {
                hits.push((number + 1, format!("{}{second}", first.trim_start_matches("\\b"))));
            }
        }
        if numbered_issue(&line) {
            hits.push((number + 1, String::from("an issue by number")));
        }
    }
    hits
}

fn numbered_issue(line: &str) -> bool {
    line.match_indices("issue ").any(|(at, word)| {
        let rest = line[at + word.len()..].trim_start_matches('#');
        rest.starts_with(|c: char| c.is_ascii_digit())
    })
}

/// Files that are written by tools, or that hold the words by necessity.
fn is_exempt(path: &str) -> bool {
    path == "Cargo.lock" || path == "tests/house/words.rs" || path == "LICENSE"
}

#[test]
fn no_forbidden_word_stands_anywhere() {
    let mut hits = Vec::new();
    for path in sources::files() {
        if is_exempt(&path) {
            continue;
        }
        let Some(text) = sources::text(&path) else { continue };
        hits.extend(found(&text).into_iter().map(|(line, word)| format!("{path}:{line}: {word}")));
    }
    assert!(hits.is_empty(), "\n{}", hits.join("\n"));
}

#[test]
fn a_forbidden_word_is_seen() {
    let planted = ["/wo", "rk/main\nfine\nthe ", "agent said\nis", "sue #3\nreagents"].concat();
    let lines: Vec<usize> = found(&planted).into_iter().map(|(line, _)| line).collect();
    assert_eq!(lines, [1, 3, 4]);
}
