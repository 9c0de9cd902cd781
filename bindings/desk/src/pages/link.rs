//! The electrician's link, as it is shown once after it was made.

use askama::Template;
use coldlug_core::words::Words;

use super::{Frame, Unrendered, When, render::draw};

/// The clearance of a link that is made before one is offered: the first its bearer acts on.
pub const NEXT_CLEARANCE: &str = "next";

/// The answer to `POST /jobs/{job}/link`. It is kept nowhere: leaving the page forgets it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkPage {
    /// Around the page.
    pub frame: Frame,
    /// The job.
    pub job: String,
    /// For which clearance; none: for the next one that is offered.
    pub clearance: Option<String>,
    /// For whom.
    pub person: String,
    /// The address.
    pub url: String,
    /// Its picture: an SVG element made by the desk, put in as it is.
    pub qr_svg: String,
    /// Until when it is good.
    pub until: When,
}

#[derive(Template)]
#[template(path = "link.html")]
struct Drawn<'a> {
    page: &'a LinkPage,
    frame: &'a Frame,
    words: &'a Words,
}

impl LinkPage {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
