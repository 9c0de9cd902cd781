//! What is drawn in a report, as data. Every picture stands beside a table with its numbers.

/// A picture of some numbers.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Picture {
    /// What it shows, in words.
    pub(crate) caption: String,
    /// What stands along the horizontal axis.
    pub(crate) across: String,
    /// What is drawn.
    pub(crate) kind: Kind,
}

/// The kinds of picture.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kind {
    /// A share with its bounds in each row.
    Shares(Vec<Share>),
    /// So many jobs at each number.
    Bars {
        /// Number and jobs.
        bins: Vec<(u32, u64)>,
        /// What stands along the vertical axis.
        up: String,
    },
    /// Two shares against each other, in named points.
    TradeOff {
        /// The points.
        points: Vec<Point>,
        /// What stands along the vertical axis.
        up: String,
    },
}

/// A share with its bounds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Share {
    /// Of what.
    pub(crate) label: String,
    /// The share.
    pub(crate) share: f64,
    /// Its lower bound.
    pub(crate) low: f64,
    /// Its upper bound.
    pub(crate) high: f64,
}

/// A point of two shares, each with its bounds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Point {
    /// Along the horizontal axis.
    pub(crate) across: Share,
    /// Along the vertical axis, under the same label.
    pub(crate) up: Share,
}
