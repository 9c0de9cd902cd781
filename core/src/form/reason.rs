//! Why a set or a stay is out or in, in words: what was seen, by whom, and what alone could make it
//! false.

use schemars::JsonSchema;
use serde::Serialize;

use super::{
    cause::{CauseForm, Clauses},
    name,
};
use crate::{
    quantity::{AssetId, PersonId, SightingId, StayId},
    reconcile::{Doubt, PremisesReason, Reasons, SeenBy, SetReason},
    sighting::{Candidate, Cause, Ground, SetAt},
    words::Sentence,
};

/// One reason for or against a candidate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReasonForm {
    /// By which rule of evidence; `for-another`: what speaks for another set, told where nothing that
    /// counts speaks against the candidate itself.
    pub ground: String,
    /// Whether it speaks for the candidate; else against it.
    pub speaks_for: bool,
    /// Whether it counts: where it was done is settled.
    pub counts: bool,
    /// What was seen, in words.
    pub sentence: Sentence,
    /// Who saw it, and when.
    pub seen: Vec<SeenForm>,
    /// What alone could make it false.
    pub false_if: Vec<CauseForm>,
    /// All of it as a screen says it: what was seen, then what alone could make it false.
    pub lines: Vec<Sentence>,
}

/// Who saw something, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeenForm {
    /// The sighting.
    pub sighting: SightingId,
    /// Who reported it.
    pub person: PersonId,
    /// When, by their phone's wall clock, UTC.
    pub at: String,
}

/// Why a candidate is out or in, what counts first.
pub(super) fn reasons_of(
    candidate: &Candidate,
    service: &AssetId,
    reasons: &Reasons,
    told: Clauses<'_>,
) -> Vec<ReasonForm> {
    let set = match candidate {
        Candidate::Set(set) => Some(set),
        Candidate::Elsewhere => None,
    };
    let own = reasons.sets.iter().filter(|reason| Some(&reason.set) == set);
    let mut all: Vec<ReasonForm> =
        own.map(|reason| ReasonForm::of_set(reason, service, told)).collect();
    // Who has a reason of its own needs none of another's.
    let against = all.iter().any(|reason| reason.counts && !reason.speaks_for);
    let mut others: Vec<&SetAt> = reasons
        .sets
        .iter()
        .filter(|reason| !against && reason.speaks_for && reason.counts && Some(&reason.set) != set)
        .map(|reason| &reason.set)
        .collect();
    others.sort();
    others.dedup();
    all.extend(others.into_iter().map(|other| ReasonForm::for_another(other, told)));
    // What counts first; what is alike keeps its order.
    all.sort_by_key(|reason| !reason.counts);
    all
}

/// What speaks for or against a stay having been somewhere.
pub(super) fn reasons_of_stay(
    stay: &StayId,
    reasons: &Reasons,
    told: Clauses<'_>,
) -> Vec<ReasonForm> {
    let own = reasons.premises.iter().filter(|reason| reason.stay == *stay);
    own.map(|reason| ReasonForm::of_premises(reason, told)).collect()
}

impl ReasonForm {
    /// What speaks for or against a set, in some language; `service`: the one to be made dead.
    pub fn of_set(reason: &SetReason, service: &AssetId, told: Clauses<'_>) -> Self {
        let words = told.words;
        let sentence = words.say(reason.ground.id(), &[("set", &name(&reason.set))]);
        let waits = (!reason.waits_for.is_empty()).then(|| {
            let stays: Vec<&str> = reason.waits_for.iter().map(StayId::as_str).collect();
            let places = [("stays", stays.join(", ")), ("service", service.to_string())];
            words.say("reason-waits", &places.each_ref().map(|(name, text)| (*name, text.as_str())))
        });
        Self {
            ground: reason.ground.id().to_owned(),
            speaks_for: reason.speaks_for,
            counts: reason.counts,
            ..Self::all(sentence, &reason.seen, &reason.false_if, waits, told)
        }
    }

    fn of_premises(reason: &PremisesReason, told: Clauses<'_>) -> Self {
        let id = premises_id(reason.ground, reason.names_it);
        let sentence = told.words.say(id, &[("service", reason.service.as_str())]);
        let seen = std::slice::from_ref(&reason.seen);
        Self {
            ground: reason.ground.id().to_owned(),
            speaks_for: reason.names_it,
            ..Self::all(sentence, seen, &reason.false_if, None, told)
        }
    }

    fn for_another(other: &SetAt, told: Clauses<'_>) -> Self {
        let sentence = told.words.say("reason-for-another", &[("set", &name(other))]);
        Self { ground: "for-another".to_owned(), ..Self::all(sentence, &[], &[], None, told) }
    }

    fn all(
        sentence: Sentence,
        seen: &[SeenBy],
        false_if: &[Cause],
        waits: Option<Sentence>,
        told: Clauses<'_>,
    ) -> Self {
        let words = told.words;
        let mut seen: Vec<&SeenBy> = seen.iter().collect();
        seen.sort_by_key(|one| one.at.wall_ms);
        let by: Vec<String> = seen
            .iter()
            .map(|one| {
                let places = [("who", one.who.as_str()), ("at", &one.at.to_clock())];
                words.say("reason-seen-by", &places).text
            })
            .collect();
        let first = if by.is_empty() {
            sentence.clone()
        } else {
            let places = [("said", sentence.text.as_str()), ("seen", &by.join(", "))];
            words.say("reason-line", &places)
        };
        let wrong = (!false_if.is_empty()).then(|| {
            words.say("reason-wrong-if", &[("causes", &told.joined("reason-or", false_if))])
        });
        Self {
            ground: String::new(),
            speaks_for: false,
            counts: true,
            sentence,
            seen: seen.into_iter().map(SeenForm::new).collect(),
            false_if: false_if.iter().map(|cause| told.form(cause)).collect(),
            lines: std::iter::once(first).chain(waits).chain(wrong).collect(),
        }
    }
}

impl SeenForm {
    fn new(seen: &SeenBy) -> Self {
        let SeenBy { sighting, who, at } = seen;
        Self { sighting: sighting.clone(), person: who.clone(), at: at.to_text() }
    }
}

/// The sentence of a premises reason: some rules of evidence name a service or speak against it.
const fn premises_id(ground: Ground, names_it: bool) -> &'static str {
    match ground {
        Ground::AddressPlate if !names_it => "address-plate-not",
        Ground::CustomerWord if !names_it => "customer-word-not",
        Ground::ElectricianWord if !names_it => "electrician-word-not",
        Ground::BillingRecord if !names_it => "billing-record-not",
        _ => ground.id(),
    }
}

/// What could still name another set than this one.
pub(super) fn doubt_of_set(doubt: &Doubt, told: Clauses<'_>) -> Sentence {
    let words = told.words;
    let set = name(&doubt.set);
    if doubt.hole.is_empty() {
        return words.say("doubt-set-torn", &[("set", &set)]);
    }
    let causes = told.joined("reason-and", &doubt.hole);
    words.say("doubt-set", &[("set", &set), ("causes", &causes)])
}

/// Why a stay is not settled; `named`: whether something says where it was.
pub(super) fn doubt_of_stay(
    stay: &StayId,
    named: bool,
    hole: &[Cause],
    told: Clauses<'_>,
) -> Sentence {
    let words = told.words;
    if hole.is_empty() {
        let id = if named { "doubt-stay-torn" } else { "doubt-stay-unnamed" };
        return words.say(id, &[("stay", stay.as_str())]);
    }
    let causes = told.joined("reason-and", hole);
    words.say("doubt-stay", &[("stay", stay.as_str()), ("causes", &causes)])
}

#[cfg(test)]
mod tests;
