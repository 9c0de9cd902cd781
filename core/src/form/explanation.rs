//! What contradicts the record, and why that may be.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use super::name;
use crate::{
    quantity::SightingId,
    reconcile::{
        Confirm, Contradiction, Explaining, Explanation, Explanations, FalseClaim, Hypothesis,
    },
    sighting::SetAt,
    words::{Sentence, Words},
};

/// Explanations on a screen, where more are alike in rank: nobody reads a list at an open cabinet.
const ON_A_SCREEN: usize = 3;

/// What contradicts the record, and why that may be. It excludes no candidate and supports none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExplanationsForm {
    /// What the field says against the record.
    pub findings: Vec<FindingForm>,
    /// Every smallest set of false claims that explains it, best first.
    pub explanations: Vec<ExplanationForm>,
    /// Every claim that explains some of it, and what speaks against that claim.
    pub hypotheses: Vec<HypothesisForm>,
    /// Most claims that are put together.
    pub most_claims: usize,
    /// Whether no such set explains everything.
    pub falls_short: bool,
    /// The best of them as a screen says them.
    pub lines: Vec<Sentence>,
}

/// One thing the field says against the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FindingForm {
    /// Its number among the findings, from one.
    pub number: usize,
    /// Which kind.
    pub finding: String,
    /// In words.
    pub sentence: String,
    /// The sightings that say so.
    pub sightings: BTreeSet<SightingId>,
}

/// A smallest set of false claims.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExplanationForm {
    /// From one on; the same for those that nothing tells apart.
    pub rank: usize,
    /// The claims.
    pub claims: Vec<FalseClaimForm>,
    /// Numbers of the findings that it leaves unexplained.
    pub leaves: Vec<usize>,
}

/// One false claim of an explanation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FalseClaimForm {
    /// Which kind.
    pub claim: String,
    /// In words.
    pub sentence: String,
    /// How often such a claim is false, in a million.
    pub per_million: u32,
    /// Numbers of the findings that it explains.
    pub explains: Vec<usize>,
    /// What would confirm it, by kind.
    pub confirm: String,
    /// What would confirm it, in words.
    pub confirm_sentence: String,
}

/// A false claim by itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HypothesisForm {
    /// Which kind.
    pub claim: String,
    /// In words.
    pub sentence: String,
    /// Numbers of the findings that it explains.
    pub explains: Vec<usize>,
    /// Sightings that speak against it.
    pub against: BTreeSet<SightingId>,
}

impl ExplanationsForm {
    /// From what was explained, in some language.
    pub fn new(explained: &Explanations, words: &Words) -> Self {
        let findings = explained.findings.iter().enumerate().map(|(at, finding)| FindingForm {
            number: at + 1,
            finding: finding.what.id().to_owned(),
            sentence: contradiction_sentence(&finding.what, words),
            sightings: finding.sightings.clone(),
        });
        let explanations = &explained.explanations;
        Self {
            findings: findings.collect(),
            explanations: explanations
                .iter()
                .map(|one| ExplanationForm {
                    rank: one.rank,
                    claims: one
                        .claims
                        .iter()
                        .map(|c| FalseClaimForm::new(c, explained, words))
                        .collect(),
                    leaves: numbers(&one.leaves, explained),
                })
                .collect(),
            hypotheses: explained
                .hypotheses
                .iter()
                .map(|one| HypothesisForm::new(one, explained, words))
                .collect(),
            most_claims: Explanations::MOST_CLAIMS,
            falls_short: explained.falls_short(),
            lines: lines(explained, words),
        }
    }
}

impl FalseClaimForm {
    fn new(one: &Explaining, explained: &Explanations, words: &Words) -> Self {
        Self {
            claim: one.claim.id().to_owned(),
            sentence: false_claim_sentence(&one.claim, words),
            per_million: one.claim.per_million(),
            explains: numbers(&one.explains, explained),
            confirm: one.confirm.id().to_owned(),
            confirm_sentence: confirm_sentence(&one.confirm, words),
        }
    }
}

impl HypothesisForm {
    fn new(one: &Hypothesis, explained: &Explanations, words: &Words) -> Self {
        Self {
            claim: one.claim.id().to_owned(),
            sentence: false_claim_sentence(&one.claim, words),
            explains: numbers(&one.explains, explained),
            against: one.against.clone(),
        }
    }
}

/// The numbers of these among the findings.
fn numbers(these: &BTreeSet<Contradiction>, explained: &Explanations) -> Vec<usize> {
    let findings = explained.findings.iter().enumerate();
    findings.filter(|(_, finding)| these.contains(&finding.what)).map(|(at, _)| at + 1).collect()
}

/// The best explanations as a screen says them: those of the first rank.
fn lines(explained: &Explanations, words: &Words) -> Vec<Sentence> {
    let none = explained.falls_short().then(|| {
        words.say("explanation-none", &[("claims", &Explanations::MOST_CLAIMS.to_string())])
    });
    let first = explained.explanations.iter().take_while(|one| one.rank == 1);
    let best = first.take(ON_A_SCREEN).map(|one| line(one, explained, words));
    none.into_iter().chain(best).collect()
}

fn line(one: &Explanation, explained: &Explanations, words: &Words) -> Sentence {
    let mut confirm: Vec<String> = Vec::new();
    for claim in &one.claims {
        let said = confirm_sentence(&claim.confirm, words);
        if !confirm.contains(&said) {
            confirm.push(said);
        }
    }
    let claims: Vec<String> =
        one.claims.iter().map(|claim| false_claim_sentence(&claim.claim, words)).collect();
    let found = explained.findings.len();
    let id = match (one.leaves.len(), found) {
        (0, 1) => "explanation-of-one",
        (0, _) => "explanation-of-all",
        _ => "explanation-of-some",
    };
    let explains = found.saturating_sub(one.leaves.len()).to_string();
    words.say(
        id,
        &[
            ("claims", &claims.join(" ")),
            ("explained", &explains),
            ("found", &found.to_string()),
            ("confirm", &confirm.join(" ")),
        ],
    )
}

/// What the field says against the record, in words.
pub fn contradiction_sentence(what: &Contradiction, words: &Words) -> String {
    let say = |places: &[(&str, &str)]| words.say(what.id(), places).text;
    match what {
        Contradiction::Tag { pad }
        | Contradiction::Place { pad }
        | Contradiction::SetCount { pad } => say(&[("pad", pad.as_str())]),
        Contradiction::Conductor { set } => say(&[("set", set.as_str())]),
        Contradiction::MeterNumber { service } => say(&[("service", service.as_str())]),
        Contradiction::FedByAnother { service, at }
        | Contradiction::NotFed { service, at }
        | Contradiction::LoadedMeterOut { service, at } => {
            say(&[("service", service.as_str()), ("at", &name(at))])
        }
    }
}

/// What may be false, in words.
pub fn false_claim_sentence(claim: &FalseClaim, words: &Words) -> String {
    let say = |places: &[(&str, &str)]| words.say(claim.id(), places).text;
    match claim {
        FalseClaim::TagsSwapped { one, other }
        | FalseClaim::SetsSwapped { one, other }
        | FalseClaim::MetersSwapped { one, other } => {
            say(&[("one", one.as_str()), ("other", other.as_str())])
        }
        FalseClaim::TagReplaced { pad } | FalseClaim::PadMoved { pad } => {
            say(&[("pad", pad.as_str())])
        }
        FalseClaim::PadMistaken { taken, is } => {
            say(&[("taken", taken.as_str()), ("is", is.as_str())])
        }
        FalseClaim::LugsSwapped { pad, one, other } => {
            say(&[("pad", pad.as_str()), ("one", one), ("other", other)])
        }
        FalseClaim::WrongPosition { service, at }
        | FalseClaim::SharedSet { service: Some(service), at } => {
            say(&[("service", service.as_str()), ("at", &name(at))])
        }
        FalseClaim::WrongPad { service, pad: None, .. }
        | FalseClaim::WrongMeterNumber { service } => say(&[("service", service.as_str())]),
        FalseClaim::WrongPad { service, pad: Some(pad), position } => {
            let pad = match position {
                Some(position) => name(&SetAt { pad: pad.clone(), position: position.clone() }),
                None => pad.to_string(),
            };
            say(&[("service", service.as_str()), ("pad", &pad)])
        }
        FalseClaim::SetMissing { pad, sets } | FalseClaim::SetExtra { pad, sets } => {
            say(&[("pad", pad.as_str()), ("sets", &sets.to_string())])
        }
        FalseClaim::WrongConductor { set } | FalseClaim::Splice { set } => {
            say(&[("set", set.as_str())])
        }
        FalseClaim::SharedSet { service: None, at } | FalseClaim::UnmeteredLoad { at } => {
            say(&[("at", &name(at))])
        }
    }
}

/// What would confirm it, in words.
pub fn confirm_sentence(confirm: &Confirm, words: &Words) -> String {
    let say = |places: &[(&str, &str)]| words.say(confirm.id(), places).text;
    match confirm {
        Confirm::ReadTag { pad }
        | Confirm::TakeFix { pad }
        | Confirm::CountSets { pad }
        | Confirm::SearchPad { pad } => say(&[("pad", pad.as_str())]),
        Confirm::LookAtLugs { at }
        | Confirm::StepAtNeighbours { at }
        | Confirm::SwitchUnmetered { at } => say(&[("at", &name(at))]),
        Confirm::LookAtBase { service }
        | Confirm::ReadNumber { service }
        | Confirm::CompareWithBilling { service } => say(&[("service", service.as_str())]),
        Confirm::LoadStep { service, at } => {
            say(&[("service", service.as_str()), ("at", &name(at))])
        }
        Confirm::AskDesk => say(&[]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reconcile::Finding;

    #[test]
    fn every_id_has_its_words() {
        let words = Words::english().unwrap();
        let ids = FalseClaim::IDS.iter().chain(&Contradiction::IDS).chain(&Confirm::IDS);
        let silent: Vec<&&str> = ids.filter(|id| !words.has(id)).collect();
        assert!(silent.is_empty(), "{silent:?}");
    }

    #[test]
    fn a_line_says_what_may_be_how_much_it_explains_and_what_would_confirm_it() {
        let words = Words::english().unwrap();
        let pad = |text: &str| text.try_into().unwrap();
        let tag = |text: &str| Contradiction::Tag { pad: pad(text) };
        let what = [tag("41"), tag("43"), Contradiction::SetCount { pad: pad("41") }];
        let finding = |what: &Contradiction| Finding { what: what.clone(), sightings: [].into() };
        let claim = FalseClaim::TagsSwapped { one: pad("41"), other: pad("43") };
        let explaining = Explaining {
            claim,
            explains: what.iter().cloned().collect(),
            confirm: Confirm::ReadTag { pad: pad("43") },
        };
        let one = Explanation { rank: 1, claims: vec![explaining], leaves: [].into() };
        let explained = Explanations {
            findings: what.iter().map(finding).collect(),
            hypotheses: Vec::new(),
            explanations: vec![one],
        };
        let form = ExplanationsForm::new(&explained, &words);
        assert_eq!(
            form.lines.first().unwrap().text,
            "41 and 43 may have each other's tags. Explains all 3 findings. To confirm: read the \
             tag of 43."
        );
        assert_eq!(form.explanations.first().unwrap().claims.first().unwrap().explains, [1, 2, 3]);
        assert!(ExplanationsForm::new(&Explanations::default(), &words).lines.is_empty());
    }
}
