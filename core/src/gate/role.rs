//! What people are on a job.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a person is on the job.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Works in the cabinet and at the base.
    Lineworker,
    /// Works in the meter base under a clearance.
    Electrician,
    /// Prepares the job and answers contradictions.
    Dispatcher,
    /// Imports sheets and re-runs verdicts.
    Engineer,
}
