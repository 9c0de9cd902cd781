//! Putting both questions to the rule, and saying what was found.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    case::{AboutSets, Case},
    explain::{Explanations, explain},
    ledger::{self, LedgerRow, Standing},
    reason::{Doubt, Reasons, reasons},
    settle::{self, SettlingTest},
    verdict::{Advice, CandidateRow, Judgement, PremisesVerdict, StillExcluded, Verdict},
};
use crate::{
    plant::Plant,
    quantity::StayId,
    rule_sheet::RuleSheet,
    sighting::{Candidate, Conditions, Drawn, Evidence, Limits, SetAt, SetEffect, draw, pointers},
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
    let limits = Limits::of(rules, evidence);
    let drawn = draw(plant, &limits, evidence, conditions);
    let case = Case::new(&evidence.target, &drawn, &limits, conditions);
    let seen = seen_by(evidence, &drawn);
    let about = case.about_sets(seen.len());
    let found = answer(&drawn, premises_in(&case), seen, &about);
    let reasons = reasons(evidence, &drawn, &found, &about);
    let ledger = ledger::rows(plant, rules, evidence, &drawn, &found);
    let settling = if found.identified.is_some() {
        Vec::new()
    } else {
        settle::tests(plant, rules, &limits, evidence, &drawn, &found.premises, case)
    };
    let explanations = explain(plant, rules, evidence, &drawn, &found);
    let pointers = pointers(plant, rules, evidence);
    Judgement { pointers, reasons, ..conclude(found, ledger, settling, explanations, drawn) }
}

/// What to do next alone, without ledger and explanations, with the conditions that are kept.
pub(crate) fn advise_by(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
    conditions: Conditions,
) -> Advice {
    let limits = Limits::of(rules, evidence);
    let drawn = draw(plant, &limits, evidence, conditions);
    let case = Case::new(&evidence.target, &drawn, &limits, conditions);
    let identified = identified_in(&case, &seen_by(evidence, &drawn));
    let settling = if identified.is_some() {
        Vec::new()
    } else {
        let premises = premises_in(&case);
        settle::tests(plant, rules, &limits, evidence, &drawn, &premises, case)
    };
    Advice { identified, settling, idle: drawn.idle }
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
    let limits = Limits::of(rules, evidence);
    let drawn = draw(plant, &limits, evidence, conditions);
    let case = Case::new(&evidence.target, &drawn, &limits, conditions);
    identified_in(&case, &seen_by(evidence, &drawn))
}

/// What the rule says, before it is put beside the record.
pub(crate) struct Found {
    pub(crate) premises: BTreeMap<StayId, PremisesVerdict>,
    pub(crate) identified: Option<(SetAt, Vec<StillExcluded>)>,
    /// Every seen set and `elsewhere`, with the sightings that exclude it.
    pub(crate) candidates: Vec<CandidateRow>,
    /// What the rule does not name though something speaks for it.
    pub(crate) doubts: Vec<Doubt>,
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

/// Every set that was seen, or that something is drawn about.
fn seen_by(evidence: &Evidence, drawn: &Drawn) -> BTreeSet<SetAt> {
    let mut seen = seen_sets(evidence);
    seen.extend(drawn.sets.iter().map(|effect| effect.set.clone()));
    seen
}

/// The set that the rule says is the one, among those seen.
fn identified_in(case: &Case, seen: &BTreeSet<SetAt>) -> Option<SetAt> {
    let about = case.about_sets(seen.len());
    seen.iter().find(|set| about.identified(set)).cloned()
}

/// The premises of every stay that a sighting says something of.
fn premises_in(case: &Case) -> BTreeMap<StayId, PremisesVerdict> {
    let stays = case.stay_ids().iter().enumerate().filter(|(at, _)| case.has_premises(*at));
    stays.map(|(at, stay)| (stay.clone(), premises_of(case, at))).collect()
}

/// Answers both questions.
fn answer(
    drawn: &Drawn,
    premises: BTreeMap<StayId, PremisesVerdict>,
    seen: BTreeSet<SetAt>,
    about: &AboutSets<'_>,
) -> Found {
    let (mut identified, mut doubts) = (None, Vec::new());
    for set in &seen {
        match about.asked(set) {
            Some(Ok(())) if identified.is_none() => identified = Some(set.clone()),
            Some(Err(hole)) if about.is_kept(set) => doubts.push(Doubt { set: set.clone(), hole }),
            Some(_) | None => {}
        }
    }
    let identified = identified.map(|set| {
        let still = about.still(&set).into_iter().map(|(without, places)| {
            let by = places.into_iter().filter_map(|place| drawn.sets.get(place));
            let by = by.flat_map(|effect| effect.sightings.iter().cloned()).collect();
            StillExcluded { without, by }
        });
        let still = still.collect();
        (set, still)
    });
    let asked: Vec<&SetEffect> =
        about.places().iter().filter_map(|place| drawn.sets.get(*place)).collect();
    let candidates = seen
        .into_iter()
        .map(Candidate::Set)
        .chain([Candidate::Elsewhere])
        .map(|candidate| {
            let excluded_by = asked
                .iter()
                .filter(|effect| effect.excludes.excludes(&candidate))
                .flat_map(|effect| effect.sightings.iter().cloned())
                .collect();
            CandidateRow { candidate, excluded_by }
        })
        .collect();
    Found { premises, identified, candidates, doubts }
}

/// The premises verdict of one stay.
fn premises_of(case: &Case, stay: usize) -> PremisesVerdict {
    let mut named = BTreeSet::new();
    let mut undone = Vec::new();
    for (service, said) in case.premises_of(stay) {
        match said {
            Ok(()) => return PremisesVerdict::Identified { service: service.clone() },
            Err(hole) => undone = case.causes_of(&hole),
        }
        named.insert(service.clone());
    }
    PremisesVerdict::Unsettled { named, hole: undone }
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
        reasons: Reasons::default(),
    }
}
