//! The board: every job, the physical state first.

use askama::Template;
use coldlug_core::{
    screen::JobLine,
    words::{Sentence, Words},
};

use super::{Frame, Unrendered, When, render::draw};

/// The board of jobs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// Around the page.
    pub frame: Frame,
    /// The jobs, those that keep something open first.
    pub jobs: Vec<BoardLine>,
    /// Jobs that cannot be read, by name.
    pub damaged: Vec<String>,
}

/// One job of the board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardLine {
    /// The job, its physical state and how far it is.
    pub line: JobLine,
    /// The service to be made dead.
    pub service: String,
    /// Who works on it.
    pub crew: Vec<String>,
    /// Clearances that keep everything open.
    pub holding: Vec<Sentence>,
    /// Conflicts that nobody has settled.
    pub conflicts: usize,
    /// When its newest entry was written.
    pub newest: Option<When>,
}

#[derive(Template)]
#[template(path = "board.html")]
struct Drawn<'a> {
    page: &'a Board,
    frame: &'a Frame,
    words: &'a Words,
}

impl Board {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
