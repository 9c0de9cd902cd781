//! How far a job has come.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The stages of a job, in order. `stopped` is not a stage: it stands beside the one it came from.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Asked for.
    Requested,
    /// The tailboard briefing was held.
    Briefed,
    /// A cabinet was opened and its sets were marked.
    Found,
    /// The set is identified.
    Identified,
    /// Something of ours is open.
    Opened,
    /// The base is proven dead, and the opening proved the identity.
    ProvenDead,
    /// At least one clearance was accepted.
    HandedOver,
    /// Every clearance is ended and the work was inspected.
    Returned,
    /// Every leg is landed and every switch back.
    Restored,
    /// The base is proven live and healthy.
    ProvenLive,
    /// Closed.
    Closed,
}
