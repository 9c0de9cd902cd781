//! A run: its jobs played in every arm, many at once, and added up.

use coldlug_field::seed;
use rayon::prelude::*;

use super::{
    arm::Arm,
    course::{Course, Place},
    failure::{Failure, Keep},
    progress::Progress,
    spec::{Outcome, SavedJob, Spec},
};
use crate::trouble::Trouble;

/// Jobs played between two looks at the progress, over all arms: a second or two of one processor.
const PLAYS_AT_ONCE: u64 = 2048;

/// Who plays a job. What plays must be a pure function of the spec.
pub(crate) trait Player: Sync {
    /// Plays one job.
    fn play(&self, spec: &Spec<'_>) -> Outcome;
    /// The same job again, with all that was written down.
    fn play_recorded(&self, spec: &Spec<'_>) -> (Outcome, SavedJob);
}

/// What is to be played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Run {
    /// Everything made up follows from this number.
    pub(crate) seed: u64,
    /// The number of the first job.
    pub(crate) first: u64,
    /// How many jobs.
    pub(crate) jobs: u64,
    /// Which falsehoods each job has.
    pub(crate) course: Course,
    /// The ways each job is played; the first is the one whose failures are kept.
    pub(crate) arms: Vec<Arm>,
}

impl Run {
    /// The number after the last job's.
    pub(crate) fn end(&self) -> u64 {
        self.first.saturating_add(self.jobs)
    }

    /// What is asked of a job in an arm.
    pub(crate) fn spec(&self, job: u64, arm: Arm) -> Spec<'_> {
        let Place { item, wrong_map } = self.course.place(job);
        Spec {
            seed: seed::mix(self.seed, job),
            faults: self.course.falsehoods(item),
            wrong_map,
            policy: arm.policy,
            tolerated: arm.tolerated,
            conditions: arm.conditions(),
            keys: arm.keys,
        }
    }

    /// Plays on from where `progress` stands. `each` is called after every stretch of jobs and may
    /// end the run by an error; what was added by then stays in `progress`.
    pub(crate) fn carry_on(
        &self,
        player: &dyn Player,
        progress: &mut Progress,
        keep: &Keep,
        mut each: impl FnMut(&Progress) -> Result<(), Trouble>,
    ) -> Result<(), Trouble> {
        let arms = u64::try_from(self.arms.len()).unwrap_or(1);
        let at_once = (PLAYS_AT_ONCE / arms.max(1)).max(16);
        while progress.next < self.end() {
            let until = progress.next.saturating_add(at_once).min(self.end());
            let outcomes: Vec<Vec<Outcome>> = (progress.next..until)
                .into_par_iter()
                .map(|job| self.arms.iter().map(|&arm| player.play(&self.spec(job, arm))).collect())
                .collect();
            for (job, of_job) in (progress.next..until).zip(&outcomes) {
                progress.add(self.course.place(job), of_job);
                let ours = self.arms.first().zip(of_job.first());
                let failure = ours.and_then(|(&arm, outcome)| Some((arm, Failure::of(outcome)?)));
                if let Some((arm, failure)) = failure {
                    keep.failed(
                        job,
                        &self.spec(job, arm),
                        failure,
                        progress.failed(failure),
                        player,
                    )?;
                }
            }
            progress.next = until;
            each(progress)?;
        }
        Ok(())
    }

    /// A number that differs, all but surely, where the program plays the first jobs otherwise.
    pub(crate) fn fingerprint(&self, player: &dyn Player) -> u64 {
        const JOBS: u64 = 8;
        let all = (0..JOBS).flat_map(|job| {
            self.arms.iter().map(move |&arm| format!("{:?}", player.play(&self.spec(job, arm))))
        });
        all.flat_map(String::into_bytes).fold(0, |so_far, byte| seed::mix(so_far, byte.into()))
    }
}

#[cfg(test)]
pub(crate) mod invented {
    //! A player that plays nothing: outcomes invented from the seed, for the tests of this folder.

    use super::*;
    use coldlug_core::gate::Rule;
    use coldlug_field::seed::stream;

    use crate::simulate::spec::{Keying, Policy};

    /// Plays by chance alone; the others than ours go wrong now and then.
    pub(crate) struct Chance;

    impl Player for Chance {
        fn play(&self, spec: &Spec<'_>) -> Outcome {
            let mut draw = stream(spec.seed, "invented");
            let solvable = if draw.chance(0.1) { Err("nobody-to-step") } else { Ok(()) };
            let finished = draw.chance(0.95);
            let loose = spec.policy != Policy::Coldlug || spec.tolerated == 0;
            let tests = draw.whole(2, 6);
            Outcome {
                solvable,
                finished,
                wrong_openings_advised: u32::from(loose && draw.chance(0.05)),
                wrong_openings_against: u32::from(draw.chance(0.01)),
                caught_after_one_leg: true,
                idle_dropped: 0,
                false_proven_dead: 0,
                needless_stop: !finished && spec.faults.is_empty(),
                stopped: (!finished).then_some("too-many-tests"),
                tests: tests + u32::from(spec.keys == Keying::EverySlot),
                looks: 3,
                refused_by: vec![(Rule::CrewOnly, 1)],
                events: 100,
            }
        }

        fn play_recorded(&self, spec: &Spec<'_>) -> (Outcome, SavedJob) {
            let saved = SavedJob {
                map_sheet: b"{}".to_vec(),
                rule_sheet: String::new(),
                events: format!("{}\n", spec.seed),
            };
            (self.play(spec), saved)
        }
    }

    /// A run of two policies.
    pub(crate) fn run(jobs: u64, faults: &str) -> Run {
        let ours = Arm::whole(1, Keying::OneSize);
        Run {
            seed: 7,
            first: 0,
            jobs,
            course: Course::read(faults).unwrap(),
            arms: vec![ours, Arm { policy: Policy::MapOnly, ..ours }],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::invented::{Chance, run};
    use super::*;
    use crate::simulate::tally::Tally;

    fn played(run: &Run, threads: usize) -> Progress {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let mut progress = Progress::new(run);
        pool.install(|| run.carry_on(&Chance, &mut progress, &Keep::nowhere(), |_| Ok(())))
            .unwrap();
        progress
    }

    #[test]
    fn any_number_of_threads_comes_to_the_same() {
        let run = run(5000, "single");
        let one = played(&run, 1);
        assert_eq!(one, played(&run, 4));
        assert_eq!(one.next, 5000);
        assert_eq!(one.arms().map(|arm| arm.sum().jobs).collect::<Vec<_>>(), [5000, 5000]);
    }

    #[test]
    fn a_run_that_was_stopped_goes_on_where_it_stood() {
        let run = run(5000, "single");
        let mut progress = Progress::new(&run);
        let mut stretches = 0;
        let stopped = run.carry_on(&Chance, &mut progress, &Keep::nowhere(), |_| {
            stretches += 1;
            if stretches == 2 { Err(Trouble::fault("a power cut")) } else { Ok(()) }
        });
        assert!(stopped.is_err());
        assert_eq!(progress.next, 2048);
        run.carry_on(&Chance, &mut progress, &Keep::nowhere(), |_| Ok(())).unwrap();
        assert_eq!(progress, played(&run, 2));
    }

    #[test]
    fn two_parts_of_a_run_add_up_to_the_whole() {
        let whole = run(5000, "single");
        let parts =
            [Run { jobs: 2100, ..whole.clone() }, Run { first: 2100, jobs: 2900, ..whole.clone() }];
        let [one, other] = parts.each_ref().map(|part| played(part, 2));
        assert_eq!((one.next, other.next), (2100, 5000));
        assert_eq!((one.played(&parts[0]), other.played(&parts[1])), (2100, 2900));
        for (whole, (one, other)) in played(&whole, 2).arms().zip(one.arms().zip(other.arms())) {
            assert_eq!(whole.sum(), Tally::sum([&one.sum(), &other.sum()]));
            assert_eq!(
                whole.on_wrong_map(),
                Tally::sum([&one.on_wrong_map(), &other.on_wrong_map()])
            );
        }
    }

    #[test]
    fn the_fingerprint_follows_the_jobs() {
        let one = run(50, "single");
        assert_eq!(one.fingerprint(&Chance), one.fingerprint(&Chance));
        let other = Run { seed: 8, ..one.clone() };
        assert_ne!(one.fingerprint(&Chance), other.fingerprint(&Chance));
    }
}
