//! What a run came to, told: parts of sentences, a table and pictures, drawn on a terminal as text
//! and in one page as HTML.

mod faults;
mod figure;
mod page;
mod parts;
mod picture;
mod plot;
mod variants;

use coldlug_core::words::Words;

use super::form::SimulationForm;

pub(crate) use page::page;

/// One thing that a report says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Part {
    /// Where a link may lead.
    pub(crate) id: &'static str,
    /// What it is about.
    pub(crate) title: String,
    /// What there is to say before the numbers.
    pub(crate) sentences: Vec<String>,
    /// The names of the columns.
    pub(crate) head: Vec<String>,
    /// The numbers.
    pub(crate) rows: Vec<Vec<String>>,
    /// The same numbers, drawn.
    pub(crate) pictures: Vec<picture::Picture>,
}

/// Everything that a report says, in order; what was not tried is not mentioned.
pub(crate) fn parts(form: &SimulationForm, words: &Words) -> Vec<Part> {
    let mut parts = vec![parts::policies(form, words)];
    parts.extend(faults::pairs(form, words));
    parts.extend(faults::by_fault(form, words));
    parts.extend(parts::tests(form, words));
    parts.extend(variants::tolerances(form, words));
    parts.extend(variants::keyings(form, words));
    parts.extend(variants::ablation(form, words));
    parts.extend(parts::caught(form, words));
    parts.extend(parts::stopped(form, words));
    parts.extend(parts::unsolvable(form, words));
    parts
}

/// The columns with these names.
fn head(words: &Words, ids: &[&str]) -> Vec<String> {
    ids.iter().map(|id| words.plain(id).text).collect()
}
