//! Every sentence a person reads, by message id.
//!
//! The id of a rule is the id of its sentence. A sentence may have a form for the ear: the
//! attribute `.spoken`; without it the sentence is spoken as it is written. Nothing else in the
//! core holds wording. The texts are Fluent resources, embedded, one file a language.

#[cfg(test)]
mod every_id;
mod sentence;

pub use sentence::{Sentence, Words, WordsError};
