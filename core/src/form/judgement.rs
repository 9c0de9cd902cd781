//! What the evidence of a job amounts to: ledger, candidates, verdict, settling tests.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use super::explanation::ExplanationsForm;
use super::{
    cause::Clauses,
    pointer::pointer_sentence,
    reason::{ReasonForm, doubt_of_set, doubt_of_stay, reasons_of, reasons_of_stay},
};
use crate::{
    quantity::{AssetId, EventId, SightingId, StayId},
    reconcile::{
        By, CandidateRow, Claim, Judgement, LedgerRow, PremisesVerdict, SettlingTest,
        StillExcluded, Test, Verdict,
    },
    sighting::{Candidate, Cause, Evidence, Idle, Pointer, SetAt},
    words::{Sentence, Words},
};

/// Which verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum VerdictName {
    /// One set, whatever tolerated number of causes may be false.
    Identified,
    /// The record is wrong about the way to the target, or no seen set is left.
    Contradicted,
    /// Not settled yet.
    Unsettled,
}

/// Everything that follows from the evidence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JudgementForm {
    /// The service to be made dead.
    pub service: AssetId,
    /// The last event that counted; null: none.
    pub until: Option<EventId>,
    /// The verdict on the cable set.
    pub verdict: VerdictName,
    /// The verdict in words.
    pub sentence: Sentence,
    /// The identified set; null unless identified.
    pub set: Option<SetAt>,
    /// Claims that cannot stand, when contradicted.
    pub contradicted: Vec<ClaimForm>,
    /// Whether every seen set is excluded.
    pub no_set_left: bool,
    /// What could still name another set than the one that something speaks for, or put the stay
    /// elsewhere, in words.
    pub doubts: Vec<Sentence>,
    /// For nothing and for each cause taken as false: what still excludes every other candidate.
    pub still_excluded: Vec<StillExcludedForm>,
    /// Which premises each stay was at.
    pub premises: Vec<PremisesForm>,
    /// Every seen set, and `elsewhere` last.
    pub candidates: Vec<CandidateForm>,
    /// The record's claims beside what was seen.
    pub ledger: Vec<ClaimForm>,
    /// What contradicts the record, and why that may be.
    pub explanations: ExplanationsForm,
    /// What would settle it, best first.
    pub settling_tests: Vec<SettlingTestForm>,
    /// Sightings that exclude nothing, and why.
    pub idle: Vec<IdleForm>,
}

/// A claim of the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClaimForm {
    /// Which kind of claim.
    pub claim: String,
    /// The claim in words.
    pub sentence: String,
    /// `agrees`, `unsettled` or `contradicts`.
    pub standing: String,
    /// The sightings that say so.
    pub sightings: BTreeSet<SightingId>,
}

/// What still excludes every other candidate when one cause is false.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StillExcludedForm {
    /// The cause taken as false; null: nothing is false.
    pub without: Option<Cause>,
    /// Its key: kind and id.
    pub cause: String,
    /// In words, to go on after "if".
    pub sentence: String,
    /// Sightings that still do.
    pub sightings: BTreeSet<SightingId>,
}

/// Which premises a stay was at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PremisesForm {
    /// The stay.
    pub stay: StayId,
    /// The service it was at, whatever single cause is false; null: not settled.
    pub identified: Option<AssetId>,
    /// Services that some sighting names, when not settled.
    pub named: BTreeSet<AssetId>,
    /// With these false, other premises are still possible.
    pub undone_by: Vec<Cause>,
    /// The same in words; null: settled, or nothing was seen there.
    pub doubt: Option<Sentence>,
    /// What speaks for it and against it.
    pub reasons: Vec<ReasonForm>,
}

/// A candidate, and what excludes it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CandidateForm {
    /// The set; null: somewhere else, sets nobody has seen included.
    pub set: Option<SetAt>,
    /// Whether it can still be the one.
    pub possible: bool,
    /// Sightings that exclude it.
    pub excluded_by: BTreeSet<SightingId>,
    /// What speaks for it and against it, what counts first.
    pub reasons: Vec<ReasonForm>,
}

/// A test that would settle something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SettlingTestForm {
    /// Which test.
    pub test: String,
    /// What to do, in words, and what to expect on the clamp.
    pub sentence: Sentence,
    /// What may come of it and what each would mean, in words.
    pub outcomes: Vec<String>,
    /// Tests left in the worst case, this one included.
    pub steps_left: u32,
    /// Weight of the rule sheet for what hands come near.
    pub exposure: u32,
    /// Minutes it takes.
    pub minutes: u32,
}

/// A sighting that excludes nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IdleForm {
    /// The sighting.
    pub sighting: SightingId,
    /// Why, by id.
    pub reason: String,
    /// Why, in words; and where a tag or a fix points to instead.
    pub sentence: String,
}

impl JudgementForm {
    /// From a judgement, in some language.
    pub fn new(
        evidence: &Evidence,
        until: Option<&EventId>,
        judged: &Judgement,
        words: &Words,
    ) -> Self {
        let (service, told) = (&evidence.target, Clauses { evidence, words });
        let (verdict, set, contradicted, no_set_left, holds) = match &judged.verdict {
            Verdict::Identified { set, holds } => {
                (VerdictName::Identified, Some(set.clone()), &[][..], false, holds.as_slice())
            }
            Verdict::Contradicted { claims, no_set_left } => {
                (VerdictName::Contradicted, None, claims.as_slice(), *no_set_left, &[][..])
            }
            Verdict::Unsettled => (VerdictName::Unsettled, None, &[][..], false, &[][..]),
        };
        let premises: Vec<PremisesForm> = judged
            .premises
            .iter()
            .map(|(stay, verdict)| PremisesForm::new(stay, verdict, judged, told))
            .collect();
        let of_stays = premises.iter().filter_map(|stay| stay.doubt.clone());
        let of_sets = judged.reasons.doubts.iter().map(|doubt| doubt_of_set(doubt, told));
        Self {
            service: service.clone(),
            until: until.cloned(),
            verdict,
            sentence: verdict_sentence(service, judged, words),
            set,
            contradicted: contradicted.iter().map(|row| ClaimForm::new(row, words)).collect(),
            no_set_left,
            doubts: of_stays.chain(of_sets).collect(),
            still_excluded: holds.iter().map(|one| StillExcludedForm::new(one, told)).collect(),
            premises,
            candidates: judged
                .candidates
                .iter()
                .map(|row| CandidateForm::new(row, service, judged, told))
                .collect(),
            ledger: judged.ledger.iter().map(|row| ClaimForm::new(row, words)).collect(),
            explanations: ExplanationsForm::new(&judged.explanations, words),
            settling_tests: judged
                .settling
                .iter()
                .map(|test| SettlingTestForm::new(test, words))
                .collect(),
            idle: judged
                .idle
                .iter()
                .map(|(id, why)| IdleForm::new(id, *why, judged.pointers.get(id), words))
                .collect(),
        }
    }
}

/// The verdict in words.
pub fn verdict_sentence(service: &AssetId, judged: &Judgement, words: &Words) -> Sentence {
    match &judged.verdict {
        Verdict::Identified { set, .. } => {
            words.say("verdict-identified", &[("set", &name(set)), ("service", service.as_str())])
        }
        Verdict::Contradicted { .. } => words.plain("verdict-contradicted"),
        Verdict::Unsettled => {
            let seen = judged
                .candidates
                .iter()
                .filter(|row| row.candidate != Candidate::Elsewhere && row.excluded_by.is_empty());
            match seen.count() {
                0 => words.plain("verdict-no-set-seen"),
                count => words.say("verdict-unsettled", &[("count", &count.to_string())]),
            }
        }
    }
}

/// What a test asks to be done, in words.
pub fn test_sentence(test: &Test, words: &Words) -> Sentence {
    match test {
        Test::SearchPad { pad }
        | Test::BareSteps { pad }
        | Test::Tone { pad }
        | Test::ReadMarkers { pad } => words.say(test.id(), &[("pad", pad.as_str())]),
        Test::LoadStep { set, by, leg, outlet } => {
            let by = words.plain(match by {
                By::Mark => "by-mark",
                By::Position => "by-position",
            });
            let (set, leg) = (name(set), leg.to_string());
            let outlet = outlet.as_ref().map_or_else(
                || words.plain("outlet-any").text,
                |outlet| words.say("outlet-again", &[("outlet", outlet)]).text,
            );
            let places =
                [("set", set.as_str()), ("by", &by.text), ("leg", &leg), ("outlet", &outlet)];
            words.say(test.id(), &places)
        }
        _ => words.plain(test.id()),
    }
}

/// What a test asks to be done, and by how much the clamp's amps change where the load is.
fn instruction(test: &SettlingTest, words: &Words) -> Sentence {
    let asked = test_sentence(&test.test, words);
    let Some(expected) = &test.expected else { return asked };
    let (least, most) = (expected.least_amps.to_string(), expected.most_amps.to_string());
    let told = words.say("expect-change", &[("least", &least), ("most", &most)]);
    Sentence {
        id: asked.id,
        text: format!("{} {}", asked.text, told.text),
        spoken: format!("{} {}", asked.spoken, told.spoken),
    }
}

/// A set as people name it: pad and lug position.
pub fn name(set: &SetAt) -> String {
    format!("{} position {}", set.pad, set.position)
}

/// A claim of the record in words.
pub fn claim_sentence(claim: &Claim, words: &Words) -> String {
    let id = claim.id();
    let said = match claim {
        Claim::Feeds { service, set } => {
            words.say(id, &[("set", &name(set)), ("service", service.as_str())])
        }
        Claim::MeterNumber { service, numbers } => {
            words.say(id, &[("service", service.as_str()), ("numbers", &numbers.join(", "))])
        }
        Claim::Conductor { set, metal, size } => {
            let metal = words.plain(match metal {
                crate::plant::Metal::Al => "metal-al",
                crate::plant::Metal::Cu => "metal-cu",
            });
            words.say(id, &[("set", &name(set)), ("metal", &metal.text), ("size", size)])
        }
        Claim::SetCount { pad, count } => {
            words.say(id, &[("pad", pad.as_str()), ("count", &count.to_string())])
        }
        Claim::Tag { pad, tag } => words.say(id, &[("pad", pad.as_str()), ("tag", tag)]),
        Claim::Place { pad } => words.say(id, &[("pad", pad.as_str())]),
    };
    said.text
}

impl ClaimForm {
    fn new(row: &LedgerRow, words: &Words) -> Self {
        Self {
            claim: row.claim.id().to_owned(),
            sentence: claim_sentence(&row.claim, words),
            standing: row.standing.id().to_owned(),
            sightings: row.sightings.clone(),
        }
    }
}

impl StillExcludedForm {
    fn new(holds: &StillExcluded, told: Clauses<'_>) -> Self {
        let nothing = || told.words.plain("cause-none").text;
        Self {
            sentence: holds.without.as_ref().map_or_else(nothing, |cause| told.clause(cause)),
            without: holds.without.clone(),
            cause: holds.without.as_ref().map_or_else(|| "none".to_owned(), ToString::to_string),
            sightings: holds.by.clone(),
        }
    }
}

impl PremisesForm {
    fn new(
        stay: &StayId,
        verdict: &PremisesVerdict,
        judged: &Judgement,
        told: Clauses<'_>,
    ) -> Self {
        let (identified, named, undone_by) = match verdict {
            PremisesVerdict::Identified { service } => {
                (Some(service.clone()), BTreeSet::new(), Vec::new())
            }
            PremisesVerdict::Unsettled { named, hole } => (None, named.clone(), hole.clone()),
        };
        let reasons = reasons_of_stay(stay, &judged.reasons, told);
        let open = identified.is_none() && !reasons.is_empty();
        let doubt = open.then(|| doubt_of_stay(stay, !named.is_empty(), &undone_by, told));
        Self { stay: stay.clone(), identified, named, undone_by, doubt, reasons }
    }
}

impl CandidateForm {
    fn new(row: &CandidateRow, service: &AssetId, judged: &Judgement, told: Clauses<'_>) -> Self {
        let set = match &row.candidate {
            Candidate::Set(set) => Some(set.clone()),
            Candidate::Elsewhere => None,
        };
        Self {
            set,
            possible: row.excluded_by.is_empty(),
            excluded_by: row.excluded_by.clone(),
            reasons: reasons_of(&row.candidate, service, &judged.reasons, told),
        }
    }
}

impl SettlingTestForm {
    fn new(test: &SettlingTest, words: &Words) -> Self {
        Self {
            test: test.test.id().to_owned(),
            sentence: instruction(test, words),
            outcomes: test.test.outcomes().iter().map(|id| words.plain(id).text).collect(),
            steps_left: test.steps_left,
            exposure: test.exposure,
            minutes: test.minutes,
        }
    }
}

impl IdleForm {
    fn new(sighting: &SightingId, why: Idle, points: Option<&Pointer>, words: &Words) -> Self {
        let mut sentence = words.plain(why.id()).text;
        if let Some(points) = points {
            sentence = format!("{sentence} {}", pointer_sentence(points, words));
        }
        Self { sighting: sighting.clone(), reason: why.id().to_owned(), sentence }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        mapsheet::fixture::{features, plant_of},
        reconcile::judge,
        rule_sheet::RuleSheet,
        sighting::{Evidence, MarkedSet, Marks},
    };

    #[test]
    fn sets_are_counted_once_some_are_marked() {
        let (plant, words) = (plant_of(&features()), Words::english().unwrap());
        let target = AssetId::new("P1V2").unwrap();
        let mut evidence = Evidence::new(target.clone());
        let said = |evidence: &Evidence| {
            let judged = judge(&plant, &RuleSheet::default(), evidence);
            verdict_sentence(&target, &judged, &words)
        };
        assert_eq!(said(&evidence).id, "verdict-no-set-seen");
        let set =
            |mark: &str, position: &str| MarkedSet { mark: mark.into(), position: position.into() };
        evidence.put_marks(Marks {
            id: "m-1".try_into().unwrap(),
            pad: AssetId::new("P1").unwrap(),
            sets: vec![set("A", "1"), set("B", "2")],
        });
        let counted = said(&evidence);
        assert_eq!(counted.id, "verdict-unsettled");
        assert!(counted.text.contains('2'), "{}", counted.text);
    }
}
