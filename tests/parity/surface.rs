//! The surfaces, and the files they are made of.

use std::fs;
use std::path::{Path, PathBuf};

use coldlug_tests::places;

/// What names every screen whether it is drawn or not: a headline's mark, a button's second line.
const NAMES_EVERY_SCREEN: [&str; 4] = [
    "android/app/src/main/kotlin/org/coldlug/phone/look/Mark.kt",
    "ios/Sources/Coldlug/Mark.swift",
    "ios/Sources/ColdlugViews/ActsView.swift",
    "bindings/desk/src/pages/shown.rs",
];

/// Whether a variant of one of core's enums counts as drawn where this file names it.
pub(crate) fn draws(path: &str, of: &str) -> bool {
    of != "Screen" || !NAMES_EVERY_SCREEN.contains(&path)
}

/// Where a person meets core.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Surface {
    /// The Android phone, in Kotlin.
    Android,
    /// The iOS phone, in Swift.
    Ios,
    /// The desk's pages and the electrician's: Rust and templates.
    Desk,
    /// The command line.
    Terminal,
}

impl Surface {
    /// All of them.
    pub(crate) const ALL: [Self; 4] = [Self::Android, Self::Ios, Self::Desk, Self::Terminal];

    /// Its name in the list.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Android => "android",
            Self::Ios => "ios",
            Self::Desk => "desk",
            Self::Terminal => "terminal",
        }
    }

    const fn folders(self) -> &'static [&'static str] {
        match self {
            Self::Android => &["android/app/src/main"],
            Self::Ios => &["ios/Sources", "ios/App"],
            Self::Desk => &["bindings/desk/src", "bindings/desk/templates", "bindings/desk/static"],
            Self::Terminal => &["bindings/terminal/src"],
        }
    }

    /// How a variant of one of core's enums is spelled there.
    pub(crate) fn spelled(self, of: &str, variant: &str) -> Vec<String> {
        match self {
            Self::Android => {
                vec![format!("{of}.{variant}"), format!("{of}.{}", shouted(variant))]
            }
            Self::Ios => {
                let (first, rest) = variant.split_at(1);
                let variant = first.to_lowercase() + rest;
                vec![format!("case .{variant}"), format!(", .{variant}"), format!("{of}.{variant}")]
            }
            Self::Desk | Self::Terminal => vec![format!("{of}::{variant}")],
        }
    }

    /// Its files, with path and text.
    pub(crate) fn files(self) -> Vec<(String, String)> {
        let mut files = Vec::new();
        for folder in self.folders() {
            walk(&places::root().join(folder), &mut files);
        }
        files.sort();
        files
    }
}

/// `TakePicture` as `TAKE_PICTURE`.
fn shouted(variant: &str) -> String {
    let mut name = String::new();
    for c in variant.chars() {
        if c.is_uppercase() && !name.is_empty() {
            name.push('_');
        }
        name.extend(c.to_uppercase());
    }
    name
}

fn walk(folder: &Path, files: &mut Vec<(String, String)>) {
    // A surface that has no folder yet draws nothing, and the list has to say so.
    let Ok(entries) = fs::read_dir(folder) else { return };
    let mut paths: Vec<PathBuf> =
        entries.map(|entry| entry.expect("a readable folder").path()).collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            walk(&path, files);
        } else if let Ok(text) = fs::read_to_string(&path) {
            let name = path.strip_prefix(places::root()).unwrap_or(&path).display().to_string();
            files.push((name, text));
        }
    }
}

#[test]
fn a_variant_is_spelled_as_each_language_does() {
    assert_eq!(
        Surface::Android.spelled("Act", "TakePicture"),
        ["Act.TakePicture", "Act.TAKE_PICTURE"]
    );
    assert_eq!(Surface::Ios.spelled("Screen", "JobList")[0], "case .jobList");
    assert_eq!(Surface::Desk.spelled("Screen", "JobList"), ["Screen::JobList"]);
}
