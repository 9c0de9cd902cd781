//! The way in: the first dispatcher by a one-time code, everybody else by name and password.

use askama::Template;
use coldlug_core::words::{Sentence, Words};

use super::{Frame, Unrendered, render::draw};

/// `GET, POST /start`: fields `code`, `name`, `password`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Start {
    /// Around the page; nobody is signed in.
    pub frame: Frame,
    /// The name that was typed.
    pub name: String,
    /// The code that was typed or that came with the address.
    pub code: String,
    /// Why it was not taken.
    pub problem: Option<Sentence>,
}

/// `GET, POST /sign-in`: fields `name`, `password`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SignIn {
    /// Around the page; nobody is signed in.
    pub frame: Frame,
    /// The name that was typed.
    pub name: String,
    /// Why it was not taken.
    pub problem: Option<Sentence>,
}

#[derive(Template)]
#[template(path = "start.html")]
struct DrawnStart<'a> {
    page: &'a Start,
    frame: &'a Frame,
    words: &'a Words,
}

#[derive(Template)]
#[template(path = "sign_in.html")]
struct DrawnSignIn<'a> {
    page: &'a SignIn,
    frame: &'a Frame,
    words: &'a Words,
}

impl Start {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&DrawnStart { page: self, frame: &self.frame, words })
    }
}

impl SignIn {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&DrawnSignIn { page: self, frame: &self.frame, words })
    }
}
