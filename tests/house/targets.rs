//! Every test program of this folder is run by a part, and no test is left out for good.

use super::sources;

#[test]
fn every_test_program_is_run_by_a_part() {
    let manifest = sources::text("tests/Cargo.toml").expect("tests has a manifest");
    let parts = sources::text("tests/src/verify/parts.rs").expect("the runner lists its parts");
    let mut declared = 0;
    for section in manifest.split("[[test]]").skip(1) {
        let name = section
            .lines()
            .find_map(|line| line.strip_prefix("name = "))
            .map(|name| name.trim_matches('"'))
            .expect("a test program has a name");
        declared += 1;
        assert!(
            parts.contains(&format!("--test={name}\"")),
            "no part runs the test program `{name}`"
        );
    }
    assert!(declared > 0, "the manifest declares no test program");
}

#[test]
fn no_test_is_ignored() {
    let ignored: Vec<String> = sources::files()
        .into_iter()
        .filter(|path| sources::is_rust(path))
        .filter_map(|path| sources::text(&path).map(|text| (path, text)))
        .filter(|(_, text)| sources::code_only(text).contains("#[ignore"))
        .map(|(path, _)| path)
        .collect();
    assert!(ignored.is_empty(), "{ignored:#?}");
}
