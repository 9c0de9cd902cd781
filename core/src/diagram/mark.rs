//! What a diagram is made of: few kinds of marks, in whole units, so that every screen can draw
//! them with what it has.

/// Width of every diagram. At this width a letter is as large as in the text around it.
pub const WIDTH: i32 = 400;

/// A place on the diagram: units from the left and from the top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// From the left.
    pub x: i32,
    /// From the top.
    pub y: i32,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stroke {
    /// A conductor that is live or not proven dead: heavy, unbroken.
    Live,
    /// A conductor that is proven dead: thin, broken.
    Dead,
    /// The bars of a gap, a cap, an earth: as heavy as a conductor, with flat ends.
    Bar,
    /// Outlines and frames.
    Thin,
    /// The frame of the work zone.
    Zone,
    /// Hatching.
    Hatch,
}

/// How a text is set, always in letters of one width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// How the zone stands: heavy and large.
    Title,
    /// A state, a number, a heading: heavy.
    Heavy,
    /// A name.
    Plain,
}

impl Face {
    /// Size of the letters, in the diagram's units.
    pub const fn size(self) -> i32 {
        match self {
            Self::Title => 20,
            Self::Heavy | Self::Plain => 16,
        }
    }

    /// Room for one letter. The widest faces of one width in use take 0.62 of their size (measured
    /// on the faces of desk browsers; those of both phones from memory).
    pub(super) const fn letter(self) -> i32 {
        match self {
            Self::Title => 13,
            Self::Heavy | Self::Plain => 10,
        }
    }

    /// From one line of text to the next.
    pub(super) const fn line(self) -> i32 {
        match self {
            Self::Title => 24,
            Self::Heavy | Self::Plain => 20,
        }
    }
}

/// One mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mark {
    /// A straight line.
    Line {
        /// One end.
        from: Spot,
        /// The other end.
        to: Spot,
        /// How.
        stroke: Stroke,
    },
    /// A circle.
    Ring {
        /// Its middle.
        at: Spot,
        /// Its radius.
        radius: i32,
        /// Whether it is filled.
        solid: bool,
    },
    /// A rectangle.
    Box {
        /// Its upper left corner.
        at: Spot,
        /// Its width.
        width: i32,
        /// Its height.
        height: i32,
        /// Its outline.
        stroke: Stroke,
        /// Whether it is filled.
        solid: bool,
    },
    /// The earth symbol: three bars, each shorter than the one above, below its lead.
    Ground {
        /// The upper end of its lead.
        at: Spot,
    },
    /// A text, on one line.
    Text {
        /// The left end of its base line.
        at: Spot,
        /// What it says.
        text: String,
        /// How it is set.
        face: Face,
    },
}

/// The box of a text: left, top, right, bottom.
#[cfg(test)]
pub(super) fn text_box(at: Spot, text: &str, face: Face) -> [i32; 4] {
    let wide = i32::try_from(super::flow::columns(text)).unwrap() * face.letter();
    let high = face.size();
    [at.x, at.y - high * 4 / 5, at.x + wide, at.y + high / 5]
}
