//! The JSON form of a run: plain data, from which table and page are drawn too.

use schemars::JsonSchema;
use serde::Serialize;

use super::tally::Tally;
use crate::simulate::interval::wilson;

/// What many simulated jobs came to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SimulationForm {
    /// The program's version.
    pub(crate) version: String,
    /// The edition of the rules.
    pub(crate) rules_edition: String,
    /// Everything made up follows from this number.
    pub(crate) seed: u64,
    /// The number of the first job, counted from 0: a run may be played in parts.
    pub(crate) first_job: u64,
    /// Jobs played in every arm.
    pub(crate) jobs: u64,
    /// Which faults they had: `none`, `single`, `pairs` or ids.
    pub(crate) faults: String,
    /// What each policy came to, ours first.
    pub(crate) policies: Vec<PolicyForm>,
    /// Jobs that nobody can finish, by reason: decided before play, alike for every policy.
    pub(crate) unsolvable: Vec<ReasonForm>,
    /// Of our policy: the rules that refused a step, most jobs first.
    pub(crate) caught_by: Vec<CaughtForm>,
    /// Of our policy: why solvable jobs stopped, most jobs first.
    pub(crate) stopped: Vec<ReasonForm>,
    /// Pairs of faults alone: within what the rule promises, and beyond it.
    pub(crate) pairs: Option<PairsForm>,
    /// The same jobs by how many false causes the rule sheet tolerates, where that was compared.
    pub(crate) tolerances: Vec<ToleranceForm>,
    /// The same jobs by what is typed at the pad, where that was compared.
    pub(crate) keyings: Vec<KeyingForm>,
    /// The same jobs with single conditions of the rule left out, where that was tried.
    pub(crate) ablation: Vec<AblationForm>,
}

/// What jobs came to. Mishaps count jobs; bounds are Wilson's of a share, 95 %.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct CountsForm {
    /// Jobs played.
    pub(crate) jobs: u64,
    /// Of these, jobs that a crew which knew the truth could finish.
    pub(crate) solvable: u64,
    /// Of the solvable ones, those closed with their proof by opening.
    pub(crate) finished: u64,
    /// Lower bound of the share of solvable jobs that finish.
    pub(crate) finished_low: f64,
    /// Upper bound of it.
    pub(crate) finished_high: f64,
    /// Jobs in which a set that does not feed the target alone was opened as advised.
    pub(crate) wrong_service_openings: u64,
    /// Lower bound of their share of all jobs.
    pub(crate) wrong_service_openings_low: f64,
    /// Upper bound of it.
    pub(crate) wrong_service_openings_high: f64,
    /// Jobs in which the target's set was opened while others hung on it whom no map shows, and who
    /// drew nothing that a clamp can tell from an idle leg, neither when it was read nor when it was
    /// lifted.
    pub(crate) idle_neighbours_dropped: u64,
    /// Jobs in which dead was proven, or a clearance taken, with voltage at that base.
    pub(crate) false_proven_dead: u64,
    /// Lower bound of their share of all jobs.
    pub(crate) false_proven_dead_low: f64,
    /// Upper bound of it.
    pub(crate) false_proven_dead_high: f64,
    /// Jobs stopped with no hazard and no falsehood present.
    pub(crate) needless_stops: u64,
    /// Lower bound of their share of all jobs.
    pub(crate) needless_stops_low: f64,
    /// Upper bound of it.
    pub(crate) needless_stops_high: f64,
    /// Jobs in which another set was opened than the one advised.
    pub(crate) against_advice_openings: u64,
    /// Of these, jobs in which that was noticed with one leg up, or by the proof by opening.
    pub(crate) against_advice_caught: u64,
    /// Tests of a finished job, mean; null: none finished.
    pub(crate) tests_mean: Option<f64>,
    /// Tests of a finished job, median.
    pub(crate) tests_median: Option<f64>,
    /// Looks at the premises of a finished job, median.
    pub(crate) looks_median: Option<f64>,
}

/// A policy.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PolicyForm {
    /// `coldlug`, `map_only`, `map_and_tag`, `amps_only` or `metal_and_amps`.
    pub(crate) name: String,
    /// All of its jobs.
    #[serde(flatten)]
    pub(crate) counts: CountsForm,
    /// Those played on a map that besides names the wrong set or pad; null: none were.
    pub(crate) on_wrong_map: Option<CountsForm>,
    /// By fault, or by faults joined with `+`.
    pub(crate) by_fault: Vec<FaultForm>,
    /// Finished jobs by their number of tests.
    pub(crate) tests: Vec<BinForm>,
}

/// The jobs of one fault, or of several at once.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct FaultForm {
    /// Its id, or ids joined with `+`.
    pub(crate) fault: String,
    /// What its jobs came to.
    #[serde(flatten)]
    pub(crate) counts: CountsForm,
    /// The rules that refused a step, most jobs first.
    pub(crate) caught_by: Vec<CaughtForm>,
}

/// Jobs by number of tests.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct BinForm {
    /// Number of tests.
    pub(crate) tests: u32,
    /// Finished jobs that took so many.
    pub(crate) jobs: u64,
}

/// Jobs by reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct ReasonForm {
    /// The reason, by id.
    pub(crate) reason: String,
    /// Jobs.
    pub(crate) jobs: u64,
}

/// A rule that refused.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct CaughtForm {
    /// The rule, by id.
    pub(crate) rule: String,
    /// Jobs in which it refused a step.
    pub(crate) jobs: u64,
    /// Steps it refused.
    pub(crate) refusals: u64,
}

/// Pairs of faults, of our policy.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PairsForm {
    /// Pairs that falsify two sightings of the premises: the stated limit of one tolerated cause.
    pub(crate) two_of_the_premises: CountsForm,
    /// All others together.
    pub(crate) others: CountsForm,
}

/// Jobs under one tolerance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ToleranceForm {
    /// How many causes may be false; none only in the simulator.
    pub(crate) tolerated_false_causes: u32,
    /// What the jobs came to.
    #[serde(flatten)]
    pub(crate) counts: CountsForm,
}

/// Jobs under one way of typing.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct KeyingForm {
    /// `one-size` or `every-slot`.
    pub(crate) keys: String,
    /// What the jobs came to.
    #[serde(flatten)]
    pub(crate) counts: CountsForm,
}

/// Jobs with one condition of the rule left out.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct AblationForm {
    /// The condition that was left out.
    pub(crate) condition: String,
    /// Jobs with a wrong opening or a false proof of dead beyond those of the whole rule.
    pub(crate) lets_through: u64,
    /// What the jobs came to.
    #[serde(flatten)]
    pub(crate) counts: CountsForm,
}

impl CountsForm {
    /// From the sums.
    pub(crate) fn new(tally: &Tally) -> Self {
        let finished = wilson(tally.finished, tally.solvable);
        let wrong = wilson(tally.wrong, tally.jobs);
        let false_dead = wilson(tally.false_dead, tally.jobs);
        let needless = wilson(tally.needless, tally.jobs);
        Self {
            jobs: tally.jobs,
            solvable: tally.solvable,
            finished: tally.finished,
            finished_low: finished.low,
            finished_high: finished.high,
            wrong_service_openings: tally.wrong,
            wrong_service_openings_low: wrong.low,
            wrong_service_openings_high: wrong.high,
            idle_neighbours_dropped: tally.idle_dropped,
            false_proven_dead: tally.false_dead,
            false_proven_dead_low: false_dead.low,
            false_proven_dead_high: false_dead.high,
            needless_stops: tally.needless,
            needless_stops_low: needless.low,
            needless_stops_high: needless.high,
            against_advice_openings: tally.against,
            against_advice_caught: tally.against_caught,
            tests_mean: tally.tests.mean(),
            tests_median: tally.tests.median(),
            looks_median: tally.looks.median(),
        }
    }
}
