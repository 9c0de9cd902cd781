//! One row of a source, whatever its form, and what a source is.

use std::borrow::Cow;

use coldlug_core::mapsheet::{Found, Origin};

use super::room::NoRoom;
use super::shape::Drawn;

/// One value of a row.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell<'a> {
    /// Nothing: no value, or an empty text.
    Absent,
    /// A text, without the spaces around it.
    Text(Cow<'a, str>),
    /// A whole number.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// Several texts.
    Texts(Vec<String>),
    /// Something that no field holds: bytes, an object.
    Other,
}

impl<'a> Cell<'a> {
    /// A text as it stands in a source.
    pub(super) fn text(text: &'a str) -> Self {
        match text.trim() {
            "" => Self::Absent,
            text => Self::Text(Cow::Borrowed(text)),
        }
    }

    /// The same, where the source gives the text away.
    pub(super) fn owned(text: &str) -> Self {
        match text.trim() {
            "" => Self::Absent,
            text => Self::Text(Cow::Owned(text.to_owned())),
        }
    }

    /// As text, for names and codes; none where it is no single value.
    pub(super) fn as_text(&self) -> Option<Cow<'_, str>> {
        Some(match self {
            Self::Text(text) => Cow::Borrowed(text),
            Self::Whole(whole) => Cow::Owned(whole.to_string()),
            // Rust writes the shortest text that reads to the same number, and no point where the
            // number is whole.
            Self::Number(number) => Cow::Owned(number.to_string()),
            Self::Flag(flag) => Cow::Borrowed(if *flag { "true" } else { "false" }),
            Self::Absent | Self::Texts(_) | Self::Other => return None,
        })
    }

    /// As a number; none where it is not one, with a point and no unit.
    pub(super) fn as_number(&self) -> Option<f64> {
        match self {
            #[allow(clippy::cast_precision_loss, reason = "beyond 2^53 no field has a use for it")]
            Self::Whole(whole) => Some(*whole as f64),
            Self::Number(number) => Some(*number),
            Self::Text(text) => {
                let plain = |c: char| c.is_ascii_digit() || "+-.eE".contains(c);
                text.parse().ok().filter(|n: &f64| n.is_finite() && text.chars().all(plain))
            }
            Self::Absent | Self::Flag(_) | Self::Texts(_) | Self::Other => None,
        }
    }
}

/// One row.
#[derive(Debug)]
pub(super) struct Row<'a> {
    /// The columns that were asked for, in that order.
    pub(super) cells: Vec<Cell<'a>>,
    /// What is drawn, where that was asked for.
    pub(super) drawn: Drawn,
}

/// One row on its way, or why it cannot be read.
#[derive(Debug)]
pub(super) struct Taken<'a> {
    /// By what the source finds the row again.
    pub(super) mark: i64,
    /// What a row is called there, with its mark: `line`.
    pub(super) word: &'static str,
    /// The name the source gives the row, where it gives one.
    pub(super) id: Option<&'a str>,
    /// How much of the layer is read so far, in the unit of [`Layer::size`].
    pub(super) done: u64,
    /// The row.
    pub(super) row: Result<Row<'a>, String>,
}

impl Taken<'_> {
    /// How a person finds the row again: `line 12`.
    pub(super) fn name(&self) -> String {
        self.id.map_or_else(|| format!("{} {}", self.word, self.mark), str::to_owned)
    }
}

/// A layer, table, file or class.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layer {
    /// Its name.
    pub(super) name: String,
    /// Its columns; none where each row may have others.
    pub(super) columns: Option<Vec<String>>,
    /// Whether its rows have something drawn.
    pub(super) drawn: bool,
    /// In what its coordinates are given, where the source says it: `EPSG:4326`.
    pub(super) system: Option<String>,
    /// How much there is to read: bytes or rows.
    pub(super) size: u64,
}

/// What is wanted of a layer.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ask<'a> {
    /// Which layer.
    pub(super) layer: &'a str,
    /// Which columns.
    pub(super) columns: &'a [String],
    /// Whether what is drawn is wanted too.
    pub(super) drawn: bool,
}

/// Why a source cannot be read on.
#[derive(Debug)]
pub(super) enum Broken {
    /// It is damaged, or not what it begins as.
    Why(String),
    /// There is no room to lay it out.
    NoRoom(NoRoom),
}

impl From<NoRoom> for Broken {
    fn from(why: NoRoom) -> Self {
        Self::NoRoom(why)
    }
}

/// A file of somebody else's, opened.
pub(super) trait Source {
    /// Its layers.
    fn layers(&self) -> &[Layer];

    /// Hands over the rows of a layer, one at a time.
    fn rows(&mut self, ask: Ask<'_>, take: &mut dyn FnMut(Taken<'_>)) -> Result<(), Broken>;

    /// How a person finds a row again, by its mark.
    fn row_name(&self, mark: i64) -> String;

    /// Notes what is wrong with the source as a whole, before any row is read.
    fn check(&mut self, at: &Origin, note: &mut dyn FnMut(Found)) -> Result<(), Broken> {
        let _ = (at, note);
        Ok(())
    }
}
