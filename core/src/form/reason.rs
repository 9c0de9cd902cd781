//! Why a set or a stay is out or in, in words: what was seen, by whom, and what alone could make it
//! false.

use schemars::JsonSchema;
use serde::Serialize;

use super::name;
use crate::{
    quantity::{AssetId, PersonId, SightingId, StayId},
    reconcile::{Doubt, PremisesReason, Reasons, SeenBy, SetReason},
    sighting::{Candidate, Cause, Ground, SetAt},
    words::{Sentence, Words},
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

/// What alone could make something false.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CauseForm {
    /// Its key: kind and id.
    pub cause: String,
    /// In words, to go on after "if".
    pub sentence: String,
}

impl CauseForm {
    fn new(cause: &Cause, words: &Words) -> Self {
        Self { cause: cause.to_string(), sentence: cause_clause(cause, words) }
    }
}

/// Why a candidate is out or in, what counts first.
pub(super) fn reasons_of(
    candidate: &Candidate,
    service: &AssetId,
    reasons: &Reasons,
    words: &Words,
) -> Vec<ReasonForm> {
    let set = match candidate {
        Candidate::Set(set) => Some(set),
        Candidate::Elsewhere => None,
    };
    let own = reasons.sets.iter().filter(|reason| Some(&reason.set) == set);
    let mut all: Vec<ReasonForm> =
        own.map(|reason| ReasonForm::of_set(reason, service, words)).collect();
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
    all.extend(others.into_iter().map(|other| ReasonForm::for_another(other, words)));
    // What counts first; what is alike keeps its order.
    all.sort_by_key(|reason| !reason.counts);
    all
}

/// What speaks for or against a stay having been somewhere.
pub(super) fn reasons_of_stay(stay: &StayId, reasons: &Reasons, words: &Words) -> Vec<ReasonForm> {
    let own = reasons.premises.iter().filter(|reason| reason.stay == *stay);
    own.map(|reason| ReasonForm::of_premises(reason, words)).collect()
}

impl ReasonForm {
    /// What speaks for or against a set, in some language; `service`: the one to be made dead.
    pub fn of_set(reason: &SetReason, service: &AssetId, words: &Words) -> Self {
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
            ..Self::told(sentence, &reason.seen, &reason.false_if, waits, words)
        }
    }

    fn of_premises(reason: &PremisesReason, words: &Words) -> Self {
        let id = premises_id(reason.ground, reason.names_it);
        let sentence = words.say(id, &[("service", reason.service.as_str())]);
        let seen = std::slice::from_ref(&reason.seen);
        Self {
            ground: reason.ground.id().to_owned(),
            speaks_for: reason.names_it,
            ..Self::told(sentence, seen, &reason.false_if, None, words)
        }
    }

    fn for_another(other: &SetAt, words: &Words) -> Self {
        let sentence = words.say("reason-for-another", &[("set", &name(other))]);
        Self { ground: "for-another".to_owned(), ..Self::told(sentence, &[], &[], None, words) }
    }

    fn told(
        sentence: Sentence,
        seen: &[SeenBy],
        false_if: &[Cause],
        waits: Option<Sentence>,
        words: &Words,
    ) -> Self {
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
            words.say("reason-wrong-if", &[("causes", &joined("reason-or", false_if, words))])
        });
        Self {
            ground: String::new(),
            speaks_for: false,
            counts: true,
            sentence,
            seen: seen.into_iter().map(SeenForm::new).collect(),
            false_if: false_if.iter().map(|cause| CauseForm::new(cause, words)).collect(),
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
pub(super) fn doubt_of_set(doubt: &Doubt, words: &Words) -> Sentence {
    let set = name(&doubt.set);
    if doubt.hole.is_empty() {
        return words.say("doubt-set-torn", &[("set", &set)]);
    }
    let causes = joined("reason-and", &doubt.hole, words);
    words.say("doubt-set", &[("set", &set), ("causes", &causes)])
}

/// Why a stay is not settled; `named`: whether something says where it was.
pub(super) fn doubt_of_stay(stay: &StayId, named: bool, hole: &[Cause], words: &Words) -> Sentence {
    if hole.is_empty() {
        let id = if named { "doubt-stay-torn" } else { "doubt-stay-unnamed" };
        return words.say(id, &[("stay", stay.as_str())]);
    }
    let causes = joined("reason-and", hole, words);
    words.say("doubt-stay", &[("stay", stay.as_str()), ("causes", &causes)])
}

fn joined(by: &str, causes: &[Cause], words: &Words) -> String {
    let all = causes.chunk_by(alike).map(|alike| match alike {
        [one] => cause_clause(one, words),
        several => several_clause(by, several, words),
    });
    in_one(by, all, words)
}

fn in_one(by: &str, parts: impl Iterator<Item = String>, words: &Words) -> String {
    parts
        .reduce(|one, other| words.say(by, &[("one", &one), ("other", &other)]).text)
        .unwrap_or_default()
}

/// Whether two causes are said in one clause: two legs are read at two placements by two runs.
const fn alike(one: &Cause, other: &Cause) -> bool {
    matches!(
        (one, other),
        (Cause::Placement { .. }, Cause::Placement { .. })
            | (Cause::Run { .. }, Cause::Run { .. })
            | (Cause::Look { .. }, Cause::Look { .. })
    )
}

/// Causes that are alike in one clause.
fn several_clause(by: &str, causes: &[Cause], words: &Words) -> String {
    let names = causes.iter().filter_map(|cause| match cause {
        Cause::Placement { placement } => Some(placement.to_string()),
        Cause::Run { run } => Some(run.to_string()),
        Cause::Look { sighting } => Some(sighting.to_string()),
        _ => None,
    });
    let names = in_one(if by == "reason-and" { by } else { "reason-or-name" }, names, words);
    let said = match causes.first() {
        Some(Cause::Placement { .. }) => words.say("cause-placement", &[("placement", &names)]),
        Some(Cause::Run { .. }) => words.say("cause-run", &[("run", &names)]),
        Some(Cause::Look { .. }) => words.say("cause-look", &[("sighting", &names)]),
        _ => return in_one(by, causes.iter().map(|cause| cause_clause(cause, words)), words),
    };
    said.text
}

/// A cause in words, to go on after "if".
pub fn cause_clause(cause: &Cause, words: &Words) -> String {
    let at = |pad: &AssetId, position: &str| {
        name(&SetAt { pad: pad.clone(), position: position.to_owned() })
    };
    let said = match cause {
        Cause::Report { person, stay } => {
            words.say("cause-report", &[("person", person.as_str()), ("stay", stay.as_str())])
        }
        Cause::PadReport { person } => {
            words.say("cause-pad-report", &[("person", person.as_str())])
        }
        Cause::MeterRecords => words.plain("cause-meter-records"),
        Cause::Plates => words.plain("cause-plates"),
        Cause::Electrician => words.plain("cause-electrician"),
        Cause::BillingRecords => words.plain("cause-billing-records"),
        Cause::Tone { pad } => words.say("cause-tone", &[("pad", pad.as_str())]),
        Cause::MarkerScheme => words.plain("cause-marker-scheme"),
        Cause::Placement { placement } => {
            words.say("cause-placement", &[("placement", placement.as_str())])
        }
        Cause::Marks { marks } => words.say("cause-marks", &[("marks", marks.as_str())]),
        Cause::LugPositions { pad } => words.say("cause-lug-positions", &[("pad", pad.as_str())]),
        Cause::Run { run } => words.say("cause-run", &[("run", run.as_str())]),
        Cause::Instrument { instrument } => {
            words.say("cause-instrument", &[("instrument", instrument.as_str())])
        }
        Cause::Deed { deed } => words.say("cause-deed", &[("deed", deed.as_str())]),
        Cause::SharedSet { pad, position } => {
            words.say("cause-shared-set", &[("set", &at(pad, position))])
        }
        Cause::UnmappedSplice { pad, position } => {
            words.say("cause-unmapped-splice", &[("set", &at(pad, position))])
        }
        Cause::Look { sighting } => words.say("cause-look", &[("sighting", sighting.as_str())]),
    };
    said.text
}

#[cfg(test)]
mod tests;
