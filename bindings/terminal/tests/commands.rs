//! The program as it is run: answers, exit codes, and no panic on whatever is typed.
#![allow(
    clippy::expect_used,
    clippy::panic,
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
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("rules"));
}

#[test]
fn help_tells_the_exit_codes() {
    let help = coldlug(&["--help"]);
    assert!(String::from_utf8_lossy(&help.stdout).contains("Exit codes"));
}

/// The invented town as a map sheet in a file.
fn town(dir: &std::path::Path) -> String {
    let world = coldlug_field::town::hillside(1);
    let sheet = coldlug_field::record::Record::true_of(&world).map_sheet(&world);
    let path = dir.join("town.geojson");
    std::fs::write(&path, sheet.to_string()).expect("written");
    path.display().to_string()
}

fn json(out: &Output) -> serde_json::Value {
    serde_json::from_slice(&out.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&out.stderr)))
}

#[test]
fn a_whole_sheet_is_accepted_and_a_broken_one_refused_with_its_place() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let answer = coldlug(&["check", &map, "--json"]);
    assert_eq!(answer.status.code(), Some(0), "{}", String::from_utf8_lossy(&answer.stdout));
    assert_eq!(json(&answer)["sheet"]["services"].as_u64().map(|n| n > 349), Some(true));

    let text = std::fs::read_to_string(&map).expect("text");
    let broken = dir.path().join("broken.geojson");
    std::fs::write(&broken, text.replacen("\"volts_line_to_line\"", "\"volts\"", 1))
        .expect("written");
    let broken = broken.display().to_string();
    let answer = coldlug(&["check", &broken, "--json"]);
    assert_eq!(answer.status.code(), Some(1));
    let findings = json(&answer)["findings"].clone();
    assert!(findings.to_string().contains("volts_line_to_line"), "{findings}");
    assert_eq!(code(&["check", "/nowhere/at-all"]), 4);
}

#[test]
fn fault_current_by_numbers_and_by_the_record() {
    let numbers = "fault-current --kva 25 --percent-z 1.6 --metal al --size 4/0 --feet 100 --json";
    let amps = json(&coldlug(&numbers.split(' ').collect::<Vec<_>>()));
    // The same circuit in OpenDSS: 6510.41, 10018.25, 4633.47, 4221.28.
    let near = |key: &str, want: f64| {
        assert!((amps[key].as_f64().expect("a number") - want).abs() < 0.5, "{key}: {amps}");
    };
    near("pad_line_to_line_amps", 6510.41);
    near("pad_line_to_neutral_amps", 10018.25);
    near("meter_line_to_line_amps", 4633.47);
    near("meter_line_to_neutral_amps", 4221.28);
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let by_map = json(&coldlug(&["fault-current", "--map", &map, "--service", "V014", "--json"]));
    assert!(by_map["meter_line_to_line_amps"].as_f64().expect("a number") > 500.0, "{by_map}");
    assert_eq!(by_map["conductor_celsius"].as_f64(), Some(25.0));
    assert_eq!(code(&["fault-current", "--map", &map, "--service", "V999"]), 2);
    assert_eq!(code(&["fault-current", "--kva", "nan", "--percent-z", "1.6"]), 2);
}
