//! Inside core a module may use only those listed before it. Files of unit tests may look ahead:
//! what they use does not ship.

use super::sources;

/// Core's modules in dependency order.
const ORDER: [&str; 22] = [
    "quantity",
    "rule_sheet",
    "plant",
    "mapsheet",
    "reading",
    "sighting",
    "reconcile",
    "fault_current",
    "loading",
    "caution",
    "gate",
    "isolate",
    "proof",
    "clearance",
    "event",
    "job",
    "log",
    "exchange",
    "words",
    "diagram",
    "form",
    "screen",
];

const SRC: &str = "core/src/";

/// What is wrong with one file of core: a line for every use of a module that is not before its
/// own, or not a listed module at all.
fn breaches(path: &str, text: &str) -> Vec<String> {
    let module = module_of(path);
    if module == "lib" {
        return Vec::new();
    }
    let Some(own) = place(module) else {
        return vec![format!("{path}: `{module}` is not in the order of modules")];
    };
    used(&sources::code_only(text), module)
        .into_iter()
        .filter_map(|name| match place(&name) {
            Some(other) if other <= own => None,
            Some(_) => Some(format!("{path}: `{module}` uses `{name}`, which comes after it")),
            None => Some(format!("{path}: `crate::{name}` is not a module in the order")),
        })
        .collect()
}

fn place(module: &str) -> Option<usize> {
    ORDER.iter().position(|&name| name == module)
}

/// The top module of a file: `core/src/plant/set.rs` and `core/src/plant.rs` belong to `plant`.
fn module_of(path: &str) -> &str {
    let inside = path.strip_prefix(SRC).unwrap_or(path);
    let first = inside.split('/').next().unwrap_or(inside);
    first.strip_suffix(".rs").unwrap_or(first)
}

/// Names that stand right after `crate::`, groups in braces opened; and modules of the order that
/// are reached by climbing (`super::super::name`).
fn used(code: &str, own: &str) -> Vec<String> {
    let mut names = Vec::new();
    for (at, found) in code.match_indices("crate::") {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '$') {
            continue;
        }
        names.extend(heads(&code[at + found.len()..]));
    }
    for (at, found) in code.match_indices("super::") {
        names.extend(
            heads(&code[at + found.len()..])
                .into_iter()
                .filter(|name| place(name).is_some() && name != own),
        );
    }
    names.sort();
    names.dedup();
    names
}

/// The first names of the path or group of paths that `rest` begins with.
fn heads(rest: &str) -> Vec<String> {
    let rest = rest.trim_start();
    let Some(group) = rest.strip_prefix('{') else {
        return vec![ident(rest)];
    };
    let mut names = Vec::new();
    let mut depth = 0;
    let mut start = 0;
    for (i, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => {
                names.push(ident(&group[start..i]));
                break;
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                names.push(ident(&group[start..i]));
                start = i + 1;
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

fn ident(text: &str) -> String {
    text.trim_start().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

#[test]
fn every_module_uses_only_those_before_it() {
    let breaches: Vec<String> = sources::rust_below(SRC)
        .iter()
        .filter(|(path, _)| !sources::is_unit_tests(path))
        .flat_map(|(path, text)| breaches(path, text))
        .collect();
    assert!(breaches.is_empty(), "\n{}", breaches.join("\n"));
}

#[test]
fn a_planted_breach_is_seen() {
    let check = |path: &str, text: &str, want: usize| {
        assert_eq!(breaches(path, text).len(), want, "{text}: {:?}", breaches(path, text));
    };
    check("core/src/plant/set.rs", "use crate::quantity::Metres;", 0);
    check("core/src/plant/set.rs", "use crate::plant::Pad;\nuse super::pad::Pad;", 0);
    check("core/src/plant/set.rs", "use crate::job::State;", 1);
    check("core/src/plant.rs", "use crate::{quantity::{Metres, Feet}, gate, log::Entry};", 2);
    check("core/src/plant.rs", "fn f(x: crate::screen::Screen) {}", 1);
    check("core/src/plant/set.rs", "use super::super::job::State;", 1);
    check("core/src/plant/set.rs", "// use crate::job::State;\nlet s = \"crate::job\";", 0);
    check("core/src/plant.rs", "use crate::Error;", 1);
    check("core/src/helpful.rs", "", 1);
    check("core/src/lib.rs", "pub use crate::screen::Screen;", 0);
    check("core/src/plant/set.rs", "pub(crate) fn f() {}\nuse xcrate::job::State;", 0);
}
