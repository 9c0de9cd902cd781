//! Who keeps everything open.

use crate::{
    clearance::Blocks,
    job::State,
    words::{Sentence, Words},
};

/// One sentence for every clearance while which nothing is closed.
pub fn holding(state: &State, words: &Words) -> Vec<Sentence> {
    let line = |blocks| {
        let (id, clearance, person) = match blocks {
            Blocks::Held { clearance, holder } => ("clearance-is-held", clearance, holder),
            Blocks::OfferedByLink { clearance, to } => ("clearance-by-link", clearance, to),
            Blocks::Offered { clearance, to } => ("clearance-on-offer", clearance, to),
        };
        words.say(id, &[("clearance", clearance.as_str()), ("person", person.as_str())])
    };
    state.clearances.blocks_closing().into_iter().map(line).collect()
}
