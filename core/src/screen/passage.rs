//! Lines under a heading: what a page says besides what it asks. Every shell draws them alike.

use schemars::JsonSchema;
use serde::Serialize;

use super::Tone;
use crate::words::Sentence;

/// Lines under a heading, what counts most first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Passage {
    /// The heading.
    pub title: Sentence,
    /// The lines.
    pub lines: Vec<PassageLine>,
}

/// One line of a passage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PassageLine {
    /// What it says.
    pub said: Sentence,
    /// How it stands out, by the shape before it; null: it is one of many.
    pub tone: Option<Tone>,
}

impl Passage {
    /// Lines that stand out no more than the others; none where there are none.
    pub(super) fn of(title: Sentence, said: Vec<Sentence>) -> Option<Self> {
        (!said.is_empty()).then(|| Self::plain(title, said))
    }

    /// Lines that stand out no more than the others.
    pub(super) fn plain(title: Sentence, said: Vec<Sentence>) -> Self {
        Self { title, lines: said.into_iter().map(PassageLine::plain).collect() }
    }
}

impl PassageLine {
    /// A line that stands out no more than the others.
    pub(super) const fn plain(said: Sentence) -> Self {
        Self { said, tone: None }
    }

    /// A line that stands out.
    pub(super) const fn marked(said: Sentence, tone: Tone) -> Self {
        Self { said, tone: Some(tone) }
    }
}
