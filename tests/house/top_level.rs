//! The top level holds the deliverables and what cargo, git and the build server read there.

use std::collections::BTreeSet;

use super::sources;

const ALLOWED: [&str; 19] = [
    ".cargo",
    ".ci",
    ".github",
    ".gitignore",
    "CHANGELOG.md",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "android",
    "bindings",
    "clippy.toml",
    "core",
    "ios",
    "rust-toolchain.toml",
    "rustfmt.toml",
    "tests",
    ".gitattributes",
];

fn strangers<'a>(files: impl Iterator<Item = &'a str>) -> BTreeSet<&'a str> {
    files
        .map(|path| path.split('/').next().unwrap_or(path))
        .filter(|name| !ALLOWED.contains(name))
        .collect()
}

#[test]
fn top_level_holds_only_what_belongs_there() {
    let files = sources::files();
    assert_eq!(strangers(files.iter().map(String::as_str)), BTreeSet::new());
}

#[test]
fn a_stranger_is_seen() {
    assert_eq!(strangers(["core/a", "notes/b", "x"].into_iter()), BTreeSet::from(["notes", "x"]));
}
