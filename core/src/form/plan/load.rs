//! What is expected through an opening, in words.

use crate::{
    isolate::{ExpectedLoad, LoadBasis, NotAllowed, Opening},
    words::{Sentence, Words},
};

/// The amps alone, in words.
pub(super) fn amps(load: &ExpectedLoad, words: &Words) -> Sentence {
    let text = |amps: Option<u32>| amps.map_or_else(String::new, |amps| amps.to_string());
    let (likely, most) = (text(load.likely_amps), text(load.most_amps));
    let at = load.read_at.as_deref().unwrap_or_default();
    let id = match (load.basis, load.likely_amps, load.most_amps) {
        (LoadBasis::Read, ..) if at.is_empty() => "plan-amps-read",
        (LoadBasis::Read, ..) if load.read_first => "plan-amps-read-near",
        (LoadBasis::Read, ..) => "plan-amps-read-at",
        (_, _, None) => "plan-amps-unknown",
        (_, None, Some(_)) => "plan-amps-most",
        (_, Some(_), Some(_)) => "plan-amps-likely",
    };
    let amps = words.say(id, &[("likely", &likely), ("most", &most), ("at", at)]);
    if load.doubts.is_empty() {
        return amps;
    }
    // What was read and does not count is told beside what is taken in its place.
    let why = words.lacked(&load.doubts).join(" ");
    words.say("plan-amps-doubted", &[("amps", &amps.text), ("at", at), ("why", &why)])
}

/// A line for each opening: what it is expected to break, of how much, and who says so.
pub(super) fn lines(openings: &[Opening], words: &Words) -> Vec<Sentence> {
    let known = openings.iter().filter_map(|o| Some((o, o.expected.as_ref()?)));
    known
        .map(|(opening, load)| {
            let rated = load.load_break_amps.map(|rated| rated.to_string());
            let id = if rated.is_some() { "plan-load-rated" } else { "plan-load" };
            let places = [
                ("branch", opening.branch.as_str()),
                ("amps", &*amps(load, words).text),
                ("rated", rated.as_deref().unwrap_or_default()),
                ("source", &*load.source),
            ];
            words.say(id, &places)
        })
        .collect()
}

/// Why a branch may not be opened, with the amps where they are why.
pub(super) fn not_allowed(id: &str, branch: &NotAllowed, words: &Words) -> Sentence {
    let Some(load) = &branch.expected else { return words.plain(id) };
    let rated = load.load_break_amps.unwrap_or_default().to_string();
    let why = words.plain(id).text;
    let places = [("why", &*why), ("amps", &*amps(load, words).text), ("rated", &*rated)];
    words.say("plan-over-load", &places)
}
