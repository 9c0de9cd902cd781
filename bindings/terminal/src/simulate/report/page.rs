//! A report as one page that needs nothing beside it: styles and pictures are inside.

use askama::Template;
use coldlug_core::words::Words;

use super::{Part, plot};
use crate::trouble::Trouble;

/// Type and colours of the desk's pages, and what only this page has.
const STYLE: &str = concat!(
    include_str!("../../../../desk/static/colours.css"),
    include_str!("../../../../desk/static/page.css"),
    include_str!("page.css"),
);

#[derive(Template)]
#[template(path = "simulation.html")]
struct Page<'a> {
    words: &'a Words,
    style: &'static str,
    command: &'a str,
    parts: Vec<Drawn<'a>>,
}

/// A part with its pictures drawn.
struct Drawn<'a> {
    part: &'a Part,
    pictures: Vec<Figure<'a>>,
}

struct Figure<'a> {
    caption: &'a str,
    svg: String,
}

/// The page of these parts.
pub(crate) fn page(parts: &[Part], command: &str, words: &Words) -> Result<String, Trouble> {
    let parts = parts
        .iter()
        .map(|part| {
            let pictures = part
                .pictures
                .iter()
                .map(|picture| Ok(Figure { caption: &picture.caption, svg: plot::svg(picture)? }));
            Ok(Drawn { part, pictures: pictures.collect::<Result<_, Trouble>>()? })
        })
        .collect::<Result<_, Trouble>>()?;
    let page = Page { words, style: STYLE, command, parts };
    page.render().map_err(|why| Trouble::fault(format!("the page cannot be written: {why}")))
}
