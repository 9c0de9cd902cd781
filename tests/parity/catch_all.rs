//! Nothing catches variants it does not name: a new one has to be a compile error.

use std::{ffi::OsStr, path::Path};

use super::{lists, scan::scan, surface::Surface};

/// What is caught wholesale in one file over one of the closed enums.
fn breaches(path: &str, code: &str) -> Vec<String> {
    let over = |block: &str, joint: &str| {
        lists::CLOSED.iter().any(|of| block.contains(&format!("{of}{joint}")))
    };
    let end = Path::new(path).extension().and_then(OsStr::to_str).unwrap_or_default();
    let found: Vec<String> = match end {
        "swift" => {
            // Swift need not say which enum it switches over, so no switch may have one.
            ["default:", "@unknown"]
                .iter()
                .filter(|w| code.contains(**w))
                .map(|w| (*w).into())
                .collect()
        }
        "kt" => blocks(code, "when")
            .iter()
            .filter(|block| over(block, ".") && block.contains("else ->"))
            .map(|_| String::from("else ->"))
            .collect(),
        "rs" => blocks(code, "match ")
            .iter()
            .filter(|block| heads_over(block) && block.contains("_ =>"))
            .map(|_| String::from("_ =>"))
            .collect(),
        "html" => templates(code)
            .iter()
            .filter(|block| {
                over(block, "::") && (block.contains("when _") || block.contains("else"))
            })
            .map(|_| String::from("when _ or else"))
            .collect(),
        _ => Vec::new(),
    };
    found.into_iter().map(|what| format!("{path}: `{what}`")).collect()
}

/// Whether an arm of the block itself is over one of the enums.
fn heads_over(block: &str) -> bool {
    block.lines().any(|line| {
        let head = line.split("=>").next().unwrap_or_default();
        line.contains("=>") && lists::CLOSED.iter().any(|of| head.contains(&format!("{of}::")))
    })
}

/// The own text of every block in braces after `word`: what stands in inner braces is left out.
fn blocks(code: &str, word: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices(word) {
        if code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let Some(open) = code[at..].find('{') else { continue };
        let (mut depth, mut own) = (0_i32, String::new());
        for c in code[at + open..].chars() {
            depth += i32::from(c == '{') - i32::from(c == '}');
            if depth == 0 {
                break;
            }
            if depth == 1 || c == '\n' {
                own.push(c);
            }
        }
        found.push(own);
    }
    found
}

/// The same for a template's matches. Code of a template is its tags in a row.
fn templates(code: &str) -> Vec<String> {
    let mut open: Vec<String> = Vec::new();
    let mut found = Vec::new();
    let mut inner = 0;
    for tag in code.split("{%").skip(1).filter_map(|tag| tag.split("%}").next()) {
        let tag = tag.trim();
        if tag.starts_with("match ") {
            open.push(String::new());
        } else if tag == "endmatch" {
            found.extend(open.pop());
        } else if tag.starts_with("if ") || tag.starts_with("for ") {
            inner += 1;
        } else if tag == "endif" || tag == "endfor" {
            inner -= 1;
        } else if let Some(own) = open.last_mut()
            && (tag.starts_with("when") || (tag == "else" && inner == 0))
        {
            own.push_str(tag);
            own.push('\n');
        }
    }
    found
}

#[test]
fn nothing_is_caught_wholesale() {
    let mut all = Vec::new();
    for surface in Surface::ALL {
        for (path, text) in surface.files() {
            all.extend(breaches(&path, &scan(&path, &text).code));
        }
    }
    assert!(all.is_empty(), "{all:#?}");
}

#[test]
fn a_planted_catch_all_is_seen() {
    let check = |path: &str, text: &str, want: usize| {
        let found = breaches(path, &scan(path, text).code);
        assert_eq!(found.len(), want, "{text}: {found:?}");
    };
    check("a.swift", "switch s { case .a: 1\n default: 2 }", 1);
    check("a.swift", "switch s { case .a: 1\n @unknown default: 2 }", 2);
    check("a.kt", "when (s) { is Screen.Lift -> 1\n else -> 2 }", 1);
    check("a.kt", "when (m) { is DiagramMark.Line -> 1\n else -> 2 }", 1);
    check("a.kt", "when (s) { is Screen.Lift -> { when (x) { else -> 2 } } }", 0);
    check("a.kt", "when (x) { 1 -> 2\n else -> 3 }", 0);
    check("a.rs", "match s { Screen::Lift { .. } => 1,\n _ => 2 }", 1);
    check("a.rs", "match s { 1 => Screen::A,\n _ => Screen::B }", 0);
    check("a.html", "{% match s %}{% when Screen::Lift %}{% else %}{% endmatch %}", 1);
    check(
        "a.html",
        "{% match s %}{% when Screen::Lift %}{% if a %}{% else %}{% endif %}{% endmatch %}",
        0,
    );
}
