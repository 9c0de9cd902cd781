//! Why a message was not taken, in words.

use crate::{
    exchange::{ExchangeError, Problem},
    words::{Sentence, Words},
};

impl Problem {
    /// An error as it is answered.
    pub fn of(error: ExchangeError, words: &Words) -> Self {
        let Sentence { id, text, .. } = words.plain(error.id());
        Self { refused: id, text }
    }
}
