//! What each crate may depend on. That core has no I/O is held by its dependency list; that field
//! knows nothing of core, by its own.

use std::collections::BTreeSet;
use std::process::Command;

use coldlug_tests::places;
use serde_json::Value;

use super::sources;

/// Core's direct dependencies: arithmetic, forms and cryptography, nothing that reads, writes,
/// listens or tells the time. A newcomer is added here by whoever has looked at what it does.
const CORE_MAY_USE: [&str; 19] = [
    "chrono",
    "ed25519-dalek",
    "fluent-bundle",
    "geo",
    "hex",
    "libm",
    "num-complex",
    "rstar",
    "rust_decimal",
    "schemars",
    "serde",
    "serde_jcs",
    "serde_json",
    "sha2",
    "smol_str",
    "thiserror",
    "toml",
    "unic-langid",
    "uom",
];

/// Packages that open files, sockets or clocks, or draw entropy: nowhere below core.
const NEVER_BELOW_CORE: [&str; 16] = [
    "rusqlite",
    "libsqlite3-sys",
    "tokio",
    "async-std",
    "smol",
    "mio",
    "socket2",
    "reqwest",
    "hyper",
    "ureq",
    "rustls",
    "openssl",
    "getrandom",
    "tempfile",
    "memmap2",
    "iana-time-zone",
];

/// Ways into the system that need no dependency.
const NEVER_IN_CORE: [&str; 9] = [
    "std::fs",
    "std::net",
    "std::process",
    "std::env",
    "std::thread",
    "std::io::std",
    "Instant::now",
    "SystemTime::",
    "Utc::now",
];

fn metadata() -> Value {
    let out = Command::new(places::cargo())
        .args(["metadata", "--format-version=1", "--locked", "--quiet"])
        .current_dir(places::root())
        .output()
        .expect("cargo starts");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).expect("cargo metadata is JSON")
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_default()
}

/// Names of the direct dependencies of `package` that ship with it.
fn direct(metadata: &Value, package: &str) -> BTreeSet<String> {
    let found = list(metadata, "packages")
        .iter()
        .find(|found| text(found, "name") == package)
        .unwrap_or_else(|| panic!("no package {package}"));
    list(found, "dependencies")
        .iter()
        .filter(|dependency| text(dependency, "kind") != "dev")
        .map(|dependency| text(dependency, "name").to_owned())
        .collect()
}

/// Names of everything that ships below `package`, with the features it asks for itself.
fn below(package: &str) -> BTreeSet<String> {
    let out = Command::new(places::cargo())
        .args(["tree", "--locked", "--edges=normal", "--prefix=none", "--format={p}", "--package"])
        .arg(package)
        .current_dir(places::root())
        .output()
        .expect("cargo starts");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8_lossy(&out.stdout)
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != package)
        .map(str::to_owned)
        .collect()
}

#[test]
fn core_uses_only_what_has_no_way_out() {
    let metadata = metadata();
    let allowed = CORE_MAY_USE.map(str::to_owned).into();
    let strangers: Vec<String> =
        direct(&metadata, "coldlug-core").difference(&allowed).cloned().collect();
    assert!(strangers.is_empty(), "core depends on {strangers:?}");
    let below = below("coldlug-core");
    assert!(below.contains("sha2"), "the walk below core finds nothing");
    for never in NEVER_BELOW_CORE {
        assert!(!below.contains(never), "core reaches {never}");
    }
}

#[test]
fn the_walk_sees_what_lies_deep() {
    let below = below("coldlug-store");
    assert!(below.contains("libsqlite3-sys"), "{below:?}");
}

#[test]
fn core_opens_nothing_by_the_standard_library_either() {
    let mut hits = Vec::new();
    for (path, text) in sources::rust_below("core/src/") {
        let code = sources::code_only(&text);
        hits.extend(
            NEVER_IN_CORE.iter().filter(|way| code.contains(**way)).map(|way| (path.clone(), *way)),
        );
    }
    assert!(hits.is_empty(), "{hits:#?}");
}

#[test]
fn arrows_between_our_crates_run_one_way() {
    let ours = |package: &str| -> BTreeSet<String> {
        below(package).into_iter().filter(|name| name.starts_with("coldlug")).collect()
    };
    let check = |package: &str, allowed: &[&str]| {
        let allowed: BTreeSet<String> = allowed.iter().map(|&name| name.to_owned()).collect();
        let strangers: Vec<String> = ours(package).difference(&allowed).cloned().collect();
        assert!(strangers.is_empty(), "{package} reaches {strangers:?}");
    };
    check("coldlug-field", &[]);
    check("coldlug-core", &[]);
    check("coldlug-store", &["coldlug-core"]);
    check("coldlug-desk", &["coldlug-core", "coldlug-store"]);
    check("coldlug-phone", &["coldlug-core", "coldlug-store"]);
    check(
        "coldlug-terminal",
        &["coldlug-core", "coldlug-store", "coldlug-field", "coldlug-desk", "coldlug-phone"],
    );
}

#[test]
fn nothing_that_ships_leaves_out_a_condition() {
    for package in list(&metadata(), "packages") {
        for dependency in list(package, "dependencies") {
            let weakened =
                list(dependency, "features").iter().any(|f| f.as_str() == Some("weakened"));
            assert!(
                !weakened || text(dependency, "kind") == "dev",
                "{} turns on the test-only feature `weakened`",
                text(package, "name")
            );
        }
        let by_default = list(&package["features"], "default");
        assert!(
            !by_default.iter().any(|f| f.as_str().is_some_and(|f| f.ends_with("weakened"))),
            "{} is weakened by default",
            text(package, "name")
        );
    }
}

#[test]
fn nothing_brings_a_licence_that_binds() {
    let binding: Vec<String> = list(&metadata(), "packages")
        .iter()
        .filter(|package| {
            let licence = text(package, "license");
            licence.is_empty() || (licence.contains("GPL") && !licence.contains(" OR "))
        })
        .map(|package| format!("{} ({})", text(package, "name"), text(package, "license")))
        .collect();
    assert!(binding.is_empty(), "{binding:#?}");
}
