//! What the evidence amounts to: `form::judgement` of core.

use std::fmt::Display;

use coldlug_core::{form, sighting::SetAt};

use crate::sentence::Sentence;

/// Which verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum VerdictName {
    /// One set, whatever tolerated number of causes may be false.
    Identified,
    /// The record is wrong about the way to the target, or no seen set is left.
    Contradicted,
    /// Not settled yet.
    Unsettled,
}

/// Everything that follows from the evidence.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Judgement {
    /// The service to be made dead.
    pub service: String,
    /// The last event that counted; none: none did.
    pub until: Option<String>,
    /// The verdict on the cable set.
    pub verdict: VerdictName,
    /// The verdict in words.
    pub sentence: Sentence,
    /// The identified set, as people name it; none unless identified.
    pub set: Option<String>,
    /// Claims that cannot stand, when contradicted.
    pub contradicted: Vec<Claim>,
    /// Whether every seen set is excluded.
    pub no_set_left: bool,
    /// For nothing and for each cause taken as false: what still excludes all others.
    pub still_excluded: Vec<StillExcluded>,
    /// Which premises each stay was at.
    pub premises: Vec<Premises>,
    /// Every seen set, and elsewhere last.
    pub candidates: Vec<Candidate>,
    /// The record's claims beside what was seen.
    pub ledger: Vec<Claim>,
    /// What is still in doubt, and what may be behind contradictions, as a screen says it; empty:
    /// nothing is in doubt.
    pub explanations: Vec<Sentence>,
    /// What would settle it, best first.
    pub settling_tests: Vec<SettlingTest>,
    /// Sightings that exclude nothing, and why.
    pub idle: Vec<Idle>,
}

/// A claim of the record.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Claim {
    /// Which kind of claim.
    pub claim: String,
    /// The claim in words.
    pub sentence: String,
    /// How it stands.
    pub standing: Standing,
    /// The sightings that say so.
    pub sightings: Vec<String>,
}

/// How a claim stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Standing {
    /// What was seen bears it out.
    Agrees,
    /// Nothing seen decides it.
    Unsettled,
    /// What was seen excludes it.
    Contradicts,
}

impl Standing {
    /// By the word that the form has for it.
    fn named(word: &str) -> Self {
        use coldlug_core::reconcile::Standing as Core;
        if word == Core::Agrees.id() {
            Self::Agrees
        } else if word == Core::Contradicts.id() {
            Self::Contradicts
        } else {
            Self::Unsettled
        }
    }
}

/// What still excludes every other candidate when one cause is false.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct StillExcluded {
    /// The cause taken as false, by its key; `none`: nothing is false.
    pub cause: String,
    /// Sightings that still do.
    pub sightings: Vec<String>,
}

/// Which premises a stay was at.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Premises {
    /// The stay.
    pub stay: String,
    /// The service it was at; none: not settled.
    pub identified: Option<String>,
    /// Services that some sighting names, when not settled.
    pub named: Vec<String>,
    /// With these false, other premises are still possible.
    pub undone_by: Vec<String>,
}

/// A candidate, and what excludes it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Candidate {
    /// The set, as people name it; none: somewhere else.
    pub set: Option<String>,
    /// Whether it can still be the one.
    pub possible: bool,
    /// Sightings that exclude it.
    pub excluded_by: Vec<String>,
}

/// A test that would settle something.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SettlingTest {
    /// Which test.
    pub test: String,
    /// What to do, in words, and what to expect on the clamp.
    pub sentence: Sentence,
    /// What may come of it and what each would mean, in words.
    pub outcomes: Vec<String>,
    /// Tests left in the worst case, this one included.
    pub steps_left: u32,
    /// Weight for what hands come near.
    pub exposure: u32,
    /// Minutes it takes.
    pub minutes: u32,
}

/// A sighting that excludes nothing.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Idle {
    /// The sighting.
    pub sighting: String,
    /// Why, by id.
    pub reason: String,
    /// Why, in words.
    pub sentence: String,
}

fn texts<T: Display>(names: impl IntoIterator<Item = T>) -> Vec<String> {
    names.into_iter().map(|name| name.to_string()).collect()
}

/// A set as people name it.
pub(crate) fn set_name(set: &SetAt) -> String {
    form::name(set)
}

impl From<form::JudgementForm> for Judgement {
    fn from(judged: form::JudgementForm) -> Self {
        let claims = |all: Vec<form::ClaimForm>| all.into_iter().map(Into::into).collect();
        Self {
            service: judged.service.to_string(),
            until: judged.until.map(|event| event.to_string()),
            verdict: match judged.verdict {
                form::VerdictName::Identified => VerdictName::Identified,
                form::VerdictName::Contradicted => VerdictName::Contradicted,
                form::VerdictName::Unsettled => VerdictName::Unsettled,
            },
            sentence: judged.sentence.into(),
            set: judged.set.as_ref().map(set_name),
            contradicted: claims(judged.contradicted),
            no_set_left: judged.no_set_left,
            still_excluded: judged.still_excluded.into_iter().map(Into::into).collect(),
            premises: judged.premises.into_iter().map(Into::into).collect(),
            candidates: judged.candidates.into_iter().map(Into::into).collect(),
            ledger: claims(judged.ledger),
            explanations: judged
                .doubts
                .into_iter()
                .chain(judged.explanations.lines)
                .map(Into::into)
                .collect(),
            settling_tests: judged.settling_tests.into_iter().map(Into::into).collect(),
            idle: judged.idle.into_iter().map(Into::into).collect(),
        }
    }
}

impl From<form::ClaimForm> for Claim {
    fn from(claim: form::ClaimForm) -> Self {
        let form::ClaimForm { claim, sentence, standing, sightings } = claim;
        Self { claim, sentence, standing: Standing::named(&standing), sightings: texts(sightings) }
    }
}

impl From<form::StillExcludedForm> for StillExcluded {
    fn from(still: form::StillExcludedForm) -> Self {
        Self { cause: still.cause, sightings: texts(still.sightings) }
    }
}

impl From<form::PremisesForm> for Premises {
    fn from(premises: form::PremisesForm) -> Self {
        let form::PremisesForm { stay, identified, named, undone_by, .. } = premises;
        Self {
            stay: stay.to_string(),
            identified: identified.map(|service| service.to_string()),
            named: texts(named),
            undone_by: texts(undone_by),
        }
    }
}

impl From<form::CandidateForm> for Candidate {
    fn from(candidate: form::CandidateForm) -> Self {
        let form::CandidateForm { set, possible, excluded_by, .. } = candidate;
        Self { set: set.as_ref().map(set_name), possible, excluded_by: texts(excluded_by) }
    }
}

impl From<form::SettlingTestForm> for SettlingTest {
    fn from(test: form::SettlingTestForm) -> Self {
        let form::SettlingTestForm { test, sentence, outcomes, steps_left, exposure, minutes } =
            test;
        Self { test, sentence: sentence.into(), outcomes, steps_left, exposure, minutes }
    }
}

impl From<form::IdleForm> for Idle {
    fn from(idle: form::IdleForm) -> Self {
        let form::IdleForm { sighting, reason, sentence } = idle;
        Self { sighting: sighting.to_string(), reason, sentence }
    }
}
