//! Putting both questions to the rule, and saying what was found.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    explain::{Explanations, explain},
    ledger::{self, LedgerRow, Standing},
    rule::{Ground, Question, causes_of_sets, reports, sets_in_hand},
    settle::{self, SettlingTest},
    verdict::{CandidateRow, Judgement, PremisesVerdict, StillExcluded, Verdict},
};
use crate::{
    plant::Plant,
    quantity::{AssetId, StayId},
    rule_sheet::RuleSheet,
    sighting::{
        Candidate, Cause, Condition, Conditions, Drawn, Evidence, Excludes, Limits, Premises,
        PremisesEffect, SetAt, SetEffect, draw, pointers,
    },
};

/// Judges the evidence of a job: premises of every stay, then the cable set, then the record's
/// claims, and what would settle what is open.
pub fn judge(plant: &Plant, rules: &RuleSheet, evidence: &Evidence) -> Judgement {
    judge_by(plant, rules, evidence, Conditions::ALL)
}

/// The same, with the conditions that are kept.
pub(crate) fn judge_by(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
    conditions: Conditions,
) -> Judgement {
    let limits = Limits::from(rules);
    let drawn = draw(plant, &limits, evidence, conditions);
    let found = answer(evidence, &drawn, &limits, conditions);
    let ledger = ledger::rows(plant, rules, evidence, &drawn, &found);
    let settling = settle::tests(plant, rules, &limits, evidence, &drawn, &found);
    let explanations = explain(plant, rules, evidence, &drawn, &found);
    let pointers = pointers(plant, rules, evidence);
    Judgement { pointers, ..conclude(found, ledger, settling, explanations, drawn) }
}

/// The identified set, with some condition left out: for tests and the simulator.
#[cfg(feature = "weakened")]
pub fn identified_under(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
    conditions: Conditions,
) -> Option<SetAt> {
    identified_by(plant, rules, evidence, conditions)
}

/// The identified set alone, without ledger and settling tests: for gates.
pub(crate) fn identified_by(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
    conditions: Conditions,
) -> Option<SetAt> {
    let limits = Limits::from(rules);
    let drawn = draw(plant, &limits, evidence, conditions);
    answer(evidence, &drawn, &limits, conditions).identified.map(|(set, _)| set)
}

/// What the rule says, before it is put beside the record.
pub(crate) struct Found {
    pub(crate) premises: BTreeMap<StayId, PremisesVerdict>,
    pub(crate) identified: Option<(SetAt, Vec<StillExcluded>)>,
    /// Every seen set and `elsewhere`, with the sightings that exclude it.
    pub(crate) candidates: Vec<CandidateRow>,
}

/// Every set that the marks of the job name.
pub(crate) fn seen_sets(evidence: &Evidence) -> BTreeSet<SetAt> {
    evidence
        .marks
        .values()
        .flat_map(|go| {
            go.sets.iter().map(|set| SetAt { pad: go.pad.clone(), position: set.position.clone() })
        })
        .collect()
}

/// Answers both questions.
pub(crate) fn answer(
    evidence: &Evidence,
    drawn: &Drawn,
    limits: &Limits,
    conditions: Conditions,
) -> Found {
    let all = Ground::of(&evidence.target, drawn, conditions);
    let premises: BTreeMap<StayId, PremisesVerdict> = all
        .stays
        .iter()
        .map(|(&stay, effects)| (stay.clone(), premises_of(effects, &all, limits)))
        .collect();
    let counts = |stay: &StayId| {
        if !conditions.keep(Condition::StayIsIdentified) {
            return true;
        }
        if !conditions.keep(Condition::StayHoldsWithoutTheCause) {
            return all.stay_stands_as_told(stay);
        }
        matches!(premises.get(stay), Some(PremisesVerdict::Identified { service })
            if *service == evidence.target)
    };
    let counted: BTreeSet<StayId> = premises.keys().filter(|stay| counts(stay)).cloned().collect();
    let mut ground = all;
    ground.stays.retain(|stay, _| counted.contains(*stay));
    let (identified, candidates) = set_of(evidence, drawn, &ground, limits);
    Found { premises, identified, candidates }
}

/// The premises verdict of one stay.
fn premises_of(
    effects: &[&PremisesEffect],
    ground: &Ground<'_>,
    limits: &Limits,
) -> PremisesVerdict {
    let causes: BTreeSet<&Cause> = effects.iter().flat_map(|effect| &effect.causes).collect();
    let question = Question {
        effects: effects.to_vec(),
        ground,
        causes: causes.into_iter().collect(),
        tolerated: limits.tolerated_false_causes,
        seen: 0,
    };
    let named: BTreeSet<&AssetId> = effects
        .iter()
        .filter_map(|effect| match &effect.excludes {
            Excludes::AllBut(Premises::Service(service)) => Some(service),
            _ => None,
        })
        .collect();
    let mut hole = Vec::new();
    for &service in &named {
        match question.identified(&Premises::Service(service.clone()), &[]) {
            Ok(()) => return PremisesVerdict::Identified { service: service.clone() },
            Err(without) => hole = without.into_iter().cloned().collect(),
        }
    }
    PremisesVerdict::Unsettled { named: named.into_iter().cloned().collect(), hole }
}

type SetAnswer = (Option<(SetAt, Vec<StillExcluded>)>, Vec<CandidateRow>);

/// The set verdict, on the stays that count.
fn set_of(evidence: &Evidence, drawn: &Drawn, ground: &Ground<'_>, limits: &Limits) -> SetAnswer {
    let sets: Vec<&SetEffect> = drawn
        .sets
        .iter()
        .filter(|effect| {
            effect.rests_on.iter().all(|rests| {
                ground.stays.contains_key(&rests.stay)
                    || !ground.conditions.keep(Condition::StayIsIdentified)
            })
        })
        .collect();
    let premises: Vec<&PremisesEffect> = ground.stays.values().flatten().copied().collect();
    let reports = reports(&sets);
    let in_hand = sets_in_hand(&sets);
    let mut seen = seen_sets(evidence);
    seen.extend(in_hand.iter().map(|&set| set.clone()));
    let question = Question {
        causes: causes_of_sets(&sets, &premises, &reports, ground.conditions),
        effects: sets.clone(),
        ground,
        tolerated: limits.tolerated_false_causes,
        seen: seen.len(),
    };
    let against: Vec<&PremisesEffect> =
        premises.into_iter().filter(|effect| effect.excludes.excludes(&ground.target)).collect();
    let identified = seen.iter().find_map(|set| {
        let x = Candidate::Set(set.clone());
        question.identified(&x, &against).ok()?;
        Some((set.clone(), still_excluded(&question, &x)))
    });
    let rows =
        seen.into_iter().map(Candidate::Set).chain([Candidate::Elsewhere]).map(|candidate| {
            let excluded_by = sets
                .iter()
                .filter(|effect| effect.excludes.excludes(&candidate))
                .flat_map(|effect| effect.sightings.iter().cloned())
                .collect();
            CandidateRow { candidate, excluded_by }
        });
    (identified, rows.collect())
}

/// For each cause: what still excludes every other candidate without it.
fn still_excluded(question: &Question<'_, &SetEffect>, x: &Candidate) -> Vec<StillExcluded> {
    let nothing: Option<&Cause> = None;
    std::iter::once(nothing)
        .chain(question.causes.iter().map(|&cause| Some(cause)))
        .map(|without| {
            let gone: Vec<&Cause> = without.into_iter().collect();
            let by = question
                .left::<Candidate>(&gone)
                .filter(|effect| effect.excludes == Excludes::AllBut(x.clone()))
                .flat_map(|effect| effect.sightings.iter().cloned())
                .collect();
            StillExcluded { without: without.cloned(), by }
        })
        .collect()
}

fn conclude(
    found: Found,
    ledger: Vec<LedgerRow>,
    settling: Vec<SettlingTest>,
    explanations: Explanations,
    drawn: Drawn,
) -> Judgement {
    let no_set_left = found.candidates.len() > 1
        && found
            .candidates
            .iter()
            .all(|row| row.candidate == Candidate::Elsewhere || !row.excluded_by.is_empty());
    let contradicted: Vec<LedgerRow> = ledger
        .iter()
        .filter(|row| row.standing == Standing::Contradicts && row.claim.names_the_way())
        .cloned()
        .collect();
    let verdict = match found.identified {
        Some((set, holds)) => Verdict::Identified { set, holds },
        None if no_set_left || !contradicted.is_empty() => {
            Verdict::Contradicted { claims: contradicted, no_set_left }
        }
        None => Verdict::Unsettled,
    };
    Judgement {
        verdict,
        premises: found.premises,
        candidates: found.candidates,
        ledger,
        explanations,
        settling,
        idle: drawn.idle,
        pointers: BTreeMap::new(),
    }
}
