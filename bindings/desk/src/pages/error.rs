//! What a page says when it cannot be given.

use askama::Template;
use coldlug_core::words::{Sentence, Words};

use super::{Frame, Unrendered, render::draw};

/// An error, in words. It says nothing about what is there and what is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ErrorPage {
    /// Around the page.
    pub frame: Frame,
    /// What is wrong and what to do.
    pub sentence: Sentence,
    /// Where to go on; none: nowhere.
    pub back: Option<String>,
}

#[derive(Template)]
#[template(path = "error.html")]
struct Drawn<'a> {
    page: &'a ErrorPage,
    frame: &'a Frame,
    words: &'a Words,
}

impl ErrorPage {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
