//! One step in words, and what is worn at it.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use super::{caution_sentence, kebab, load};
use crate::{
    isolate::{Caution, ExpectedLoad, KeepAway, Opening, Protection, Step, StepAct},
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
    /// What is to be minded at it, but for what was said at the same act before.
    pub minds: Vec<Sentence>,
}

/// The steps, each with what is worn and minded; `sources` are numbered as they stand.
pub(super) fn steps(
    steps: &[Step],
    openings: &[Opening],
    sources: &[&str],
    words: &Words,
) -> Vec<StepForm> {
    let mut said = BTreeSet::new();
    let before = std::iter::once(None).chain(steps.iter().map(|step| step.protection.as_ref()));
    steps
        .iter()
        .zip(before)
        .map(|(step, before)| StepForm {
            sentence: sentence(step, openings, words),
            gates: step.gates.iter().map(|rule| rule.id().to_owned()).collect(),
            wear: step.protection.as_ref().map(|worn| wear(worn, sources, words)),
            wear_changes: step.protection.as_ref().is_some_and(|worn| Some(worn) != before),
            minds: step
                .cautions
                .iter()
                .filter(|caution| said.insert((step.act, *caution)))
                .map(|caution| mind(caution, words))
                .collect(),
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

/// A caution where it counts.
fn mind(caution: &Caution, words: &Words) -> Sentence {
    let mind = caution_sentence(caution, words);
    let said = |text: &str| words.say("plan-mind", &[("mind", text)]);
    Sentence { spoken: said(&mind.spoken).spoken, ..said(&mind.text) }
}

/// How near, in which gloves and clothing, each with the number of its source.
fn wear(worn: &Protection, sources: &[&str], words: &Words) -> Sentence {
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
    let by = |said: &Sentence, source: &str| {
        let number = sources.iter().position(|one| *one == source).map_or(0, |place| place + 1);
        words.say("wear-by-source", &[("said", &said.text), ("number", &number.to_string())]).text
    };
    let said = |[keep, gloves, clothing]: [&str; 3]| {
        let places = [("keep", keep), ("gloves", gloves), ("clothing", clothing)];
        words.say(if worn.two_workers { "wear-two" } else { "wear" }, &places)
    };
    // Numbers of sources are for the eye.
    let spoken = said([&keep, &gloves, &clothing].map(|part| part.spoken.as_str())).spoken;
    let text = [
        by(&keep, &worn.approach_source),
        by(&gloves, &worn.gloves_source),
        by(&clothing, &worn.clothing_source),
    ];
    Sentence { spoken, ..said(text.each_ref().map(String::as_str)) }
}

/// Where the distances, gloves and clothing of all steps are from, each source once.
pub(super) fn sources<'a>(steps: impl Iterator<Item = &'a Step>) -> Vec<&'a str> {
    let mut all: Vec<&str> = Vec::new();
    for worn in steps.filter_map(|step| step.protection.as_ref()) {
        for source in [&worn.approach_source, &worn.gloves_source, &worn.clothing_source] {
            if !all.contains(&source.as_str()) {
                all.push(source);
            }
        }
    }
    all
}

/// The sources by their numbers.
pub(super) fn worn_by(sources: &[&str], words: &Words) -> Option<Sentence> {
    let numbered = (1..).zip(sources).map(|(number, source): (usize, _)| {
        let places = [("number", &*number.to_string()), ("source", source)];
        words.say("wear-source", &places).text
    });
    let all: Vec<String> = numbered.collect();
    (!all.is_empty()).then(|| words.say("wear-by", &[("sources", &all.join("; "))]))
}
