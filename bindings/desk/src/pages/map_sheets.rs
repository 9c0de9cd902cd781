//! Map sheets that the desk has, and the way to bring one.

use askama::Template;
use coldlug_core::words::{Sentence, Words};

use super::{Frame, Unrendered, When, render::draw};

/// `GET, POST /map-sheets`: a form with parts, fields `name` and `sheet` (the file).
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MapSheets {
    /// Around the page.
    pub frame: Frame,
    /// The sheets.
    pub sheets: Vec<MapSheetLine>,
    /// The name that was typed.
    pub name: String,
    /// Why a sheet was not taken.
    pub problem: Option<Sentence>,
    /// What is wrong in it, one finding a line.
    pub findings: Vec<String>,
}

/// One map sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapSheetLine {
    /// Its name.
    pub name: String,
    /// Its SHA-256.
    pub sha256: String,
    /// How many services it holds.
    pub services: usize,
    /// How many pads it holds.
    pub pads: usize,
    /// When it came.
    pub since: When,
}

#[derive(Template)]
#[template(path = "map_sheets.html")]
struct Drawn<'a> {
    page: &'a MapSheets,
    frame: &'a Frame,
    words: &'a Words,
}

impl MapSheets {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
