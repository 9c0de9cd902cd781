//! What to mind with a plan.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::AssetId;

/// What to mind.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CautionId {
    /// The neutral stays landed and is never dead.
    NeutralNotDead,
    /// Opening this neutral would make metalwork live: it is the protective earth.
    NeutralIsEarth,
    /// A customer who loses supply depends on it.
    CriticalCustomerOut,
    /// The customer has a source of their own.
    KnownSource,
    /// Nobody has ruled out a source of the customer's own.
    PossibleSource,
    /// What flows through the switch is not known.
    LoadNotKnown,
    /// The gap cannot be seen: it is never the only proof.
    NoVisibleBreak,
    /// A drawn fuse is the last resort.
    FuseLastResort,
    /// The fuse's fluid may be too cold to switch in.
    FluidCold,
    /// A cold elbow under light load may flash over as it is pulled.
    ElbowCold,
    /// Two qualified workers are there while an elbow is moved.
    ElbowTwoWorkers,
    /// It takes no lock: someone stays, or it is made inoperable.
    NotLockable,
    /// The metering hangs on current transformers: their secondary is never opened.
    CtMetering,
    /// How the service is metered is not known: ask before the meter is touched.
    MeteringNotKnown,
    /// The set feeds others too.
    SharedSet,
    /// The service has loads ahead of any meter.
    UnmeteredLoads,
    /// One pole of a three-phase unit is switched alone: ferroresonance.
    Ferroresonance,
    /// The cable is suspect: nothing is switched onto it.
    SuspectCable,
    /// Several sets feed the service.
    SeveralFeeds,
}

/// A caution, and what it is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Which.
    pub id: CautionId,
    /// The branch, service or set.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub about: Option<AssetId>,
}
