//! No surface decides: no number is read out of text, no quantity is compared with a number, and no
//! word of a verdict stands in a shell. Core says such things finished.

use super::{scan::scan, surface::Surface};

/// Words of verdicts and proofs, in either spelling. Core's sentences hold them.
const VERDICT_WORDS: [&str; 14] = [
    "identified",
    "contradicted",
    "contradicts",
    "unsettled",
    "elsewhere",
    "agrees",
    "dead",
    "live",
    "healthy",
    "proven",
    "energised",
    "energized",
    "safe",
    "unsafe",
];

/// Ways to make a number of what was typed or sent. Who has no number compares and converts none.
const READS_NUMBERS: [&str; 18] = [
    "toDouble",
    "toFloatOrNull",
    "toBigDecimal",
    "BigDecimal",
    "parseDouble",
    "DecimalFormat",
    "NumberFormat",
    "Double(",
    "Float(",
    "Decimal(",
    "NSDecimalNumber",
    "NumberFormatter",
    "Measurement(",
    "parseFloat",
    "parseInt",
    "Number(",
    "parse::<f64>",
    "parse::<f32>",
];

/// What quantities are called in core's names.
const QUANTITIES: [&str; 9] = [
    "volts",
    "amps",
    "ohms",
    "metres",
    "minutes",
    "degrees",
    "exposure",
    "steps_left",
    "stepsLeft",
];

/// Files whose surface must not decide: what a person sees, not how a program plays a crew.
fn looked_at(path: &str) -> bool {
    [".kt", ".swift", ".html", ".js", ".xml"].iter().any(|end| path.ends_with(end))
}

fn breaches(path: &str, text: &str) -> Vec<String> {
    let scanned = scan(path, text);
    let mut found = Vec::new();
    for line in scanned.code.lines() {
        let reads = READS_NUMBERS.iter().filter(|way| has_word(line, way));
        found.extend(reads.map(|way| format!("{path}: reads a number by `{way}`")));
        if compares(line) {
            found.push(format!("{path}: compares a quantity: {}", line.trim()));
        }
    }
    for said in &scanned.said {
        // The name of an attribute that a page has for its script.
        let said = said.replace("data-live", "");
        let words = said.split(|c: char| !c.is_alphabetic()).map(str::to_lowercase);
        let verdicts = words.filter(|word| VERDICT_WORDS.contains(&word.as_str()));
        found.extend(verdicts.map(|word| format!("{path}: says `{word}`")));
    }
    found
}

/// Whether a name stands in a line and not only as the tail of a longer one.
fn has_word(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| !line[..at].ends_with(char::is_alphanumeric))
}

/// Whether a line holds a quantity against a number, or reckons with one.
fn compares(line: &str) -> bool {
    let is_name = |c: char| c.is_alphanumeric() || "_.()?!".contains(c);
    let quantity = |text: &str| QUANTITIES.iter().any(|name| text.contains(name));
    let number =
        |text: &str| text.trim_start_matches('(').starts_with(|c: char| c.is_ascii_digit());
    ["<", ">", "<=", ">=", "==", "*", "/"].iter().any(|sign| {
        line.match_indices(sign).any(|(at, _)| {
            let before = line[..at].trim_end();
            let before = before.rsplit(|c| !is_name(c)).next().unwrap_or_default();
            let after = line[at + sign.len()..].trim_start();
            let after = after.split(|c| !is_name(c)).next().unwrap_or_default();
            (quantity(before) && number(after)) || (number(before) && quantity(after))
        })
    })
}

#[test]
fn no_surface_decides() {
    let mut all = Vec::new();
    for surface in Surface::ALL {
        for (path, text) in surface.files().into_iter().filter(|(path, _)| looked_at(path)) {
            all.extend(breaches(&path, &text));
        }
    }
    assert!(all.is_empty(), "{all:#?}");
}

#[test]
fn a_planted_decision_is_seen() {
    let check = |path: &str, text: &str, want: usize| {
        let found = breaches(path, text);
        assert_eq!(found.len(), want, "{text}: {found:?}");
    };
    check("a.kt", "val v = text.toDouble()", 1);
    check("a.swift", "let v = Double(text)", 1);
    check("a.swift", "let v: CGFloat = CGFloat(56)", 0);
    check("a.js", "let v = parseFloat(text)", 1);
    check("a.html", "{% if point.volts > 5 %}{% endif %}", 1);
    check("a.kt", "if (5 < point.volts) f()", 1);
    check("a.swift", "let ms = minutes * 60", 1);
    check("a.html", "{{ test.minutes }}", 0);
    check("a.html", "{% if ways.len() > 6 %}{{ way.exposure }}{% endif %}", 0);
    check("a.html", "<p aria-live=\"polite\">The base is dead.</p>", 1);
    check("a.js", "find(\"[data-live]\")", 0);
    check("a.html", "<div role=\"img\" aria-label=\"The base is dead\"></div>", 1);
    check("a.html", "<img alt='proven' title=\"{{ words.plain(\"safe\") }}\">", 1);
    check("a.html", "<input name=\"dead\" placeholder=\"live?\">", 1);
    check("a.xml", "<TextView android:text=\"Safe\" android:contentDescription=\"dead\" />", 2);
    check("a.kt", "val w = \"Identified\"", 1);
    check("a.kt", "// dead\nval identified = 1", 0);
    check("a.xml", "<string name=\"x\">Proven live</string>", 2);
}
