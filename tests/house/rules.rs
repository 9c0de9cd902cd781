//! The rule book printed by the program, against the sources: every rule has a sentence, a source
//! and a test that exists.

use std::collections::BTreeSet;

use coldlug_tests::program;

use super::sources;

/// Names of all test functions below the crates' folders.
fn test_functions() -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for folder in ["core/", "bindings/", "tests/"] {
        for (_, text) in sources::rust_below(folder) {
            names.extend(functions_marked_test(&text));
        }
    }
    names
}

/// Functions that follow a `#[test]` line, or stand in a `proptest!` block with one.
fn functions_marked_test(text: &str) -> Vec<String> {
    let code = sources::code_only(text);
    code.split("#[test]")
        .skip(1)
        .filter_map(|after| {
            let (_, name) = after.split_once("fn ")?;
            Some(name.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect())
        })
        .collect()
}

#[test]
fn every_rule_has_a_sentence_a_source_and_a_test() {
    let book = program::json(&["rules"]).unwrap_or_else(|why| panic!("{why}"));
    let rules = book.as_array().or_else(|| book["rules"].as_array()).map_or(&[][..], Vec::as_slice);
    assert!(rules.len() >= 20, "a rule book of {} rules is no rule book", rules.len());
    let tests = test_functions();
    let mut ids = BTreeSet::new();
    let mut wrong = Vec::new();
    for rule in rules {
        let text = |key: &str| rule[key].as_str().unwrap_or_default().to_owned();
        let id = text("id");
        if !ids.insert(id.clone()) {
            wrong.push(format!("{id}: twice in the rule book"));
        }
        for key in ["id", "sentence", "source", "test"] {
            if text(key).trim().is_empty() {
                wrong.push(format!("{id}: no {key}"));
            }
        }
        let named = text("test");
        let function = named.rsplit("::").next().unwrap_or_default();
        if !tests.contains(function) {
            wrong.push(format!("{id}: its test `{named}` does not exist"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn only_functions_marked_as_tests_count() {
    let text =
        "#[test]\nfn one() {}\nfn two() {}\n// #[test]\nfn three() {}\n#[test]\n#[x]\nfn four() {}";
    assert_eq!(functions_marked_test(text), ["one", "four"]);
}
