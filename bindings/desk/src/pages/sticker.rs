//! The job's sticker, as it is printed for the electrician.

use askama::Template;
use coldlug_core::words::Words;

use super::{Frame, Unrendered, render::draw};

/// The answer to `GET /jobs/{job}/sticker`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StickerPage {
    /// Around the page.
    pub frame: Frame,
    /// The job.
    pub job: String,
    /// The service to be made dead.
    pub service: String,
    /// The code.
    pub code: String,
    /// Its picture: an SVG element made by the desk, put in as it is.
    pub qr_svg: String,
}

#[derive(Template)]
#[template(path = "sticker.html")]
struct Drawn<'a> {
    page: &'a StickerPage,
    frame: &'a Frame,
    words: &'a Words,
}

impl StickerPage {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
