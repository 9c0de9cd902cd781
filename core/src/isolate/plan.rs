//! What an isolation plan says, as plain data. Sentences stand in the words, by these names.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::gate::{Rule, Scope};
use crate::plant::{Conductor, Device};
use crate::quantity::{AssetId, NodeId};

/// The answer for one service and scope: the zone, its sources, and the plans.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Isolation {
    /// The target.
    pub service: AssetId,
    /// What is worked on.
    pub scope: Scope,
    /// The nodes that hands, tools or the other trade will be on or near.
    pub zone: Vec<NodeId>,
    /// Everything the zone is parted from.
    pub sources: Vec<SourceRef>,
    /// Sources that are not opened but tested and grounded against in the steps.
    pub grounded_against: Vec<SourceRef>,
    /// The branches that may be opened or held open here.
    pub may_open: Vec<AssetId>,
    /// The other branches that open, with the reason.
    pub not_allowed: Vec<NotAllowed>,
    /// The least number of openings of any boundary; none where there is none.
    pub fewest_openings: Option<usize>,
    /// The best plan first, then the best by each other means, in the order of their price.
    pub plans: Vec<Plan>,
    /// What only the missing visible break stands against, with its price: told, never to be chosen.
    pub not_offered: Vec<Plan>,
    /// Why there is no plan.
    pub infeasible: Option<Infeasible>,
    /// Whether every boundary was looked at; where not, a dearer alternative may be missing.
    pub complete: bool,
}

/// What kind of source.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SourceKind {
    /// A feeder's supply point.
    Feeder,
    /// A customer's own source on the record.
    KnownCustomer,
    /// A customer's own source that nobody has ruled out.
    PossibleCustomer,
}

/// A source.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SourceRef {
    /// Where it feeds in.
    pub node: NodeId,
    /// The feeder's source, or the customer's service.
    pub id: AssetId,
    /// What kind.
    pub kind: SourceKind,
}

/// Why a branch that opens may not be counted on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum WhyNot {
    /// It lies inside the zone, in the zone's own compartment.
    InZone,
    /// It must not be opened under load, and nothing shows that it carries none.
    NotLoadBreak,
    /// It carries more than it may break.
    OverLoadBreak,
    /// Nobody can see its gap.
    NoVisibleBreak,
    /// The meter hangs on current transformers: pulling it interrupts nothing.
    CtMeter,
    /// The voltage is above what a meter is pulled at.
    MeterVoltage,
    /// It is behind the target's meter, which comes out for this work and is the opening there.
    BehindTheMeter,
}

/// A branch that opens and may not be counted on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotAllowed {
    /// The branch.
    pub branch: AssetId,
    /// Why.
    pub rule: WhyNot,
}

/// One set of openings, what it costs, and how it is done and undone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// The openings, in the order they are made.
    pub openings: Vec<Opening>,
    /// Services beyond the target that lose supply.
    pub customers_out: Vec<AssetId>,
    /// Sum of the rule sheet's weights over the operations.
    pub exposure: u32,
    /// Number of operations.
    pub operations: u32,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// How it is put back, in order.
    pub restoration: Vec<Step>,
    /// Switching that gives customers their supply back from the other side meanwhile.
    pub pick_ups: Vec<PickUp>,
    /// What to mind.
    pub cautions: Vec<Caution>,
}

/// One place to be opened, and how.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// The branch.
    pub branch: AssetId,
    /// What it is.
    pub device: Device,
    /// Open already: it is held open, tagged and locked.
    pub hold: bool,
    /// Operations it takes.
    pub operations: u32,
    /// Weight of these operations.
    pub exposure: u32,
    /// Nominal volts to ground there.
    pub volts_to_ground: u32,
    /// Whether the gap can be seen.
    pub visible_break: bool,
    /// Whether a lock can hold it.
    pub lockable: bool,
    /// The pad it is in.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub pad: Option<AssetId>,
    /// Its lug position.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub position: Option<String>,
    /// The service whose meter, main or source disconnect it is.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub service: Option<AssetId>,
    /// The legs to be lifted, in order; the neutral is never among them.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub legs: Vec<Conductor>,
}

/// What is done in one step.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum StepAct {
    /// Hold the tailboard briefing.
    Brief,
    /// Open the customer's main.
    OpenMain,
    /// Shut off and lock the customer's own source.
    SourceOff,
    /// Read the number on the meter.
    ReadMeter,
    /// Pull the meter.
    PullMeter,
    /// Clamp each leg of the set.
    ClampLegs,
    /// Relieve the tank's pressure.
    RelievePressure,
    /// Open the switch.
    OpenSwitch,
    /// See that the switch is open already.
    SeeOpen,
    /// Look at the gap.
    SeeGap,
    /// Tag it, and lock it where it takes a lock.
    TagAndLock,
    /// Lift one leg off its lug.
    LiftLeg,
    /// Cap and restrain the lifted leg.
    CapAndRestrain,
    /// See at the base that exactly this leg died, and at the pad that the bus lives.
    CheckLegAtBase,
    /// Prove the zone dead.
    ProveDead,
    /// Show the bus at the pad live after the opening.
    ShowBusLive,
    /// Test the lifted ends, then short them to neutral.
    ShortLiftedToNeutral,
    /// Test, then ground.
    TestAndGround,
    /// Close a loop point to give customers their supply back.
    PickUp,
    /// Open the loop point again.
    EndPickUp,
    /// Take the short off.
    RemoveShort,
    /// Take the grounds off, the last put on first.
    RemoveGround,
    /// Compare the insulation of the lifted legs.
    CompareInsulation,
    /// Verify the neutral.
    VerifyNeutral,
    /// Land one leg.
    LandLeg,
    /// Take tag and lock off.
    RemoveTagAndLock,
    /// Close the switch.
    CloseSwitch,
    /// Prove the supply live and healthy.
    ProveLive,
    /// Set the meter.
    SetMeter,
    /// Close the customer's main.
    CloseMain,
    /// Let the customer's own source on again.
    SourceOn,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// What is done.
    pub act: StepAct,
    /// At which branch.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub branch: Option<AssetId>,
    /// On which leg.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub leg: Option<Conductor>,
    /// At which node.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub node: Option<NodeId>,
    /// At which service.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub service: Option<AssetId>,
    /// What must be on record before it.
    pub gates: Vec<Rule>,
}

/// A loop point whose closing gives customers their supply back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PickUp {
    /// The switch.
    pub close: AssetId,
    /// Who is supplied again.
    pub customers_back: Vec<AssetId>,
}

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

/// A way from a source to the zone on which nothing may be opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Infeasible {
    /// The source.
    pub source: SourceRef,
    /// The branches from the source to the zone, in order; empty where the source is in the zone.
    pub path: Vec<AssetId>,
}
