//! The program as it is run: answers, exit codes, and no panic on whatever is typed.
#![allow(
    clippy::expect_used,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use std::process::{Command, Output};

fn coldlug(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_coldlug")).args(args).output().expect("coldlug starts")
}

fn code(args: &[&str]) -> i32 {
    coldlug(args).status.code().expect("coldlug ends by itself")
}

#[test]
fn rules_and_schemas_are_printed() {
    let rules = coldlug(&["rules", "--json"]);
    assert!(rules.status.success());
    let book: serde_json::Value = serde_json::from_slice(&rules.stdout).expect("JSON");
    assert!(book["rules"].as_array().expect("rules").len() > 40);
    let forms = coldlug(&["schema", "--json"]);
    let names: Vec<String> = serde_json::from_slice(&forms.stdout).expect("JSON");
    for name in &names {
        let schema = coldlug(&["schema", name]);
        assert!(schema.status.success(), "{name}");
        let schema: serde_json::Value = serde_json::from_slice(&schema.stdout).expect("JSON");
        assert!(schema.get("$schema").is_some(), "{name}");
    }
}

#[test]
fn bad_usage_is_2_and_names_what_to_do() {
    assert_eq!(code(&["no-such-command"]), 2);
    let unknown = coldlug(&["schema", "no-such-form"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("rule-book"));
}

#[test]
fn help_tells_the_exit_codes() {
    let help = coldlug(&["--help"]);
    assert!(String::from_utf8_lossy(&help.stdout).contains("Exit codes"));
}
