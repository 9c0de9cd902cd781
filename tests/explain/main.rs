//! Explanations against made-up fields whose record has one mistake: the true mistake is among those
//! with the fewest false claims, mostly first; and a record changed as an explanation says has none
//! of what was found against it.
//!
//! `COLDLUG_WORLDS` says how many fields are tried for each kind of mistake (default 40).

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a job that cannot be set up is to stop the test, and small counts are cast"
)]

mod changed;
mod crew;
mod mistaken;

use coldlug_core::{
    reconcile::{Explanation, Explanations, FalseClaim, judge},
    rule_sheet::RuleSheet,
};
use coldlug_field::mistake::MistakeKind;
use mistaken::{Mistaken, Round, mistaken};

fn worlds() -> u64 {
    std::env::var("COLDLUG_WORLDS").ok().and_then(|n| n.parse().ok()).unwrap_or(40)
}

fn explained(job: &Mistaken) -> Explanations {
    judge(&job.plant, &RuleSheet::default(), &job.evidence).explanations
}

fn is(one: &Explanation, truths: &[FalseClaim]) -> bool {
    matches!(one.claims.as_slice(), [only] if truths.contains(&only.claim))
}

/// How often the true mistake came where.
#[derive(Debug, Default)]
struct Tally {
    jobs: usize,
    /// Alone at the head.
    alone: usize,
    /// At the head, with others that nothing tells apart from it included.
    first: usize,
    /// Among those with as few claims as any.
    fewest: usize,
}

fn tally(kind: MistakeKind, round: Round) -> Tally {
    let mut tally = Tally::default();
    for job in (0..worlds()).filter_map(|seed| mistaken(seed, kind, round)) {
        let explained = explained(&job);
        if explained.findings.is_empty() {
            continue;
        }
        tally.jobs += 1;
        let all = &explained.explanations;
        let fewest = all.first().map(|first| first.claims.len());
        let firsts = all.iter().filter(|one| one.rank == 1);
        let head = firsts.clone().any(|one| is(one, &job.truths));
        let few = all.iter().filter(|one| Some(one.claims.len()) == fewest);
        let among = few.clone().any(|one| is(one, &job.truths));
        tally.alone += usize::from(head && firsts.count() == 1);
        tally.first += usize::from(head);
        tally.fewest += usize::from(among);
        if !among && round != Round::Half {
            println!(
                "{} (by tag: {}): {:?} not among {:?} for {:?}",
                kind.id(),
                job.by_tag,
                job.truths,
                few.map(|one| one.claims.iter().map(|c| &c.claim).collect::<Vec<_>>())
                    .collect::<Vec<_>>(),
                explained.findings.iter().map(|finding| &finding.what).collect::<Vec<_>>(),
            );
        }
    }
    tally
}

#[test]
fn the_true_mistake_is_among_those_with_the_fewest_false_claims() {
    // What was seen decides: with half of it, a crew must go by how often each claim fails.
    for (round, least) in [(Round::Target, 98), (Round::Neighbours, 98), (Round::Half, 90)] {
        let mut all = Tally::default();
        println!("{round:?}: mistake, jobs, alone at the head, at the head, among the fewest");
        for kind in MistakeKind::ALL {
            let tally = tally(kind, round);
            let Tally { jobs, alone, first, fewest } = tally;
            println!("  {}: {jobs}, {alone}, {first}, {fewest}", kind.id());
            all.jobs += jobs;
            all.alone += alone;
            all.first += first;
            all.fewest += fewest;
        }
        println!("  all: {all:?}");
        assert!(all.jobs > 0, "no field with a mistake");
        assert!(all.fewest * 100 >= all.jobs * least, "{round:?}: {all:?}");
    }
}

#[test]
fn a_record_changed_as_an_explanation_says_has_nothing_left_against_it() {
    let (mut tried, mut open) = (0, 0);
    for kind in MistakeKind::ALL {
        for seed in 0..worlds() {
            let Some(job) = mistaken(seed, kind, Round::Neighbours) else { continue };
            if job.by_tag {
                // What the crew called a pad would have to change with the record.
                continue;
            }
            for one in explained(&job).explanations.iter().filter(|one| one.leaves.is_empty()) {
                let mut plant = job.plant.clone();
                let changed = one
                    .claims
                    .iter()
                    .try_for_each(|claim| changed::change(&mut plant, &job.evidence, &claim.claim));
                if changed.is_none() {
                    open += 1;
                    continue;
                }
                tried += 1;
                let left = judge(&plant, &RuleSheet::default(), &job.evidence).explanations;
                assert!(left.findings.is_empty(), "{one:#?} leaves {:#?}", left.findings);
            }
        }
    }
    println!("{tried} changed records with nothing against them; {open} leave open what is true");
    assert!(tried > 0, "no explanation could be tried on the record");
}
