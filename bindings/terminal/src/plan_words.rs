//! Plans in words.

use coldlug_core::{
    isolate::{Caution, Opening, Step},
    words::Words,
};
use serde::Serialize;

/// The stable id of a plain enum's variant, as its JSON has it.
fn kebab<T: Serialize>(value: &T) -> String {
    let json = serde_json::to_value(value).ok();
    json.and_then(|json| json.as_str().map(str::to_owned)).unwrap_or_default()
}

/// What is opened, and how.
pub(crate) fn opening(opening: &Opening, words: &Words) -> String {
    let device = words.plain(&format!("device-{}", kebab(&opening.device)));
    let place = match (&opening.pad, &opening.position) {
        (Some(pad), Some(position)) => format!("{pad} position {position}"),
        _ => opening.branch.to_string(),
    };
    let id = if opening.hold { "plan-hold" } else { "plan-open" };
    words.say(id, &[("device", &device.text), ("what", &place)]).text
}

/// One step.
pub(crate) fn step(step: &Step, words: &Words) -> String {
    let act = words.plain(&format!("step-{}", kebab(&step.act))).text;
    let branch = step.branch.as_ref().map(ToString::to_string);
    let node = step.node.as_ref().map(ToString::to_string);
    let service = step.service.as_ref().map(ToString::to_string);
    let at = [step.leg.map(|leg| leg.to_string()), branch.or(node).or(service)];
    at.into_iter().flatten().fold(act, |text, at| format!("{text} {at}"))
}

/// What to mind.
pub(crate) fn caution(caution: &Caution, words: &Words) -> String {
    let id = format!("mind-{}", kebab(&caution.id));
    let about = caution.about.as_ref().map_or("", |about| about.as_str());
    words.say(&id, &[("about", about)]).text
}

/// Why something may not be opened, or what kind a source is.
pub(crate) fn reason<T: Serialize>(prefix: &str, value: &T, words: &Words) -> String {
    words.plain(&format!("{prefix}-{}", kebab(value))).text
}
