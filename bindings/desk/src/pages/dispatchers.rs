//! Dispatchers: who there is, and the one-time code of the next.

use askama::Template;
use coldlug_core::words::{Sentence, Words};

use super::{Frame, Unrendered, When, render::draw};

/// `GET, POST /dispatchers`: field `name`. The code is typed in at `/start`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Dispatchers {
    /// Around the page.
    pub frame: Frame,
    /// Every dispatcher.
    pub people: Vec<DispatcherLine>,
    /// The code that was just made; it is shown once.
    pub code: Option<DispatcherCode>,
    /// The name that was typed.
    pub name: String,
    /// Why no code was made.
    pub problem: Option<Sentence>,
}

/// One dispatcher.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DispatcherLine {
    /// The name.
    pub name: String,
    /// Since when.
    pub since: When,
}

/// A one-time code for another dispatcher.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DispatcherCode {
    /// The code.
    pub code: String,
    /// For whom.
    pub name: String,
    /// Until when it is good.
    pub until: When,
}

#[derive(Template)]
#[template(path = "dispatchers.html")]
struct Drawn<'a> {
    page: &'a Dispatchers,
    frame: &'a Frame,
    words: &'a Words,
}

impl Dispatchers {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
