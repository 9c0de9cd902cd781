//! The search against trying every set of claims, on whatever a crew may note.

use proptest::prelude::*;

use super::*;
use crate::reconcile::explain::{
    search::{Proposed, claims, proposals, proposed, smallest},
    view::View,
};

/// Pads P1 (three sets), P2 (two) and P3 (one); two of the sets are copper.
fn plant() -> Plant {
    let mut features = fixture::changed("P1-set2", "metal", "cu".into());
    let other = features.iter_mut().find(|f| f["properties"]["id"] == "P2-set1").unwrap();
    other["properties"]["metal"] = "cu".into();
    fixture::plant_of(&features)
}

/// One thing noted, drawn from three small numbers.
fn noted(case: Case, (what, which, how): (u8, u8, u8)) -> Case {
    const PADS: [&str; 3] = ["P1", "P2", "P3"];
    const TAGS: [&str; 4] = ["T-P1", "T-P2", "T-P3", "Q-777"];
    let of = |list: &[&'static str], n: u8| list[usize::from(n) % list.len()];
    let (pad, other) = (of(&PADS, which), of(&PADS, how));
    let position = of(&["1", "2", "3"], how);
    let metal = if which.is_multiple_of(2) { Metal::Al } else { Metal::Cu };
    match what % 9 {
        0 => case.tag(pad, of(&TAGS, how)),
        1 => case.fix(pad, other),
        2 => case.count(pad, u16::from(how % 4) + 1),
        3 => case.lug(pad, position, metal),
        4 => case.base("stay", metal),
        5 => case.seen(pad, position),
        6 => case.flat(pad, position),
        7 => case.set("stay", at(pad, position), Ground::LoadedMeterOut),
        _ => {
            let owner = of(&["P1V1", "P1V2", "P2V1"], how);
            case.number("stay", "as read", Some(owner))
        }
    }
}

fn case(notes: &[(u8, u8, u8)], settled: bool) -> Case {
    let case = Case::on(plant());
    let case = if settled { case.stay("stay", "P1V1") } else { case };
    notes.iter().fold(case, |case, &note| noted(case, note))
}

/// Every set of up to `most` proposed claims that go together and leave nothing, none of them holding
/// another.
fn by_trying_all<'a>(
    near: &'a Near<'a>,
    facts: &'a Facts<'a>,
    all: &'a [Proposed<'a>],
    most: usize,
) -> BTreeSet<BTreeSet<usize>> {
    let mut found: BTreeSet<BTreeSet<usize>> = BTreeSet::new();
    let mut level = BTreeSet::from([BTreeSet::new()]);
    for size in 0..=most {
        let mut next = BTreeSet::new();
        for chosen in level {
            if found.iter().any(|smaller| smaller.is_subset(&chosen)) {
                continue;
            }
            let falsified = claims(all, &chosen);
            if contradictions(View { near, facts, falsified: &falsified }).is_empty() {
                found.insert(chosen);
            } else if size < most {
                for (at, one) in all.iter().enumerate() {
                    if chosen.iter().all(|&other| at != other && one.goes_with(&all[other])) {
                        next.insert(chosen.iter().copied().chain([at]).collect());
                    }
                }
            }
        }
        level = next;
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    /// No smallest set is missed, and none that is given is not one.
    #[test]
    fn the_search_finds_what_trying_every_set_finds(
        notes in proptest::collection::vec(any::<(u8, u8, u8)>(), 1..6), settled in any::<bool>(),
    ) {
        let case = case(&notes, settled);
        let rules = RuleSheet::default();
        let pads = ["P1", "P2", "P3"].map(id).into();
        let near = Near::named(&case.plant, &pads, &[id("P1V1")].into()).whole();
        let facts = Facts::of(&near, &rules, &case.evidence, &case.drawn, &case.found);
        let base = contradictions(View { near: &near, facts: &facts, falsified: &[] });
        let claims = proposals(&near, &facts, &base);
        let all = proposed(&near, &claims);
        let most = if all.len() > 18 { 2 } else { MOST };
        let searched: BTreeSet<BTreeSet<usize>> = smallest(&near, &facts, &all)
            .into_iter()
            .filter(|chosen| chosen.len() <= most)
            .collect();
        prop_assert_eq!(searched, by_trying_all(&near, &facts, &all, most));
    }

    /// What is handed on explains everything or says what it leaves, fewest claims first, and comes
    /// out the same again.
    #[test]
    fn explanations_are_whole_smallest_and_in_their_order(
        notes in proptest::collection::vec(any::<(u8, u8, u8)>(), 0..7), settled in any::<bool>(),
    ) {
        let case = case(&notes, settled);
        let explained = case.explained();
        prop_assert_eq!(&explained, &case.explained());
        let findings: BTreeSet<&Contradiction> =
            explained.findings.iter().map(|finding| &finding.what).collect();
        let short = explained.falls_short();
        let mut sets: Vec<BTreeSet<&FalseClaim>> = Vec::new();
        let mut last = (0, 0);
        for one in &explained.explanations {
            let explains: BTreeSet<&Contradiction> =
                one.claims.iter().flat_map(|claim| &claim.explains).collect();
            let left: BTreeSet<&Contradiction> = one.leaves.iter().collect();
            let both: BTreeSet<&Contradiction> = explains.union(&left).copied().collect();
            prop_assert_eq!(&both, &findings);
            prop_assert_eq!(left.is_empty(), !short);
            let set: BTreeSet<&FalseClaim> = one.claims.iter().map(|one| &one.claim).collect();
            prop_assert!(set.len() <= MOST && set.len() == one.claims.len());
            prop_assert!(sets.iter().all(|other| !other.is_subset(&set) && !set.is_subset(other)));
            prop_assert!((set.len(), one.rank) >= last, "{:?}", explained);
            last = (set.len(), one.rank);
            sets.push(set);
        }
    }
}

const MOST: usize = Explanations::MOST_CLAIMS;
