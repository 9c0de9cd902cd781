//! The four entrances, each with a good file and the command that reads it.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use coldlug_tests::{demo, places, program};

/// A file the program reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Entrance {
    /// The map sheet, read by `check`.
    Map,
    /// The events of a job, read by `judge`.
    Events,
    /// The rule sheet, read by `judge`.
    Rules,
    /// The record, read by `verify`.
    Record,
}

/// All of them.
pub(crate) const ALL: [Entrance; 4] =
    [Entrance::Map, Entrance::Events, Entrance::Rules, Entrance::Record];

/// What the program made of a file.
#[derive(Debug)]
pub(crate) struct Answer {
    /// Exit status; `None` when a signal ended it.
    pub(crate) status: Option<i32>,
    /// Everything it printed.
    pub(crate) said: String,
    /// How long it took.
    pub(crate) took: Duration,
}

impl Answer {
    /// Whether it says `words`, wherever a terminal's width may have broken its lines.
    pub(crate) fn says(&self, words: &str) -> bool {
        let bare = |text: &str| -> String {
            text.chars().filter(|c| !c.is_whitespace() && *c != '│').collect()
        };
        bare(&self.said).contains(&bare(words))
    }
}

impl Entrance {
    /// A good file of this kind, as the demo leaves it.
    pub(crate) fn good(self) -> PathBuf {
        let part = match self {
            Self::Map => "map",
            Self::Events => "events",
            Self::Rules => "rule",
            Self::Record => "record",
        };
        let (dir, names) = good_files();
        let name = names.iter().find(|name| name.contains(part));
        dir.join(name.unwrap_or_else(|| panic!("the demo leaves no {part} file: {names:?}")))
    }

    /// Runs the program on `file` in the place of a good one.
    #[allow(clippy::disallowed_methods, reason = "how long a refusal takes is part of the check")]
    pub(crate) fn ask(self, file: &Path) -> Answer {
        let text = |path: &Path| path.to_str().expect("a path of ours is text").to_owned();
        let (file, map, events) = (text(file), text(&Self::Map.good()), text(&Self::Events.good()));
        let args: Vec<&str> = match self {
            Self::Map => vec!["check", &file],
            Self::Events => vec!["judge", "--map", &map, "--events", &file],
            Self::Rules => vec!["judge", "--map", &map, "--events", &events, "--rules", &file],
            Self::Record => vec!["verify", &file],
        };
        let began = Instant::now();
        let out = program::run(&args).unwrap_or_else(|why| panic!("{why}"));
        let said = [out.stdout.as_slice(), &out.stderr]
            .map(|bytes| String::from_utf8_lossy(bytes))
            .concat();
        Answer { status: out.status.code(), said, took: began.elapsed() }
    }

    /// Asks with `bytes` in a file of its own and expects a refusal in words.
    pub(crate) fn refuses(self, what: &str, bytes: &[u8]) -> Answer {
        let dir = places::scratch().join("entrances").join(format!("{self:?}"));
        std::fs::create_dir_all(&dir).expect("a folder below the build folder");
        let file = dir.join(format!("{}.bad", what.replace(' ', "-")));
        std::fs::write(&file, bytes).expect("written");
        let answer = self.ask(&file);
        self.is_refusal(what, &answer);
        answer
    }

    /// Exit status 1, 2 or 4, and a word about it.
    pub(crate) fn is_refusal(self, what: &str, answer: &Answer) {
        let refused = matches!(answer.status, Some(1 | 2 | 4));
        assert!(refused, "{self:?}, {what}: {answer:?}");
        assert!(answer.said.trim().len() > 10, "{self:?}, {what}: refused without a word");
        assert!(!answer.said.contains("panicked"), "{self:?}, {what}: {}", answer.said);
        assert!(answer.took < Duration::from_mins(1), "{self:?}, {what}: took {:?}", answer.took);
    }
}

fn good_files() -> &'static (PathBuf, Vec<String>) {
    static FILES: OnceLock<(PathBuf, Vec<String>)> = OnceLock::new();
    FILES.get_or_init(|| {
        let dir = demo::fresh_dir("entrances").expect("a folder");
        let out = demo::command(1, &dir)
            .and_then(|mut command| command.output().map_err(|e| e.to_string()))
            .unwrap_or_else(|why| panic!("{why}"));
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
        let names = demo::left(&dir).expect("files").into_keys().collect();
        (dir, names)
    })
}

#[test]
fn good_files_are_taken() {
    for entrance in ALL {
        let answer = entrance.ask(&entrance.good());
        // `judge` says by its status whether the set is identified; a good file is never status 2.
        assert!(matches!(answer.status, Some(0 | 1 | 3)), "{entrance:?}: {answer:?}");
    }
}
