//! Who goes out on a plan and who is picked up, in words.

use super::kebab;
use crate::{
    isolate::{CustomerOut, Plan},
    quantity::AssetId,
    words::{Sentence, Words},
};

/// A line for each who goes out, in the plan's order.
pub(super) fn goes_out(plan: &Plan, words: &Words) -> Vec<Sentence> {
    plan.customers_out.iter().map(|out| line(out, words)).collect()
}

fn line(out: &CustomerOut, words: &Words) -> Sentence {
    let why = out.critical.map(|critical| words.plain(&format!("critical-{}", kebab(&critical))));
    let by = out.back_by.as_ref().map_or("", AssetId::as_str);
    let places = [
        ("service", out.service.as_str()),
        ("premises", out.premises.as_str()),
        ("why", why.as_ref().map_or("", |why| &*why.text)),
        ("by", by),
    ];
    let id = match (out.critical.is_some(), out.back_by.is_some()) {
        (false, false) => "plan-goes-out",
        (false, true) => "plan-goes-out-back",
        (true, false) => "plan-goes-out-critical",
        (true, true) => "plan-goes-out-critical-back",
    };
    words.say(id, &places)
}

/// A line for each loop point that is closed meanwhile, and for each that is not and why.
pub(super) fn picked_up(plan: &Plan, words: &Words) -> Vec<Sentence> {
    let closed = plan.pick_ups.iter().map(|one| {
        let places = [
            ("branch", one.close.to_string()),
            ("count", one.customers_back.len().to_string()),
            ("amps", one.amps.to_string()),
            ("rated", one.rated_amps.to_string()),
        ];
        words.say("plan-pick-up", &places.each_ref().map(|(name, text)| (*name, text.as_str())))
    });
    let open = plan.not_picked_up.iter().map(|one| {
        let id = format!("plan-not-picked-up-{}", kebab(&one.rule));
        words.say(&id, &[("branch", one.branch.as_str())])
    });
    closed.chain(open).collect()
}
