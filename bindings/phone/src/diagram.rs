//! The one-line diagram as plain marks: `diagram` of core. Who draws it decides nothing: every place,
//! pen and letter size is here, in the diagram's own units, to be drawn in one colour.

use coldlug_core::diagram;

/// A drawing.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Diagram {
    /// What it shows.
    pub title: String,
    /// All of it in words, line by line: for who does not see the drawing.
    pub spoken: String,
    /// Width, in its own units.
    pub width: i32,
    /// Height, in the same units.
    pub height: i32,
    /// What is drawn, in the order it is drawn in.
    pub marks: Vec<DiagramMark>,
}

/// A place: units from the left and from the top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Record)]
pub struct Spot {
    /// From the left.
    pub x: i32,
    /// From the top.
    pub y: i32,
}

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Stroke {
    /// A conductor that is live or not proven dead.
    Live,
    /// A conductor that is proven dead.
    Dead,
    /// The bars of a gap, a cap, an earth.
    Bar,
    /// Outlines and frames.
    Thin,
    /// The frame of the work zone.
    Zone,
    /// Hatching.
    Hatch,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Record)]
pub struct Pen {
    /// What it stands for.
    pub stroke: Stroke,
    /// How thick it is.
    pub width: i32,
    /// How long its dashes and the gaps between them are; none: unbroken.
    pub dash: Option<i32>,
    /// Whether its ends are round; else they are flat.
    pub round: bool,
}

/// One mark.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum DiagramMark {
    /// A straight line.
    Line {
        /// One end.
        start: Spot,
        /// The other end.
        end: Spot,
        /// Its pen.
        pen: Pen,
    },
    /// A circle.
    Ring {
        /// Its middle.
        at: Spot,
        /// Its radius.
        radius: i32,
        /// Its pen.
        pen: Pen,
        /// Whether it is filled.
        solid: bool,
    },
    /// A rectangle.
    Frame {
        /// Its upper left corner.
        at: Spot,
        /// Its width.
        width: i32,
        /// Its height.
        height: i32,
        /// Its pen.
        pen: Pen,
        /// Whether it is filled, and not outlined.
        solid: bool,
    },
    /// A text on one line, in letters of one width.
    Words {
        /// The left end of its base line.
        at: Spot,
        /// What it says.
        text: String,
        /// Size of its letters.
        size: i32,
        /// Whether it is set in heavy letters.
        heavy: bool,
    },
}

impl From<diagram::Diagram> for Diagram {
    fn from(drawn: diagram::Diagram) -> Self {
        let spoken = drawn.spoken();
        let diagram::Diagram { title, width, height, marks, .. } = drawn;
        let marks = marks.into_iter().map(Into::into).collect();
        Self { title: title.spoken, spoken, width, height, marks }
    }
}

impl From<diagram::Mark> for DiagramMark {
    fn from(mark: diagram::Mark) -> Self {
        use diagram::Mark;
        match mark {
            Mark::Line { from, to, stroke } => {
                Self::Line { start: from.into(), end: to.into(), pen: stroke.into() }
            }
            Mark::Ring { at, radius, solid } => {
                Self::Ring { at: at.into(), radius, pen: diagram::Stroke::Thin.into(), solid }
            }
            Mark::Box { at, width, height, stroke, solid } => {
                Self::Frame { at: at.into(), width, height, pen: stroke.into(), solid }
            }
            Mark::Text { at, text, face } => {
                Self::Words { at: at.into(), text, size: face.size(), heavy: face.is_heavy() }
            }
        }
    }
}

impl From<diagram::Spot> for Spot {
    fn from(spot: diagram::Spot) -> Self {
        Self { x: spot.x, y: spot.y }
    }
}

impl From<diagram::Stroke> for Pen {
    fn from(of: diagram::Stroke) -> Self {
        let diagram::Pen { width, dash, round } = of.pen();
        let stroke = match of {
            diagram::Stroke::Live => Stroke::Live,
            diagram::Stroke::Dead => Stroke::Dead,
            diagram::Stroke::Bar => Stroke::Bar,
            diagram::Stroke::Thin => Stroke::Thin,
            diagram::Stroke::Zone => Stroke::Zone,
            diagram::Stroke::Hatch => Stroke::Hatch,
        };
        Self { stroke, width, dash, round }
    }
}
