//! What many jobs came to: sums only, so that no order of playing changes them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{
    interval::{float, share},
    spec::Outcome,
};

/// Sums over jobs. Mishaps are counted in jobs, not in lifts or readings, since a share of jobs is
/// what their intervals speak of.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Tally {
    /// Jobs played.
    pub(crate) jobs: u64,
    /// Of these, solvable ones.
    pub(crate) solvable: u64,
    /// Of the solvable ones, those that finished.
    pub(crate) finished: u64,
    /// Of the others, those that finished all the same.
    pub(crate) finished_unsolvable: u64,
    /// Jobs with a wrong service opened as advised.
    pub(crate) wrong: u64,
    /// Jobs with a wrong set opened against the advice.
    pub(crate) against: u64,
    /// Of these, those noticed with one leg up or by the proof by opening.
    pub(crate) against_caught: u64,
    /// Jobs that dropped others who drew nothing a clamp can tell from an idle leg.
    pub(crate) idle_dropped: u64,
    /// Jobs with a false proof of dead.
    pub(crate) false_dead: u64,
    /// Jobs stopped with no hazard and no falsehood present.
    pub(crate) needless: u64,
    /// Events written.
    pub(crate) events: u64,
    /// Tests of the finished solvable jobs.
    pub(crate) tests: Histogram,
    /// Looks at the premises of the same.
    pub(crate) looks: Histogram,
    /// Unsolvable jobs by reason.
    pub(crate) unsolvable: BTreeMap<String, u64>,
    /// Solvable jobs that stopped, by reason.
    pub(crate) stopped: BTreeMap<String, u64>,
    /// Rules that refused a step.
    pub(crate) caught_by: BTreeMap<String, Caught>,
}

/// How often a rule refused.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Caught {
    /// In how many jobs.
    pub(crate) jobs: u64,
    /// How many steps.
    pub(crate) refusals: u64,
}

impl Tally {
    /// Adds a job.
    pub(crate) fn add(&mut self, job: &Outcome) {
        self.jobs += 1;
        self.wrong += u64::from(job.wrong_openings_advised > 0);
        self.against += u64::from(job.wrong_openings_against > 0);
        self.against_caught +=
            u64::from(job.wrong_openings_against > 0 && job.caught_after_one_leg);
        self.idle_dropped += u64::from(job.idle_dropped > 0);
        self.false_dead += u64::from(job.false_proven_dead > 0);
        self.needless += u64::from(job.needless_stop);
        self.events += u64::from(job.events);
        match job.solvable {
            Ok(()) => self.add_solvable(job),
            Err(reason) => {
                *self.unsolvable.entry(reason.to_owned()).or_default() += 1;
                self.finished_unsolvable += u64::from(job.finished);
            }
        }
        for (rule, refusals) in &job.refused_by {
            let caught = self.caught_by.entry(rule.id().to_owned()).or_default();
            caught.jobs += 1;
            caught.refusals += u64::from(*refusals);
        }
    }

    fn add_solvable(&mut self, job: &Outcome) {
        self.solvable += 1;
        if job.finished {
            self.finished += 1;
            self.tests.add(job.tests);
            self.looks.add(job.looks);
        }
        if let Some(reason) = job.stopped {
            *self.stopped.entry(reason.to_owned()).or_default() += 1;
        }
    }

    /// Adds the jobs of another tally.
    pub(crate) fn merge(&mut self, other: &Self) {
        self.jobs += other.jobs;
        self.solvable += other.solvable;
        self.finished += other.finished;
        self.finished_unsolvable += other.finished_unsolvable;
        self.wrong += other.wrong;
        self.against += other.against;
        self.against_caught += other.against_caught;
        self.idle_dropped += other.idle_dropped;
        self.false_dead += other.false_dead;
        self.needless += other.needless;
        self.events += other.events;
        self.tests.merge(&other.tests);
        self.looks.merge(&other.looks);
        merge(&mut self.unsolvable, &other.unsolvable);
        merge(&mut self.stopped, &other.stopped);
        for (rule, more) in &other.caught_by {
            let caught = self.caught_by.entry(rule.clone()).or_default();
            caught.jobs += more.jobs;
            caught.refusals += more.refusals;
        }
    }

    /// The sum of several.
    pub(crate) fn sum<'a>(tallies: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut sum = Self::default();
        for tally in tallies {
            sum.merge(tally);
        }
        sum
    }
}

fn merge(into: &mut BTreeMap<String, u64>, from: &BTreeMap<String, u64>) {
    for (reason, jobs) in from {
        *into.entry(reason.clone()).or_default() += jobs;
    }
}

/// How many jobs had each number of something.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub(crate) struct Histogram(BTreeMap<u32, u64>);

impl Histogram {
    fn add(&mut self, number: u32) {
        *self.0.entry(number).or_default() += 1;
    }

    fn merge(&mut self, other: &Self) {
        for (&number, jobs) in &other.0 {
            *self.0.entry(number).or_default() += jobs;
        }
    }

    /// Each number with its jobs, in order.
    pub(crate) fn bins(&self) -> impl Iterator<Item = (u32, u64)> + '_ {
        self.0.iter().map(|(&number, &jobs)| (number, jobs))
    }

    fn jobs(&self) -> u64 {
        self.0.values().sum()
    }

    /// The mean; none of none.
    pub(crate) fn mean(&self) -> Option<f64> {
        let sum = self.bins().map(|(number, jobs)| u64::from(number) * jobs).sum();
        (self.jobs() > 0).then(|| share(sum, self.jobs()))
    }

    /// The median: between the two middle jobs where their number is even.
    pub(crate) fn median(&self) -> Option<f64> {
        let jobs = self.jobs();
        let (below, above) = (self.nth(jobs.checked_sub(1)? / 2)?, self.nth(jobs / 2)?);
        Some(f64::midpoint(float(below), float(above)))
    }

    /// The number of the n-th job, counted from 0 in order of the numbers.
    fn nth(&self, n: u64) -> Option<u64> {
        let mut before = 0;
        self.bins().find_map(|(number, jobs)| {
            before += jobs;
            (n < before).then_some(u64::from(number))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use coldlug_core::gate::Rule;

    fn histogram(numbers: &[u32]) -> Histogram {
        let mut histogram = Histogram::default();
        for &number in numbers {
            histogram.add(number);
        }
        histogram
    }

    fn check(numbers: &[u32], mean: f64, median: f64) {
        let histogram = histogram(numbers);
        assert_eq!(histogram.mean(), Some(mean), "{numbers:?}");
        assert_eq!(histogram.median(), Some(median), "{numbers:?}");
    }

    #[test]
    fn mean_and_median_by_counting() {
        check(&[3], 3.0, 3.0);
        check(&[2, 4], 3.0, 3.0);
        check(&[9, 2, 3, 2], 4.0, 2.5);
        check(&[9, 2, 3, 2, 4], 4.0, 3.0);
        check(&[0, 0, 0, 8], 2.0, 0.0);
        assert_eq!(histogram(&[]).mean(), None);
        assert_eq!(histogram(&[]).median(), None);
    }

    fn outcome() -> Outcome {
        Outcome {
            solvable: Ok(()),
            finished: true,
            wrong_openings_advised: 0,
            wrong_openings_against: 0,
            caught_after_one_leg: false,
            idle_dropped: 0,
            false_proven_dead: 0,
            needless_stop: false,
            stopped: None,
            tests: 3,
            looks: 2,
            refused_by: vec![(Rule::CrewOnly, 2)],
            events: 90,
        }
    }

    /// Outcomes of each kind, invented.
    fn outcomes() -> Vec<Outcome> {
        let stopped = Outcome { finished: false, stopped: Some("too-long"), ..outcome() };
        vec![
            outcome(),
            Outcome { wrong_openings_advised: 2, ..stopped.clone() },
            Outcome { wrong_openings_against: 1, caught_after_one_leg: true, ..outcome() },
            Outcome { wrong_openings_against: 1, ..outcome() },
            Outcome { solvable: Err("no-room-for-fault"), ..stopped.clone() },
            Outcome { solvable: Err("no-room-for-fault"), ..outcome() },
            Outcome { needless_stop: true, false_proven_dead: 1, ..stopped },
        ]
    }

    #[test]
    fn mishaps_count_jobs_and_finished_counts_solvable_ones() {
        let mut tally = Tally::default();
        for job in &outcomes() {
            tally.add(job);
        }
        assert_eq!((tally.jobs, tally.solvable, tally.finished), (7, 5, 3));
        assert_eq!((tally.wrong, tally.against, tally.against_caught), (1, 2, 1));
        assert_eq!((tally.false_dead, tally.needless, tally.finished_unsolvable), (1, 1, 1));
        assert_eq!(tally.unsolvable["no-room-for-fault"], 2);
        assert_eq!(tally.stopped["too-long"], 2);
        assert_eq!(tally.caught_by["crew-only"], Caught { jobs: 7, refusals: 14 });
        assert_eq!(tally.tests.bins().collect::<Vec<_>>(), [(3, 3)]);
    }

    #[test]
    fn a_sum_of_parts_is_the_whole() {
        let jobs = outcomes();
        let of = |jobs: &[Outcome]| {
            let mut tally = Tally::default();
            for job in jobs {
                tally.add(job);
            }
            tally
        };
        let (front, back) = jobs.split_at(3);
        assert_eq!(Tally::sum([&of(back), &of(front)]), of(&jobs));
    }
}
