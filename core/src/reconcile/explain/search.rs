//! The smallest sets of false claims that leave no contradiction.
//!
//! A contradiction names the parts of the record on which it rests; as long as none of them changes
//! it stays. So every set of claims that leaves nothing has, for each contradiction that is left after
//! some of its claims, another claim that changes such a part. The search takes one contradiction that
//! is left, tries every claim that changes a part of it, and goes on from there, fewest claims first:
//! it misses no set of up to [`MOST_CLAIMS`] of the proposed claims. (Minimal diagnoses as minimal hitting
//! sets: R. Reiter, A theory of diagnosis from first principles, 1987.)

use std::collections::BTreeSet;

use super::{
    claim::FalseClaim,
    compare::{All, consistent, contradictions},
    facts::Facts,
    finding::Contradiction,
    near::Near,
    propose::propose,
    slot::Slot,
    view::{View, touches},
};

/// Most false claims in one explanation. Ours: with four or more nobody should believe the map.
pub(super) const MOST_CLAIMS: usize = 3;

/// A claim with what it changes and bears on.
pub(super) struct Proposed<'a> {
    pub(super) claim: &'a FalseClaim,
    changes: Vec<Slot<'a>>,
    touches: Vec<Slot<'a>>,
}

impl Proposed<'_> {
    fn bears_on(&self, rests: &BTreeSet<Slot<'_>>) -> bool {
        self.touches.iter().any(|slot| rests.contains(slot))
    }

    /// Whether both can be false in one explanation: no part of the record is changed twice.
    pub(super) fn goes_with(&self, other: &Self) -> bool {
        !self.changes.iter().any(|slot| other.changes.contains(slot))
    }
}

/// Every claim that bears on what contradicts the record, or on what would if such a claim were
/// false.
pub(super) fn proposals<'a>(
    near: &'a Near<'a>,
    facts: &'a Facts<'a>,
    base: &All<'a>,
) -> BTreeSet<FalseClaim> {
    let mut first = BTreeSet::new();
    let record = View { near, facts, falsified: &[] };
    for what in base.keys() {
        propose(record, what, &mut first);
    }
    let mut all = first.clone();
    for claim in &first {
        let falsified = [claim];
        let view = View { near, facts, falsified: &falsified };
        for what in contradictions(view).keys().filter(|what| !base.contains_key(what)) {
            propose(view, what, &mut all);
        }
    }
    all
}

/// The claims with what they change.
pub(super) fn proposed<'a>(
    near: &'a Near<'a>,
    claims: &'a BTreeSet<FalseClaim>,
) -> Vec<Proposed<'a>> {
    claims
        .iter()
        .map(|claim| Proposed { claim, changes: claim.changes(), touches: touches(near, claim) })
        .collect()
}

/// Every smallest set of up to [`MOST_CLAIMS`] proposed claims that leaves no contradiction, by
/// their places among the proposed, fewest first.
pub(super) fn smallest<'a>(
    near: &'a Near<'a>,
    facts: &'a Facts<'a>,
    proposed: &'a [Proposed<'a>],
) -> Vec<BTreeSet<usize>> {
    let mut found: Vec<BTreeSet<usize>> = Vec::new();
    let mut level: BTreeSet<BTreeSet<usize>> = BTreeSet::from([BTreeSet::new()]);
    for size in 0..=MOST_CLAIMS {
        let mut next = BTreeSet::new();
        for chosen in level {
            if found.iter().any(|smaller| smaller.is_subset(&chosen)) {
                continue;
            }
            let claims = claims(proposed, &chosen);
            let view = View { near, facts, falsified: &claims };
            if size == MOST_CLAIMS {
                if consistent(view) {
                    found.push(chosen);
                }
                continue;
            }
            let left = contradictions(view);
            if left.is_empty() {
                found.push(chosen);
            } else {
                next.extend(branches(proposed, &chosen, &left));
            }
        }
        level = next;
    }
    found
}

/// The sets one claim larger that change a part of the contradiction with the fewest such claims; and
/// a part of every contradiction, where no further claim may follow.
fn branches(
    proposed: &[Proposed<'_>],
    chosen: &BTreeSet<usize>,
    left: &All<'_>,
) -> Vec<BTreeSet<usize>> {
    let fits = |one: &Proposed<'_>| {
        chosen.iter().filter_map(|&at| proposed.get(at)).all(|other| one.goes_with(other))
    };
    let may: Vec<(usize, &Proposed<'_>)> =
        proposed.iter().enumerate().filter(|(_, one)| fits(one)).collect();
    let on = |rests: &BTreeSet<Slot<'_>>| -> Vec<usize> {
        may.iter().filter(|(_, one)| one.bears_on(rests)).map(|(at, _)| *at).collect()
    };
    let each: Vec<Vec<usize>> = left.values().map(|raised| on(&raised.rests)).collect();
    let last = chosen.len() + 1 == MOST_CLAIMS;
    let all = |at: &usize| !last || each.iter().all(|claims| claims.contains(at));
    let fewest = each.iter().min_by_key(|claims| claims.len());
    fewest
        .into_iter()
        .flatten()
        .copied()
        .filter(all)
        .map(|at| chosen.iter().copied().chain([at]).collect())
        .collect()
}

/// The claims at these places.
pub(super) fn claims<'a>(
    proposed: &[Proposed<'a>],
    chosen: &BTreeSet<usize>,
) -> Vec<&'a FalseClaim> {
    chosen.iter().filter_map(|&at| proposed.get(at)).map(|one| one.claim).collect()
}

/// What each claim of an explanation explains: what goes with it alone, and what comes back without
/// it.
pub(super) fn shares(
    near: &Near<'_>,
    facts: &Facts<'_>,
    explanation: &[&FalseClaim],
    base: &BTreeSet<Contradiction>,
) -> Vec<BTreeSet<Contradiction>> {
    (0..explanation.len())
        .map(|at| {
            let (mut this, mut others) = (Vec::new(), Vec::new());
            for (i, &claim) in explanation.iter().enumerate() {
                if i == at { &mut this } else { &mut others }.push(claim);
            }
            let with = contradictions(View { near, facts, falsified: &this });
            let without = contradictions(View { near, facts, falsified: &others });
            let explains =
                |what: &&Contradiction| !with.contains_key(*what) || without.contains_key(*what);
            base.iter().filter(explains).cloned().collect()
        })
        .collect()
}
