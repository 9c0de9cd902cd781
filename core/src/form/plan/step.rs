//! One step in words, and what is worn at it.

use schemars::JsonSchema;
use serde::Serialize;

use super::{kebab, load};
use crate::{
    isolate::{ExpectedLoad, KeepAway, Opening, Protection, Step, StepAct},
    words::{Sentence, Words},
};

/// One step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepForm {
    /// What is done.
    pub sentence: Sentence,
    /// The rules that stand before it, by id.
    pub gates: Vec<String>,
    /// How near, in which gloves and clothing.
    pub wear: Option<Sentence>,
    /// True where that is not as at the step before.
    pub wear_changes: bool,
}

/// The steps, each with what is worn.
pub(super) fn steps(steps: &[Step], openings: &[Opening], words: &Words) -> Vec<StepForm> {
    let before = std::iter::once(None).chain(steps.iter().map(|step| step.protection.as_ref()));
    steps
        .iter()
        .zip(before)
        .map(|(step, before)| StepForm {
            sentence: sentence(step, openings, words),
            gates: step.gates.iter().map(|rule| rule.id().to_owned()).collect(),
            wear: step.protection.as_ref().map(|worn| wear(worn, words)),
            wear_changes: step.protection.as_ref().is_some_and(|worn| Some(worn) != before),
        })
        .collect()
}

fn sentence(step: &Step, openings: &[Opening], words: &Words) -> Sentence {
    let act = words.plain(&format!("step-{}", kebab(&step.act)));
    let branch = step.branch.as_ref().map(ToString::to_string);
    let node = step.node.as_ref().map(ToString::to_string);
    let service = step.service.as_ref().map(ToString::to_string);
    let at = [step.leg.map(|leg| leg.to_string()), branch.or(node).or(service)];
    let at: Vec<String> = at.into_iter().flatten().collect();
    if at.is_empty() {
        return act;
    }
    let at = at.join(" ");
    let Some((load, rated)) = broken(step, openings) else {
        return words.say("plan-step-at", &[("act", &act.text), ("at", &at)]);
    };
    let amps = load::amps(load, words).text;
    let places = [("act", &*act.text), ("at", &*at), ("amps", &*amps), ("rated", &*rated)];
    let id = if step.act == StepAct::ReadAmps { "plan-step-read" } else { "plan-step-breaks" };
    words.say(id, &places)
}

/// What a step breaks or reads, where it is held against a rating.
fn broken<'a>(step: &Step, openings: &'a [Opening]) -> Option<(&'a ExpectedLoad, String)> {
    if !matches!(step.act, StepAct::ReadAmps | StepAct::OpenSwitch | StepAct::ParkElbow) {
        return None;
    }
    let opening = openings.iter().find(|o| Some(&o.branch) == step.branch.as_ref())?;
    let load = opening.expected.as_ref()?;
    Some((load, load.load_break_amps?.to_string()))
}

fn wear(worn: &Protection, words: &Words) -> Sentence {
    let keep = match worn.approach {
        KeepAway::BelowTable => words.plain("wear-keep-below-table"),
        KeepAway::NoContact => words.plain("wear-keep-no-contact"),
        KeepAway::AtLeast { millimetres } => {
            let cm = millimetres.div_ceil(10);
            let metres = format!("{}.{:02}", cm / 100, cm % 100);
            let between = worn.between_phases;
            let id = if between { "wear-keep-between-phases" } else { "wear-keep-at-least" };
            words.say(id, &[("metres", &metres)])
        }
        KeepAway::NoNumber => words.plain("wear-keep-no-number"),
    };
    let gloves = worn.gloves.map_or_else(
        || words.plain("wear-no-glove"),
        |class| words.say("wear-gloves", &[("class", class.name())]),
    );
    let clothing = worn.clothing_cal_per_cm2.map_or_else(
        || words.plain("wear-clothing-by-study"),
        |cal| words.say("wear-clothing", &[("cal", &cal.to_string())]),
    );
    let said = |of: fn(&Sentence) -> &str| {
        let places = [("keep", of(&keep)), ("gloves", of(&gloves)), ("clothing", of(&clothing))];
        words.say(if worn.two_workers { "wear-two" } else { "wear" }, &places)
    };
    Sentence { spoken: said(|part| &part.spoken).spoken, ..said(|part| &part.text) }
}

/// Where the distances, gloves and clothing of all steps are from, each source once.
pub(super) fn worn_by<'a>(
    steps: impl Iterator<Item = &'a Step>,
    words: &Words,
) -> Option<Sentence> {
    let mut all: Vec<&str> = Vec::new();
    for worn in steps.filter_map(|step| step.protection.as_ref()) {
        for source in [&worn.approach_source, &worn.gloves_source, &worn.clothing_source] {
            if !all.contains(&source.as_str()) {
                all.push(source);
            }
        }
    }
    (!all.is_empty()).then(|| words.say("wear-by", &[("sources", &all.join("; "))]))
}
