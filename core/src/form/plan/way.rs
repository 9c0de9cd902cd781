//! One way to do it, in words.

use schemars::JsonSchema;
use serde::Serialize;

use super::kebab;
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
}

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
        }
    }

    pub(super) fn dearer(self) -> Self {
        Self { dearer: true, ..self }
    }

    pub(super) fn never(self) -> Self {
        Self { offered: false, ..self }
    }

    /// What is opened, all of it in one text; a way that is never to be chosen, or is worse than
    /// another in everything, says so.
    pub fn openings_text(&self, words: &Words) -> String {
        let all: Vec<&str> = self.openings.iter().map(|opening| opening.text.as_str()).collect();
        let all = all.join("; ");
        match (self.offered, self.dearer) {
            (false, _) => words.say("plan-not-offered", &[("openings", &all)]).text,
            (true, true) => words.say("plan-dearer", &[("openings", &all)]).text,
            (true, false) => all,
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

    pub(super) fn line(&self, words: &Words) -> Sentence {
        let out: Vec<&str> = self.customers_out.iter().map(AssetId::as_str).collect();
        let places = [
            ("openings", self.openings_text(words)),
            ("count", out.len().to_string()),
            ("still", self.still_out.to_string()),
            ("out", out.join(", ")),
            ("exposure", self.exposure.to_string()),
            ("operations", self.operations.to_string()),
        ];
        let id = match (out.len(), self.still_out) {
            (0, _) => "plan-way",
            (out, still) if out == still => "plan-way-out",
            _ => "plan-way-picked-up",
        };
        words.say(id, &places.each_ref().map(|(name, text)| (*name, text.as_str())))
    }
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
