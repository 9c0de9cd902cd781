//! Source text split into code and what it says: comments are neither.

/// A source file as two texts.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Scanned {
    /// Code, with comments and literals blanked out; lines stay where they were.
    pub(crate) code: String,
    /// What stands in literals, or in a page between its tags and in the attributes that are read out
    /// or shown.
    pub(crate) said: Vec<String>,
}

/// Splits a file by the language its name tells.
pub(crate) fn scan(path: &str, text: &str) -> Scanned {
    let ends = |end: &str| path.ends_with(end);
    if ends(".html") || ends(".xml") {
        page(text)
    } else if [".kt", ".swift", ".rs", ".js"].iter().any(|end| ends(end)) {
        source(text)
    } else {
        Scanned::default()
    }
}

fn source(text: &str) -> Scanned {
    let chars: Vec<char> = text.chars().collect();
    let is = |at: usize, wanted: &str| {
        wanted.chars().enumerate().all(|(i, c)| chars.get(at + i) == Some(&c))
    };
    let mut scanned = Scanned::default();
    let mut at = 0;
    while at < chars.len() {
        let end = if is(at, "//") {
            until(&chars, at, "\n")
        } else if is(at, "/*") {
            until(&chars, at + 2, "*/") + 2
        } else if is(at, "\"\"\"") {
            until(&chars, at + 3, "\"\"\"") + 3
        } else if chars[at] == '"' {
            end_of_literal(&chars, at)
        } else if chars[at] == '\'' && (chars.get(at + 2) == Some(&'\'')) {
            at + 3
        } else {
            scanned.code.push(chars[at]);
            at += 1;
            continue;
        };
        let end = end.min(chars.len());
        if chars[at] == '"' {
            scanned.said.push(chars[at..end].iter().collect());
        }
        scanned.code.extend(chars[at..end].iter().map(|&c| if c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    scanned
}

/// Where `wanted` begins, from `at` on.
fn until(chars: &[char], at: usize, wanted: &str) -> usize {
    let wanted: Vec<char> = wanted.chars().collect();
    (at..chars.len()).find(|&i| chars[i..].starts_with(&wanted)).unwrap_or(chars.len())
}

/// Where a literal ends that begins at `at`; code inserted into it may hold literals of its own.
fn end_of_literal(chars: &[char], at: usize) -> usize {
    let (mut i, mut depth) = (at + 1, 0_u32);
    while i < chars.len() {
        match (chars[i], chars.get(i + 1)) {
            ('\\', Some('(')) | ('$', Some('{')) => (depth, i) = (depth + 1, i + 2),
            ('(' | '{', _) if depth > 0 => (depth, i) = (depth + 1, i + 1),
            (')' | '}', _) if depth > 0 => (depth, i) = (depth - 1, i + 1),
            ('"', _) if depth > 0 => i = end_of_literal(chars, i),
            ('\\', _) => i += 2,
            ('"', _) => return i + 1,
            _ => i += 1,
        }
    }
    chars.len()
}

/// Attributes of a tag whose value a person reads or hears.
const TEXT_ATTRIBUTES: [&str; 9] = [
    "aria-label",
    "aria-description",
    "alt",
    "title",
    "placeholder",
    "android:text",
    "android:hint",
    "android:label",
    "android:contentDescription",
];

/// A template or a resource: code stands in braces, the rest is said; tags are neither, but for
/// what their attributes say.
fn page(text: &str) -> Scanned {
    let mut scanned = Scanned::default();
    let mut rest = text;
    while !rest.is_empty() {
        let opened = [("{{", "}}"), ("{%", "%}"), ("{#", "#}"), ("<!--", "-->"), ("<", ">")]
            .into_iter()
            .find(|(open, _)| rest.starts_with(open));
        if let Some((open, close)) = opened {
            let end = rest.find(close).map_or(rest.len(), |at| at + close.len());
            let inside = &rest[..end];
            if open == "<" {
                // Code may stand inside a tag.
                scanned.code.push_str(&page(&inside[1..]).code);
                scanned
                    .said
                    .extend(attributes(inside).into_iter().flat_map(|text| page(text).said));
            } else if open.starts_with('{') && open != "{#" {
                scanned.code.push_str(inside);
            }
            scanned.code.extend(inside.chars().filter(|&c| c == '\n'));
            rest = &rest[end..];
        } else {
            let end = rest[1..].find(['{', '<']).map_or(rest.len(), |at| at + 1);
            let end = if rest.is_char_boundary(end) { end } else { rest.len() };
            scanned.said.push(rest[..end].to_owned());
            scanned.code.extend(rest[..end].chars().filter(|&c| c == '\n'));
            rest = &rest[end..];
        }
    }
    scanned
}

/// What the text-bearing attributes of a tag hold.
fn attributes(tag: &str) -> Vec<&str> {
    let mut found = Vec::new();
    for name in TEXT_ATTRIBUTES {
        for (at, _) in tag.match_indices(name) {
            if !tag[..at].ends_with(char::is_whitespace) {
                continue;
            }
            let Some(value) = tag[at + name.len()..].trim_start().strip_prefix('=') else {
                continue;
            };
            let value = value.trim_start();
            let Some(quote) = value.chars().next().filter(|c| ['"', '\''].contains(c)) else {
                continue;
            };
            let value = &value[1..];
            found.push(&value[..end_of_value(value, quote)]);
        }
    }
    found
}

/// Where an attribute's value ends: a quote in braces does not end it.
fn end_of_value(value: &str, quote: char) -> usize {
    let mut depth = 0_usize;
    for (at, c) in value.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            c if c == quote && depth == 0 => return at,
            _ => {}
        }
    }
    value.len()
}

#[test]
fn code_and_what_it_says_come_apart() {
    let scanned = scan("a.kt", "val a = \"x ${f(\"y\")} z\" // \"no\"\n/* no */ b('\"')");
    assert_eq!(scanned.said, ["\"x ${f(\"y\")} z\""]);
    assert!(scanned.code.contains("val a = ") && scanned.code.contains("b("));
    assert!(!scanned.code.contains("no"));
    let scanned = scan("a.swift", "f(\"\\(g(\"u\")) v\")");
    assert_eq!(scanned.said, ["\"\\(g(\"u\")) v\""]);
    let scanned = scan("a.html", "<p class=\"{{ a.b }}\">said {% if c %}too{% endif %}</p>");
    assert_eq!(scanned.said, ["said ", "too"]);
    assert!(scanned.code.contains("{{ a.b }}") && scanned.code.contains("if c"));
    let scanned =
        scan("a.html", "<p id=\"no\"\n alt = 'x {{ f(\"no\") }} y' data-title=\"no\" title=\"z\">");
    assert_eq!(scanned.said, ["x ", " y", "z"]);
}
