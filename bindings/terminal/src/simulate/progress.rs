//! How far a run has come: the next job, and the sums so far.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{course::Place, failure::Failure, run::Run, spec::Outcome, tally::Tally};

/// How far a run has come.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Progress {
    /// The next job to play.
    pub(crate) next: u64,
    /// By arm.
    arms: Vec<ArmTally>,
    /// Failures of the first arm so far.
    failures: BTreeMap<Failure, u64>,
}

/// The sums of one arm.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ArmTally {
    /// By item of the course, on a map that is right but for the item itself.
    plain: Vec<Tally>,
    /// The same, on a map that names the wrong set or pad besides.
    wrong_map: Vec<Tally>,
}

impl Progress {
    /// Nothing played yet.
    pub(crate) fn new(run: &Run) -> Self {
        let none = vec![Tally::default(); run.course.len()];
        let arm = ArmTally { plain: none.clone(), wrong_map: none };
        Self { next: run.first, arms: vec![arm; run.arms.len()], failures: BTreeMap::new() }
    }

    /// Adds a job: one outcome an arm.
    pub(crate) fn add(&mut self, place: Place, outcomes: &[Outcome]) {
        for (arm, outcome) in self.arms.iter_mut().zip(outcomes) {
            let tallies = if place.wrong_map { &mut arm.wrong_map } else { &mut arm.plain };
            if let Some(tally) = tallies.get_mut(place.item) {
                tally.add(outcome);
            }
        }
        if let Some(failure) = outcomes.first().and_then(Failure::of) {
            *self.failures.entry(failure).or_default() += 1;
        }
    }

    /// How many jobs have been played.
    pub(crate) fn played(&self, run: &Run) -> u64 {
        self.next.saturating_sub(run.first)
    }

    /// How many jobs of the first arm failed in this way so far.
    pub(crate) fn failed(&self, failure: Failure) -> u64 {
        self.failures.get(&failure).copied().unwrap_or(0)
    }

    /// The arms, in the order of the run.
    pub(crate) fn arms(&self) -> impl Iterator<Item = &ArmTally> {
        self.arms.iter()
    }

    /// Whether these are the sums of such a run: as many arms, and as many items in each.
    pub(crate) fn fits(&self, run: &Run) -> bool {
        let items = run.course.len();
        (run.first..=run.end()).contains(&self.next)
            && self.arms.len() == run.arms.len()
            && self.arms.iter().all(|a| a.plain.len() == items && a.wrong_map.len() == items)
    }
}

impl ArmTally {
    /// Everything together.
    pub(crate) fn sum(&self) -> Tally {
        Tally::sum(self.plain.iter().chain(&self.wrong_map))
    }

    /// Everything played on a map that was wrong besides.
    pub(crate) fn on_wrong_map(&self) -> Tally {
        Tally::sum(&self.wrong_map)
    }

    /// One item of the course, on both maps.
    pub(crate) fn item(&self, item: usize) -> Tally {
        Tally::sum(self.plain.get(item).into_iter().chain(self.wrong_map.get(item)))
    }

    /// The items that `wanted` picks.
    pub(crate) fn of_items(&self, wanted: impl Fn(usize) -> bool) -> Tally {
        let picked = |tallies: &[Tally]| {
            Tally::sum(tallies.iter().enumerate().filter(|(at, _)| wanted(*at)).map(|(_, t)| t))
        };
        Tally::sum([&picked(&self.plain), &picked(&self.wrong_map)])
    }
}
