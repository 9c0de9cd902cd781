//! What a diagram is made of: few kinds of marks, in whole units, so that every screen can draw
//! them with what it has.

/// How much room a diagram has. At its width a letter is as large as in the text around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    /// On a page, or in a file of its own: it says itself how the zone stands.
    Page,
    /// On a phone, whose headline says how the zone stands. Narrow, so that letters stay large.
    Pocket,
}

impl Room {
    /// The width of a diagram in this room, in its own units.
    pub const fn width(self) -> i32 {
        match self {
            Self::Page => 400,
            // What a phone of 360 points has beside its margins draws 16 of these as 18 points.
            Self::Pocket => 288,
        }
    }
}

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

/// The pen a line is drawn with, in the diagram's units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pen {
    /// How thick.
    pub width: i32,
    /// How long its dashes and the gaps between them are; none: unbroken.
    pub dash: Option<i32>,
    /// Whether its ends are round; else they are flat.
    pub round: bool,
}

impl Stroke {
    /// Its pen: what `style.css` says, for who draws by hand. A circle has the pen of
    /// [`Stroke::Thin`].
    pub const fn pen(self) -> Pen {
        let (width, dash, round) = match self {
            Self::Live => (5, None, true),
            Self::Dead => (2, Some(4), false),
            Self::Bar => (4, None, false),
            Self::Zone => (3, None, false),
            Self::Thin | Self::Hatch => (2, None, false),
        };
        Pen { width, dash, round }
    }
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

    /// Whether its letters are heavy.
    pub const fn is_heavy(self) -> bool {
        matches!(self, Self::Title | Self::Heavy)
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
