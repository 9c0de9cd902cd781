//! What a sync came to.

use coldlug_core::{quantity::JobId, words};

use crate::sentence::Sentence;

/// What a sync came to.
#[derive(Debug, Clone, Default, PartialEq, Eq, uniffi::Record)]
pub struct SyncReport {
    /// Entries of this phone that the desk keeps now.
    pub sent: u32,
    /// Entries of others that this phone keeps now.
    pub received: u32,
    /// Photos that the desk keeps now.
    pub photos_sent: u32,
    /// Photos that this phone keeps now.
    pub photos_received: u32,
    /// Jobs that are shown now and were not before.
    pub new_jobs: Vec<String>,
    /// What did not go through, each with what to do about it.
    pub problems: Vec<SyncProblem>,
    /// Whether neither side has anything left for the other, problems aside.
    pub complete: bool,
    /// The revision that shows all of it.
    pub revision: u64,
}

/// Something that did not go through. What it is about was left as it was.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SyncProblem {
    /// The job.
    pub job: String,
    /// In words.
    pub said: Sentence,
    /// Details for whoever looks into it.
    pub detail: String,
}

impl SyncReport {
    /// Adds a problem, once.
    pub(crate) fn problem(&mut self, job: &JobId, said: words::Sentence, detail: String) {
        let problem = SyncProblem { job: job.to_string(), said: said.into(), detail };
        tracing::warn!(job = problem.job, detail = problem.detail, id = problem.said.id);
        if !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }
}
