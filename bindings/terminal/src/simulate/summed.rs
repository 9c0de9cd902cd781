//! From the sums of a run to its form.

use std::collections::BTreeMap;

use coldlug_core::gate::EDITION;

use super::{
    arm::{Arm, named},
    form::{
        AblationForm, BinForm, CaughtForm, CountsForm, FaultForm, KeyingForm, PairsForm,
        PolicyForm, ReasonForm, SimulationForm, ToleranceForm,
    },
    progress::{ArmTally, Progress},
    run::Run,
    spec::Policy,
    tally::{Caught, Tally},
};

/// The form of what has been played.
pub(crate) fn form(run: &Run, progress: &Progress) -> SimulationForm {
    let arms: Vec<(Arm, &ArmTally)> = run.arms.iter().copied().zip(progress.arms()).collect();
    let whole = arms.first().map(|(arm, _)| Arm { policy: Policy::Coldlug, ..*arm });
    let ours = arms.iter().find(|(arm, _)| Some(*arm) == whole).map(|(_, tally)| *tally);
    let all = ours.map(ArmTally::sum).unwrap_or_default();
    let any = arms.first().map(|(_, tally)| tally.sum()).unwrap_or_default();
    SimulationForm {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        rules_edition: EDITION.to_owned(),
        seed: run.seed,
        first_job: run.first,
        jobs: progress.played(run),
        faults: run.course.named().to_owned(),
        policies: policies(run, &arms, whole),
        unsolvable: reasons(&any.unsolvable),
        caught_by: caught(&all.caught_by),
        stopped: reasons(&all.stopped),
        pairs: ours.filter(|_| run.course.named() == "pairs").map(|ours| pairs(run, ours)),
        tolerances: tolerances(&arms, whole),
        keyings: keyings(&arms, whole),
        ablation: ablation(&arms, whole, &all),
    }
}

/// The arms that differ from the whole rule in the policy alone.
fn policies(run: &Run, arms: &[(Arm, &ArmTally)], whole: Option<Arm>) -> Vec<PolicyForm> {
    arms.iter()
        .filter(|(arm, _)| Some(Arm { policy: Policy::Coldlug, ..*arm }) == whole)
        .map(|(arm, tally)| policy(run, *arm, tally))
        .collect()
}

fn policy(run: &Run, arm: Arm, tally: &ArmTally) -> PolicyForm {
    let all = tally.sum();
    let on_wrong_map = tally.on_wrong_map();
    let by_fault = (0..run.course.len()).map(|item| {
        let tally = tally.item(item);
        FaultForm {
            fault: run.course.name(item),
            counts: CountsForm::new(&tally),
            caught_by: caught(&tally.caught_by),
        }
    });
    PolicyForm {
        name: arm.policy.id().to_owned(),
        counts: CountsForm::new(&all),
        on_wrong_map: (on_wrong_map.jobs > 0).then(|| CountsForm::new(&on_wrong_map)),
        by_fault: by_fault.collect(),
        tests: all.tests.bins().map(|(tests, jobs)| BinForm { tests, jobs }).collect(),
    }
}

/// Most jobs first; ties by name.
fn reasons(by_reason: &BTreeMap<String, u64>) -> Vec<ReasonForm> {
    let mut reasons: Vec<ReasonForm> = by_reason
        .iter()
        .map(|(reason, &jobs)| ReasonForm { reason: reason.clone(), jobs })
        .collect();
    reasons.sort_by_key(|row| std::cmp::Reverse(row.jobs));
    reasons
}

fn caught(by_rule: &BTreeMap<String, Caught>) -> Vec<CaughtForm> {
    let mut rules: Vec<CaughtForm> = by_rule
        .iter()
        .map(|(rule, caught)| CaughtForm {
            rule: rule.clone(),
            jobs: caught.jobs,
            refusals: caught.refusals,
        })
        .collect();
    rules.sort_by_key(|row| std::cmp::Reverse(row.jobs));
    rules
}

fn pairs(run: &Run, ours: &ArmTally) -> PairsForm {
    let beyond = |item| run.course.is_beyond_the_rule(item);
    PairsForm {
        two_of_the_premises: CountsForm::new(&ours.of_items(beyond)),
        others: CountsForm::new(&ours.of_items(|item| !beyond(item))),
    }
}

/// The arms that differ from the whole rule in one thing, which `put` takes from the arm; none
/// where there is nothing to compare.
fn compared<T>(
    arms: &[(Arm, &ArmTally)],
    whole: Option<Arm>,
    put: impl Fn(Arm, Arm) -> Arm,
    row: impl Fn(Arm, CountsForm) -> T,
) -> Vec<T> {
    let Some(whole) = whole else { return Vec::new() };
    let rows: Vec<T> = arms
        .iter()
        .filter(|(arm, _)| put(whole, *arm) == *arm)
        .map(|(arm, tally)| row(*arm, CountsForm::new(&tally.sum())))
        .collect();
    if rows.len() > 1 { rows } else { Vec::new() }
}

fn tolerances(arms: &[(Arm, &ArmTally)], whole: Option<Arm>) -> Vec<ToleranceForm> {
    let put = |whole, arm: Arm| Arm { tolerated: arm.tolerated, ..whole };
    let mut rows = compared(arms, whole, put, |arm, counts| ToleranceForm {
        tolerated_false_causes: arm.tolerated,
        counts,
    });
    rows.sort_by_key(|row| row.tolerated_false_causes);
    rows
}

fn keyings(arms: &[(Arm, &ArmTally)], whole: Option<Arm>) -> Vec<KeyingForm> {
    let put = |whole, arm: Arm| Arm { keys: arm.keys, ..whole };
    compared(arms, whole, put, |arm, counts| KeyingForm { keys: arm.keys.id().to_owned(), counts })
}

fn ablation(arms: &[(Arm, &ArmTally)], whole: Option<Arm>, all: &Tally) -> Vec<AblationForm> {
    let Some(whole) = whole else { return Vec::new() };
    let rows = arms.iter().filter_map(|(arm, tally)| {
        let condition = arm.without.filter(|_| Arm { without: None, ..*arm } == whole)?;
        let tally = tally.sum();
        let more = |theirs: u64, ours: u64| theirs.saturating_sub(ours);
        Some(AblationForm {
            condition: named(condition),
            lets_through: more(tally.wrong, all.wrong) + more(tally.false_dead, all.false_dead),
            counts: CountsForm::new(&tally),
        })
    });
    rows.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulate::{
        failure::Keep,
        run::invented::{Chance, run},
        spec::Keying,
    };

    fn played(run: &Run) -> SimulationForm {
        let mut progress = Progress::new(run);
        run.carry_on(&Chance, &mut progress, &Keep::nowhere(), |_| Ok(())).unwrap();
        form(run, &progress)
    }

    #[test]
    fn every_arm_lands_where_it_belongs() {
        let mut run = run(3000, "single");
        let whole = Arm::whole(1, Keying::OneSize);
        run.arms.push(Arm::whole(0, Keying::OneSize));
        run.arms.push(Arm::whole(1, Keying::EverySlot));
        let form = played(&run);
        let names: Vec<&str> = form.policies.iter().map(|policy| policy.name.as_str()).collect();
        assert_eq!(names, ["coldlug", "map_only"]);
        let tolerances: Vec<u32> =
            form.tolerances.iter().map(|row| row.tolerated_false_causes).collect();
        assert_eq!(tolerances, [0, 1]);
        let keys: Vec<&str> = form.keyings.iter().map(|row| row.keys.as_str()).collect();
        assert_eq!(keys, ["one-size", "every-slot"]);
        assert!(form.ablation.is_empty() && form.pairs.is_none());
        assert_eq!(run.arms.first(), Some(&whole));
    }

    #[test]
    fn the_parts_add_up_to_the_whole() {
        let form = played(&run(3000, "single"));
        for policy in &form.policies {
            let sum = |of: fn(&CountsForm) -> u64| -> u64 {
                policy.by_fault.iter().map(|fault| of(&fault.counts)).sum()
            };
            let counts = &policy.counts;
            assert_eq!(sum(|c| c.jobs), counts.jobs);
            assert_eq!(sum(|c| c.finished), counts.finished);
            assert_eq!(sum(|c| c.wrong_service_openings), counts.wrong_service_openings);
            assert_eq!(policy.tests.iter().map(|bin| bin.jobs).sum::<u64>(), counts.finished);
        }
        let unsolvable: u64 = form.unsolvable.iter().map(|row| row.jobs).sum();
        let ours = &form.policies[0].counts;
        assert_eq!(unsolvable, ours.jobs - ours.solvable);
    }

    #[test]
    fn pairs_are_told_apart_by_what_the_rule_promises() {
        let form = played(&run(2000, "pairs"));
        let pairs = form.pairs.unwrap();
        assert!(pairs.two_of_the_premises.jobs > 0);
        assert_eq!(pairs.two_of_the_premises.jobs + pairs.others.jobs, 2000);
    }
}
