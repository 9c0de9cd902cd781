//! The physical state in words: the first lines of every screen.

use crate::{
    form::name,
    job::{LiftedLeg, State, Touch},
    plant::SwitchState,
    words::{Sentence, Words},
};

/// What is open, lifted, shorted, grounded, out: the most pressing first. Never empty.
pub fn physical_lines(state: &State, words: &Words) -> Vec<Sentence> {
    let physical = &state.physical;
    let mut lines = Vec::new();
    for (set, legs) in &physical.legs {
        for id in ["physical-lifted-loose", "physical-lifted-safe"] {
            let alike: Vec<_> = legs.iter().filter(|(_, end)| secured(end) == id).collect();
            let names: Vec<String> = alike.iter().map(|(leg, _)| leg.to_string()).collect();
            let Some((_, first)) = alike.first() else { continue };
            let places = [("leg", names.join(", ")), ("set", name(set))];
            let places = places.each_ref().map(|(name, text)| (*name, text.as_str()));
            lines.push(told(words, id, &first.lifted, &places));
        }
    }
    for (set, touch) in &physical.shorts {
        lines.push(told(words, "physical-shorted", touch, &[("set", &name(set))]));
    }
    for (node, touch) in &physical.grounds {
        lines.push(told(words, "physical-grounded", touch, &[("where", node.as_str())]));
    }
    for (switch, (stands, touch)) in &physical.switches {
        let id = match stands {
            SwitchState::Open => "physical-switch-open",
            SwitchState::Closed => "physical-switch-closed",
        };
        lines.push(told(words, id, touch, &[("what", switch.as_str())]));
    }
    if let Some(out) = &physical.meter_out {
        let number = out.number_in_hand.as_deref().unwrap_or("?");
        lines.push(told(words, "physical-meter-out", &out.touch, &[("number", number)]));
    }
    for (service, main) in physical.mains.iter().filter(|(_, main)| main.open) {
        lines.push(told(words, "physical-main-open", &main.touch, &[("what", service.as_str())]));
    }
    for (service, off) in physical.sources.iter().filter(|(_, sources)| sources.off) {
        let what = [("what", service.as_str())];
        lines.push(told(words, "physical-sources-off", &off.touch, &what));
    }
    for (what, touch) in &physical.locks {
        lines.push(told(words, "physical-locked", touch, &[("what", what.as_str())]));
    }
    for (what, touch) in &physical.tags {
        lines.push(told(words, "physical-tagged", touch, &[("what", what.as_str())]));
    }
    if lines.is_empty() {
        lines.push(words.plain("physical-nothing"));
    }
    lines
}

/// How far a lifted end is made safe.
fn secured(leg: &LiftedLeg) -> &'static str {
    match (&leg.capped, &leg.restrained, &leg.tagged) {
        (Some(_), Some(_), Some(_)) => "physical-lifted-safe",
        _ => "physical-lifted-loose",
    }
}

fn told(words: &Words, id: &str, touch: &Touch, places: &[(&str, &str)]) -> Sentence {
    let at = touch.at.to_text();
    let by_whom = [("by", touch.person.as_str()), ("at", at.as_str())];
    let all: Vec<(&str, &str)> = places.iter().copied().chain(by_whom).collect();
    words.say(id, &all)
}
