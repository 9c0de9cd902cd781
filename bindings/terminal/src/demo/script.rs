//! The play written down, one step a line, so that other players of the same phones can play it
//! again: `tests/python` says what each member means.
//!
//! What differs from run to run, a link's token say, stands as `{name}`.

use std::sync::{Arc, Mutex, PoisonError};

use coldlug_core::{event::Event, quantity::Instant};
use serde::Serialize;

use super::{clock::Clock, desk};

/// What somebody did.
#[derive(Debug, Serialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub(crate) enum Step<'a> {
    /// The desk is started over an empty folder. What it draws first by chance, in hex, becomes its
    /// key, and the sticker of a job follows from that.
    Start { chance: &'a str },
    /// A phone enrols by the invitation its code's page showed last.
    Enrol,
    /// A phone syncs.
    Sync,
    /// Statements are written under these names.
    Act { job: &'a str, person: &'a str, statements: &'a [String], writes: &'a [String] },
    /// Statements are refused by this rule.
    Refused { job: &'a str, person: &'a str, statements: &'a [String], rule: &'a str },
    /// A photo is kept; its bytes in hex.
    Photo { job: &'a str, bytes: String, hash: &'a str },
    /// A picture is there.
    Picture { job: &'a str, hash: &'a str },
    /// A link is asked for; its path has a name from then on.
    Link {
        job: &'a str,
        clearance: &'a str,
        person: &'a str,
        #[serde(rename = "as")]
        named: &'a str,
    },
    /// The job is closed, and the phones wrote these events.
    End { job: &'a str, person: &'a str, events: &'a [Event] },
    /// A browser gets a page.
    Get { path: &'a str, status: u16 },
    /// A browser sends a form of the page it got last.
    Send { form: &'a str, answers: &'a [(&'a str, &'a str)], status: u16 },
    /// A browser sends a form with a file.
    Upload { form: &'a str, answers: &'a [(&'a str, &'a str)], file: File<'a>, status: u16 },
}

/// A file of a form.
#[derive(Debug, Serialize)]
pub(crate) struct File<'a> {
    /// Its field.
    pub(crate) field: &'a str,
    /// Its name.
    pub(crate) name: &'a str,
    /// What is in it.
    pub(crate) text: &'a str,
}

#[derive(Serialize)]
struct Line<'a> {
    who: &'a str,
    #[serde(flatten)]
    step: Step<'a>,
    desk: Instant,
    #[serde(skip_serializing_if = "Option::is_none")]
    now: Option<Instant>,
}

/// The play as far as it has come.
#[derive(Debug, Clone)]
pub(crate) struct Script {
    clock: Clock,
    written: Arc<Mutex<Written>>,
}

#[derive(Debug, Default)]
struct Written {
    lines: String,
    /// Texts that differ from run to run, and what stands for them.
    names: Vec<(String, String)>,
    links: u32,
}

impl Script {
    /// Nothing done yet.
    pub(crate) fn new(clock: &Clock) -> Self {
        Self { clock: clock.clone(), written: Arc::default() }
    }

    /// A phone did something.
    pub(crate) fn phone(&self, who: &str, step: Step<'_>) {
        self.line(&Line {
            who,
            step,
            desk: self.clock.instant(desk::DEVICE),
            now: Some(self.clock.instant(who)),
        });
    }

    /// A phone wrote statements that name the newest entries of chains, which differ with the keys of
    /// whoever wrote them.
    pub(crate) fn phone_of(&self, who: &str, step: Step<'_>, heads: Vec<(String, String)>) {
        let heads = heads.into_iter().map(|(device, head)| (head, format!("{{head:{device}}}")));
        let kept = self.inside(|written| {
            let kept = written.names.len();
            written.names.extend(heads);
            kept
        });
        self.phone(who, step);
        self.inside(|written| written.names.truncate(kept));
    }

    /// A browser did something.
    pub(crate) fn browser(&self, who: &str, step: Step<'_>) {
        self.line(&Line { who, step, desk: self.clock.instant(desk::DEVICE), now: None });
    }

    /// From now on `{name}` stands for this text.
    pub(crate) fn stands_for(&self, text: &str, name: &str) {
        self.inside(|written| written.names.push((text.to_owned(), format!("{{{name}}}"))));
    }

    /// The name of the next link.
    pub(crate) fn next_link(&self) -> String {
        self.inside(|written| {
            written.links += 1;
            format!("link-{}", written.links)
        })
    }

    /// All lines.
    pub(crate) fn text(&self) -> String {
        self.inside(|written| written.lines.clone())
    }

    fn line(&self, line: &Line<'_>) {
        let Ok(mut text) = serde_json::to_string(line) else { return };
        self.inside(|written| {
            for (differs, name) in &written.names {
                text = text.replace(differs.as_str(), name);
            }
            written.lines.push_str(&text);
            written.lines.push('\n');
        });
    }

    fn inside<T>(&self, act: impl FnOnce(&mut Written) -> T) -> T {
        act(&mut self.written.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_differs_stands_by_its_name() {
        let script = Script::new(&Clock::of_seed(1));
        script.stands_for("/at/abc", "link-1");
        let statements = ["says deadbeef".to_owned()];
        let writes = ["a-1".to_owned()];
        let act = Step::Act { job: "J", person: "p", statements: &statements, writes: &writes };
        script.phone_of("a", act, vec![("b".into(), "deadbeef".into())]);
        script.browser("el", Step::Get { path: "/at/abc/deadbeef", status: 200 });
        let text = script.text();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].contains(r#""do":"act""#) && lines[0].contains("says {head:b}"), "{text}");
        assert!(lines[0].contains(r#""now""#));
        assert!(lines[1].contains("{link-1}/deadbeef") && !lines[1].contains(r#""now""#), "{text}");
    }
}
