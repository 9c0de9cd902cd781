//! Finished sentences.

use coldlug_core::words;

/// A finished sentence.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Sentence {
    /// What it was made from; of a rule, the rule's id.
    pub id: String,
    /// As it is read.
    pub text: String,
    /// As it is spoken.
    pub spoken: String,
}

impl From<words::Sentence> for Sentence {
    fn from(said: words::Sentence) -> Self {
        let words::Sentence { id, text, spoken } = said;
        Self { id, text, spoken }
    }
}

/// Several of them.
pub(crate) fn all(said: Vec<words::Sentence>) -> Vec<Sentence> {
    said.into_iter().map(Into::into).collect()
}
