//! A diagram as SVG: text as text, one path a stroke, no script and no font of its own.

use std::fmt::Write;

use super::Diagram;
use super::mark::{Face, Mark, Spot, Stroke};

/// The style of a diagram, for a page that holds one.
pub const STYLE: &str = include_str!("style.css");

/// Where the drawing is going to stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dress {
    /// In a file of its own: it brings its style, and its colours by day and by night.
    Alone,
    /// In a page that brings [`STYLE`].
    InPage,
}

/// Ink and ground of a drawing in a file of its own.
const ALONE: &str = ".oneline{color:#1d1b18;background:#fff}\
@media(prefers-color-scheme:dark){.oneline{color:#f4efe6;background:#161513}}";

impl Diagram {
    /// The diagram as SVG.
    pub fn svg(&self, dress: Dress) -> String {
        let mut out = String::new();
        // Writing to a string cannot fail.
        let _ = self.write(&mut out, dress);
        out
    }

    fn write(&self, out: &mut String, dress: Dress) -> std::fmt::Result {
        // Alone it is a picture with a description. In a page its words are read as the page's own.
        let attributes = match dress {
            Dress::Alone => "xmlns=\"http://www.w3.org/2000/svg\" role=\"img\"",
            Dress::InPage => "role=\"group\"",
        };
        let (width, height) = (self.width, self.height);
        write!(out, "<svg {attributes} class=\"oneline\" viewBox=\"0 0 {width} {height}\">")?;
        write!(out, "<title>{}</title>", escaped(&self.title.text))?;
        if dress == Dress::Alone {
            write!(out, "<desc>{}</desc>", escaped(&self.spoken()))?;
            write!(out, "<style>{STYLE}{ALONE}</style>")?;
        }
        self.paths(out)?;
        for mark in &self.marks {
            if let Mark::Ring { at: Spot { x, y }, radius, solid } = mark {
                let class = if *solid { " class=\"solid\"" } else { "" };
                write!(out, "<circle{class} cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>")?;
            }
        }
        for mark in &self.marks {
            if let Mark::Text { at: Spot { x, y }, text, face } = mark {
                let class = match face {
                    Face::Title => " class=\"title\"",
                    Face::Heavy => " class=\"heavy\"",
                    Face::Plain => "",
                };
                write!(out, "<text{class} x=\"{x}\" y=\"{y}\">{}</text>", escaped(text))?;
            }
        }
        out.push_str("</svg>");
        Ok(())
    }

    /// One path for each stroke, and one for what is filled.
    fn paths(&self, out: &mut String) -> std::fmt::Result {
        let strokes = [
            (Stroke::Hatch, "hatch"),
            (Stroke::Zone, "zone"),
            (Stroke::Thin, "thin"),
            (Stroke::Live, "live"),
            (Stroke::Dead, "dead"),
            (Stroke::Bar, "bar"),
        ];
        for (of, class) in strokes {
            let mut path = String::new();
            for mark in &self.marks {
                match mark {
                    Mark::Line { from, to, stroke } if *stroke == of => {
                        line(&mut path, *from, *to)?;
                    }
                    Mark::Box { at, width, height, stroke, solid: false } if *stroke == of => {
                        let Spot { x, y } = at;
                        write!(path, "M{x} {y}h{width}v{height}h-{width}z")?;
                    }
                    _ => {}
                }
            }
            if !path.is_empty() {
                write!(out, "<path class=\"{class}\" d=\"{path}\"/>")?;
            }
        }
        let mut solid = String::new();
        for mark in &self.marks {
            if let Mark::Box { at: Spot { x, y }, width, height, solid: true, .. } = mark {
                write!(solid, "M{x} {y}h{width}v{height}h-{width}z")?;
            }
        }
        if !solid.is_empty() {
            write!(out, "<path class=\"solid\" d=\"{solid}\"/>")?;
        }
        Ok(())
    }
}

fn line(path: &mut String, from: Spot, to: Spot) -> std::fmt::Result {
    write!(path, "M{} {}", from.x, from.y)?;
    if from.x == to.x {
        write!(path, "V{}", to.y)
    } else if from.y == to.y {
        write!(path, "H{}", to.x)
    } else {
        write!(path, "L{} {}", to.x, to.y)
    }
}

/// A text that is safe in XML: what XML cannot hold at all is left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => {}
            _ if letter.is_control() && letter != '\n' => {}
            _ => out.push(letter),
        }
    }
    out
}
