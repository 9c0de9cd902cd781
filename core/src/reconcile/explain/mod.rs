//! What contradicts the record, explained by the fewest false claims.
//!
//! Everything the field says against the record is a [`Finding`]. A [`FalseClaim`] changes the record
//! as the truth would have it: with the tags of two pads swapped, the one carries the other's. An
//! [`Explanation`] is a smallest set of false claims with which the record, so changed, has nothing
//! said against it: neither what was found, nor anything that was seen and agreed before. Those with
//! the fewest claims come first, then those whose claims fail oftener, then by name. Each says which
//! sighting would confirm it.
//!
//! An explanation excludes no candidate and supports none. It tells a crew where to look, and the
//! desk what to correct once that is settled. It takes the sightings as true: what one person, clamp
//! or run may have made false is the rule's business.
//!
//! Only the neighbourhood is looked at: pads that the evidence names, the target's, and those next
//! to them along the cable.

mod claim;
mod compare;
mod confirm;
mod facts;
mod finding;
mod near;
mod propose;
mod search;
mod slot;
mod tags;
#[cfg(test)]
mod tests;
mod view;

use std::{
    cmp::Reverse,
    collections::{BTreeMap, BTreeSet},
};

pub use claim::FalseClaim;
pub use confirm::Confirm;
pub use finding::{Contradiction, Finding};

use super::{judge::Found, ledger::claimed_set};
use crate::{
    plant::Plant,
    quantity::SightingId,
    rule_sheet::RuleSheet,
    sighting::{Drawn, Evidence},
};
use compare::{All, contradictions};
use facts::Facts;
use near::Near;
use view::View;

/// One false claim of an explanation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explaining {
    /// The claim.
    pub claim: FalseClaim,
    /// What it explains by itself, and what stays unexplained without it.
    pub explains: BTreeSet<Contradiction>,
    /// What would confirm it.
    pub confirm: Confirm,
}

/// A smallest set of false claims that explains what was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explanation {
    /// From one on; the same for those that claims and their rates do not tell apart.
    pub rank: usize,
    /// The claims.
    pub claims: Vec<Explaining>,
    /// What it leaves unexplained: empty, unless nothing explains everything.
    pub leaves: BTreeSet<Contradiction>,
}

/// A false claim by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hypothesis {
    /// The claim.
    pub claim: FalseClaim,
    /// What it explains.
    pub explains: BTreeSet<Contradiction>,
    /// Sightings that speak against it: they agree with the record as it is.
    pub against: BTreeSet<SightingId>,
}

/// What contradicts the record, and why that may be.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Explanations {
    /// What the field says against the record; empty: nothing, and nothing needs explaining.
    pub findings: Vec<Finding>,
    /// Every claim that would explain some of it.
    pub hypotheses: Vec<Hypothesis>,
    /// All explanations, best first. Where no set of up to [`Explanations::MOST_CLAIMS`] claims explains
    /// everything, the single claims that explain most.
    pub explanations: Vec<Explanation>,
}

impl Explanations {
    /// Most claims in one explanation.
    pub const MOST_CLAIMS: usize = search::MOST_CLAIMS;

    /// Whether something is said against the record that no explanation covers.
    pub fn falls_short(&self) -> bool {
        !self.findings.is_empty()
            && self.explanations.first().is_none_or(|first| !first.leaves.is_empty())
    }
}

/// Explains what contradicts the record.
pub(crate) fn explain(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
    drawn: &Drawn,
    found: &Found,
) -> Explanations {
    let mut pads = facts::pads_named(evidence, drawn);
    pads.extend(claimed_set(plant, &evidence.target).map(|set| set.pad));
    let near = Near::named(plant, &pads, &facts::services_named(evidence, drawn));
    let seen = Facts::of(&near, rules, evidence, drawn, found);
    if contradictions(View { near: &near, facts: &seen, falsified: &[] }).is_empty() {
        return Explanations::default();
    }
    let near = near.whole();
    let seen = Facts::of(&near, rules, evidence, drawn, found);
    let base = contradictions(View { near: &near, facts: &seen, falsified: &[] });
    of_contradictions(&near, &seen, &base)
}

fn of_contradictions<'a>(near: &'a Near<'a>, facts: &'a Facts<'a>, base: &All<'a>) -> Explanations {
    let findings: Vec<Finding> = base
        .iter()
        .map(|(what, raised)| Finding {
            what: what.clone(),
            sightings: raised.sightings.iter().map(|&id| id.clone()).collect(),
        })
        .collect();
    let all: BTreeSet<Contradiction> = base.keys().cloned().collect();
    let claims = search::proposals(near, facts, base);
    let hypotheses = hypotheses(near, facts, base, &claims);
    let proposed = search::proposed(near, &claims);
    let mut explanations: Vec<Explanation> = search::smallest(near, facts, &proposed)
        .iter()
        .map(|chosen| {
            let claims = search::claims(&proposed, chosen);
            let explains = search::shares(near, facts, &claims, &all);
            let claims = claims.into_iter().zip(explains);
            let claims = claims.map(|(claim, explains)| Explaining {
                claim: claim.clone(),
                explains,
                confirm: confirm::confirm(near, facts, claim),
            });
            Explanation { rank: 0, claims: claims.collect(), leaves: BTreeSet::new() }
        })
        .collect();
    if explanations.is_empty() {
        explanations = most_by_one(near, facts, &hypotheses, &all);
    }
    rank(&mut explanations);
    Explanations { findings, hypotheses, explanations }
}

/// What each claim would explain by itself, and what speaks against it.
fn hypotheses<'a>(
    near: &'a Near<'a>,
    facts: &'a Facts<'a>,
    base: &All<'a>,
    claims: &'a BTreeSet<FalseClaim>,
) -> Vec<Hypothesis> {
    let mut hypotheses: Vec<Hypothesis> = claims
        .iter()
        .map(|claim| {
            let falsified = [claim];
            let left = contradictions(View { near, facts, falsified: &falsified });
            let explains = base.keys().filter(|what| !left.contains_key(what)).cloned().collect();
            let before: BTreeMap<&Contradiction, _> = base.iter().collect();
            let against = left.iter().flat_map(|(what, raised)| {
                let known = before.get(what).map(|raised| &raised.sightings);
                raised
                    .sightings
                    .iter()
                    .filter(move |id| known.is_none_or(|known| !known.contains(*id)))
            });
            let against = against.map(|&id| id.clone()).collect();
            Hypothesis { claim: claim.clone(), explains, against }
        })
        .filter(|hypothesis| !hypothesis.explains.is_empty())
        .collect();
    hypotheses.sort_by_key(|hypothesis| {
        (Reverse(hypothesis.explains.len()), hypothesis.against.len(), hypothesis.claim.clone())
    });
    hypotheses
}

/// The single claims that explain most of what nothing explains whole, with nothing against them.
fn most_by_one(
    near: &Near<'_>,
    facts: &Facts<'_>,
    hypotheses: &[Hypothesis],
    all: &BTreeSet<Contradiction>,
) -> Vec<Explanation> {
    let sound = || hypotheses.iter().filter(|hypothesis| hypothesis.against.is_empty());
    let most = sound().map(|hypothesis| hypothesis.explains.len()).max();
    sound()
        .filter(|hypothesis| Some(hypothesis.explains.len()) == most)
        .map(|hypothesis| Explanation {
            rank: 0,
            claims: vec![Explaining {
                claim: hypothesis.claim.clone(),
                explains: hypothesis.explains.clone(),
                confirm: confirm::confirm(near, facts, &hypothesis.claim),
            }],
            leaves: all.difference(&hypothesis.explains).cloned().collect(),
        })
        .collect()
}

/// Fewest claims first, then by how often such claims fail, then by name.
fn rank(all: &mut [Explanation]) {
    let cost = |one: &Explanation| {
        let often = one.claims.iter().map(|one| u128::from(one.claim.per_million())).product();
        (one.claims.len(), Reverse::<u128>(often))
    };
    let names = |one: &Explanation| -> Vec<FalseClaim> {
        one.claims.iter().map(|one| one.claim.clone()).collect()
    };
    all.sort_by_cached_key(|one| (cost(one), names(one)));
    let (mut rank, mut last) = (0, None);
    for one in all {
        let cost = cost(one);
        if last != Some(cost) {
            rank += 1;
            last = Some(cost);
        }
        one.rank = rank;
    }
}
