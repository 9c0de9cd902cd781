//! The field simulator: very many jobs played on made-up fields, and what came of them.
//!
//! The crew does what the software advises and nothing cleverer. The physics is the field's, the
//! rules are core's; this folder stands between them, so that one mistake is not in both.

mod arm;
pub(crate) mod checkpoint;
mod course;
mod crew;
mod failure;
mod form;
mod interval;
mod job;
mod plant;
mod progress;
mod report;
mod run;
mod slip;
mod spec;
mod summed;
mod tally;

pub(crate) use arm::Arm;
pub(crate) use checkpoint::Named;
pub(crate) use course::Course;
pub(crate) use failure::Keep;
pub(crate) use form::SimulationForm;
pub(crate) use progress::Progress;
pub(crate) use report::{page, parts};
pub(crate) use run::{Player, Run};
pub(crate) use spec::{Keying, Policy};
pub(crate) use summed::form;

use spec::{Outcome, SavedJob, Spec};

/// The simulated crew.
#[derive(Debug)]
pub(crate) struct SimulatedCrew;

impl Player for SimulatedCrew {
    fn play(&self, spec: &Spec<'_>) -> Outcome {
        job::play(spec)
    }

    fn play_recorded(&self, spec: &Spec<'_>) -> (Outcome, SavedJob) {
        job::play_recorded(spec)
    }
}
