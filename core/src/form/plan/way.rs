//! One way to do it, in words.

use schemars::JsonSchema;
use serde::Serialize;

use super::{few, kebab};
use crate::{
    isolate::{Opening, Plan},
    quantity::AssetId,
    words::{Sentence, Words},
};

/// One way to do it, with its price.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WayForm {
    /// What is opened, and how.
    pub openings: Vec<Sentence>,
    /// False: told with its price, and never to be chosen, since no gap is to be seen.
    pub offered: bool,
    /// Another way is no worse in anything and better in something.
    pub dearer: bool,
    /// Services beyond the target that go out.
    pub customers_out: Vec<AssetId>,
    /// How many of them stay out after the pick-up.
    pub still_out: usize,
    /// Exposure of its operations, weighed by the rule sheet.
    pub exposure: u32,
    /// How many operations.
    pub operations: u32,
    /// How many of them are of fuses: the last resort.
    pub fuses: u32,
    /// Why it is not the first; none: it is.
    pub why_not_first: Option<Sentence>,
}

/// More openings than this are counted where there is little room.
const MOST_OPENINGS: usize = 6;

impl WayForm {
    pub(super) fn new(plan: &Plan, words: &Words) -> Self {
        let openings = plan.openings.iter().map(|opening| opening_sentence(opening, words));
        Self {
            openings: openings.collect(),
            offered: true,
            dearer: false,
            customers_out: plan.customers_out.iter().map(|out| out.service.clone()).collect(),
            still_out: plan.still_out,
            exposure: plan.exposure,
            operations: plan.operations,
            fuses: plan.last_resorts,
            why_not_first: None,
        }
    }

    /// The same, behind the best: with what it is first worse in, as plans are ranked.
    pub(super) fn behind(self, best: &Plan, words: &Words) -> Self {
        let more = [
            ("why-more-out", self.still_out.saturating_sub(best.still_out)),
            ("why-more-fuses", over(self.fuses, best.last_resorts)),
            ("why-more-exposure", over(self.exposure, best.exposure)),
            ("why-more-operations", over(self.operations, best.operations)),
        ];
        let first = more.into_iter().find(|(_, more)| *more > 0);
        let why = first.map_or_else(
            || words.plain("why-the-same"),
            |(id, more)| words.say(id, &[("more", &more.to_string())]),
        );
        Self { why_not_first: Some(why), ..self }
    }

    pub(super) fn dearer(self) -> Self {
        Self { dearer: true, ..self }
    }

    pub(super) fn never(self, words: &Words) -> Self {
        Self { offered: false, why_not_first: Some(words.plain("why-no-gap")), ..self }
    }

    /// What is opened, all of it in one text; a way that is never to be chosen, or is worse than
    /// another in everything, says so.
    pub fn openings_text(&self, words: &Words) -> String {
        let all: Vec<&str> = self.openings.iter().map(|opening| opening.text.as_str()).collect();
        self.marked(&all.join("; "), words)
    }

    /// The same where there is little room: many openings are counted.
    pub fn openings_short(&self, words: &Words) -> String {
        let count = self.openings.len();
        if count <= MOST_OPENINGS {
            return self.openings_text(words);
        }
        let counted = words.say("plan-many-openings", &[("count", &count.to_string())]);
        self.marked(&counted.text, words)
    }

    fn marked(&self, openings: &str, words: &Words) -> String {
        match (self.offered, self.dearer) {
            (false, _) => words.say("plan-not-offered", &[("openings", openings)]).text,
            (true, true) => words.say("plan-dearer", &[("openings", openings)]).text,
            (true, false) => openings.to_owned(),
        }
    }

    /// How many go out, and how many of them stay out.
    pub fn out_text(&self, words: &Words) -> String {
        let out = self.customers_out.len();
        let still = self.still_out.to_string();
        if out == self.still_out {
            return still;
        }
        words.say("plan-out-at-first", &[("out", &out.to_string()), ("still", &still)]).text
    }

    /// All of it as one line: what is opened, who goes out, the price, why it is not the first.
    pub fn line(&self, words: &Words) -> Sentence {
        let count = self.customers_out.len();
        let price = [
            ("exposure", self.exposure.to_string()),
            ("operations", self.operations.to_string()),
            ("fuses", self.fuses.to_string()),
        ];
        let priced = if self.fuses > 0 { "plan-price-fuses" } else { "plan-price" };
        let price = words.say(priced, &price.each_ref().map(|(name, text)| (*name, text.as_str())));
        let places = [
            ("openings", self.openings_short(words)),
            ("count", count.to_string()),
            ("still", self.still_out.to_string()),
            ("out", few(&self.customers_out, words)),
            ("price", price.text),
        ];
        let id = match (count, self.still_out) {
            (0, _) => "plan-way",
            (out, still) if out == still => "plan-way-out",
            _ => "plan-way-picked-up",
        };
        let way = words.say(id, &places.each_ref().map(|(name, text)| (*name, text.as_str())));
        let Some(why) = &self.why_not_first else { return way };
        let id = if self.offered { "plan-way-not-first" } else { "plan-way-never" };
        words.say(id, &[("way", &way.text), ("why", &why.text)])
    }
}

/// By how much the one is more than the other.
fn over(one: u32, other: u32) -> usize {
    usize::try_from(one.saturating_sub(other)).unwrap_or(usize::MAX)
}

/// What is opened, and how.
pub fn opening_sentence(opening: &Opening, words: &Words) -> Sentence {
    let device = words.plain(&format!("device-{}", kebab(&opening.device)));
    let place = match (&opening.pad, &opening.position) {
        (Some(pad), Some(position)) => {
            words.say("plan-place", &[("pad", pad.as_str()), ("position", position)]).text
        }
        _ => opening.branch.to_string(),
    };
    let id = if opening.hold { "plan-hold" } else { "plan-open" };
    words.say(id, &[("device", &device.text), ("what", &place)])
}
