//! One run of the demo, kept for all tests of this program.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::OnceLock;

use coldlug_tests::demo;

/// A finished run with seed 1.
pub(crate) struct Run {
    /// Its folder.
    pub(crate) dir: PathBuf,
    /// What it printed.
    pub(crate) said: String,
    /// What it left.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Run {
    /// Paths of the files whose name holds `part`, in order; there must be `count` of them.
    pub(crate) fn named(&self, part: &str, count: usize) -> Vec<String> {
        let found: Vec<String> = self
            .files
            .keys()
            .filter(|name| name.contains(part))
            .map(|name| self.dir.join(name).display().to_string())
            .collect();
        assert_eq!(found.len(), count, "files with `{part}` in their name: {found:?}");
        found
    }
}

/// Runs the demo with `seed` into a fresh folder called `name`.
pub(crate) fn fresh(seed: u64, name: &str) -> Run {
    let dir = demo::fresh_dir(name).unwrap_or_else(|why| panic!("{why}"));
    let out = demo::command(seed, &dir)
        .and_then(|mut command| command.output().map_err(|e| e.to_string()))
        .unwrap_or_else(|why| panic!("{why}"));
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(out.status.success(), "{said}\n{}", String::from_utf8_lossy(&out.stderr));
    let files = demo::left(&dir).unwrap_or_else(|why| panic!("{why}"));
    Run { dir, said, files }
}

/// The run with seed 1.
pub(crate) fn one() -> &'static Run {
    static RUN: OnceLock<Run> = OnceLock::new();
    RUN.get_or_init(|| fresh(1, "seed-1"))
}

#[test]
fn the_same_seed_gives_the_same_bytes() {
    let (first, second) = (one(), fresh(1, "seed-1-again"));
    let names = |run: &Run| run.files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(first), names(&second));
    assert!(first.files.len() >= 5, "it leaves only {:?}", names(first));
    for (name, bytes) in &first.files {
        assert!(second.files.get(name) == Some(bytes), "{name} differs");
    }
    let said = |run: &Run| run.said.replace(&run.dir.display().to_string(), "DIR");
    assert_eq!(said(first), said(&second));
}

#[test]
fn another_seed_gives_another_town() {
    let (first, other) = (one(), fresh(2, "seed-2"));
    let map = |run: &Run| {
        run.files.iter().find(|(name, _)| name.contains("map")).map(|(_, bytes)| bytes.clone())
    };
    assert!(map(first).is_some(), "no map sheet is left: {:?}", first.files.keys());
    assert_ne!(map(first), map(&other));
}

#[test]
fn running_again_into_the_same_folder_changes_nothing() {
    let run = fresh(1, "twice");
    let again = demo::command(1, &run.dir)
        .and_then(|mut command| command.output().map_err(|e| e.to_string()))
        .unwrap_or_else(|why| panic!("{why}"));
    assert!(again.status.success(), "{}", String::from_utf8_lossy(&again.stderr));
    let files = demo::left(&run.dir).unwrap_or_else(|why| panic!("{why}"));
    assert!(files == run.files, "the second run left other bytes");
}

#[test]
fn both_outcomes_are_printed() {
    let said = one().said.to_lowercase();
    for word in ["identified", "contradicted", "closed"] {
        assert!(said.contains(word), "it never says `{word}`:\n{said}");
    }
}
