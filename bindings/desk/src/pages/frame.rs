//! What every page of a signed-in dispatcher carries.

use std::fmt;

use coldlug_core::quantity::Instant;

/// Around the page: who is signed in, and what proves that a form is ours.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Frame {
    /// Who is signed in; none: nobody.
    pub person: Option<String>,
    /// The token that every form of this session carries.
    pub csrf: String,
    /// When the page was made; none: it does not say.
    pub at: Option<When>,
    /// What was just done; none: nothing.
    pub done: Option<coldlug_core::words::Sentence>,
}

/// A moment as the pages write it: date, hour and minute by the desk's wall clock, in UTC.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// As in entries.
    pub instant: String,
    /// As it is read.
    pub text: String,
}

impl When {
    /// From an instant of an entry.
    pub fn new(instant: &Instant) -> Self {
        let text = instant.to_text();
        let read = text.get(..16).map_or_else(|| text.clone(), |cut| cut.replace('T', " "));
        Self { instant: text, text: read }
    }
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}
