//! What an isolation plan says, as plain data. Sentences stand in the words, by these names.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

mod load;
mod mind;
mod out;
mod protection;
mod step;

pub use load::{ExpectedLoad, LoadBasis};
pub use mind::{Caution, CautionId};
pub use out::{CustomerOut, NotPickedUp, PickUp, WhyNotPickedUp};
pub use protection::{KeepAway, Protection};
pub use step::{Step, StepAct, Turn};

use crate::gate::Scope;
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
    /// Those of them that lie within what a plan told here makes dead or at its edge, and around the
    /// zone where there is no plan: who reads the plans may ask for them.
    #[serde(default)]
    pub not_allowed_near: Vec<AssetId>,
    /// The least number of openings of any boundary; none where there is none.
    pub fewest_openings: Option<usize>,
    /// What is certain of the best plan.
    pub proof: Proof,
    /// The best plan first, then the best by each other means, in the order of their price; none of
    /// them is worse than another in everything.
    pub plans: Vec<Plan>,
    /// The best by means that are worse than one of the plans in everything: told with their price,
    /// since what is better on paper may not open on the day.
    pub dearer: Vec<Plan>,
    /// What only the missing visible break stands against, with its price: told, never to be chosen.
    pub not_offered: Vec<Plan>,
    /// Plans that failed when they were played step by step: never offered.
    pub withdrawn: Vec<Withdrawn>,
    /// Why there is no plan.
    pub infeasible: Option<Infeasible>,
    /// Whether every boundary that is better in something was looked at.
    pub complete: bool,
}

/// What is certain of the best plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "proof")]
pub enum Proof {
    /// No set of openings that holds when it is played costs less; where there is no plan, none
    /// separates.
    Optimal,
    /// The search ended at its bound, or a cheaper plan was withdrawn: this is the best of what was
    /// looked at.
    BestWithinBound {
        /// How many ways to part the zone from the feeders were looked at.
        cuts_looked_at: usize,
        /// No set of openings that was not looked at leaves fewer customers out than this.
        customers_out_at_least: usize,
    },
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
    /// It carries more than it may break: the amps were read.
    OverLoadBreak,
    /// It is likely to carry more than it may break, and nobody has read the amps.
    LikelyOverLoadBreak,
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
    /// What it would have to break, where that is why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub expected: Option<ExpectedLoad>,
}

/// One set of openings, what it costs, and how it is done and undone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// The openings, in the order they are made.
    pub openings: Vec<Opening>,
    /// Services beyond the target that lose supply, those whom it would endanger first.
    pub customers_out: Vec<CustomerOut>,
    /// How many of them stay out after the pick-up: what plans are ranked by first.
    pub still_out: usize,
    /// Sum of the rule sheet's weights over the operations, the pick-up's too.
    pub exposure: u32,
    /// Number of operations, the pick-up's too.
    pub operations: u32,
    /// How many of them are a last resort, which is what plans are ranked by second.
    #[serde(default)]
    pub last_resorts: u32,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// How it is put back, in order.
    pub restoration: Vec<Step>,
    /// Switching that gives customers their supply back from the other side meanwhile.
    pub pick_ups: Vec<PickUp>,
    /// Loop points that would bring customers back and stay open, with the reason.
    pub not_picked_up: Vec<NotPickedUp>,
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
    /// What it is expected to break; none for what stands open already.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub expected: Option<ExpectedLoad>,
}

/// A plan that failed when it was played step by step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Withdrawn {
    /// What it would open.
    pub branches: Vec<AssetId>,
    /// The step, counted from 1 through the steps there and back.
    pub step: usize,
    /// What it did.
    pub breach: Breach,
}

/// What no step of a plan may do.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Breach {
    /// Somebody lost supply who was not told of.
    CustomerLost,
    /// A source reached the zone after it was proven dead.
    ZoneEnergised,
    /// Two feeders were tied.
    SourcesTied,
}

/// A way from a source to the zone on which nothing may be opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Infeasible {
    /// The source.
    pub source: SourceRef,
    /// The branches from the source to the zone, in order; empty where the source is in the zone.
    pub path: Vec<AssetId>,
    /// The smallest changes that would make a plan possible, each enough alone.
    pub changes: Vec<Change>,
}

/// A change after which there would be a plan.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "change")]
pub enum Change {
    /// The rule sheet would have to allow something.
    RuleSheet {
        /// The key of the rule sheet.
        key: String,
        /// What would then be opened.
        branches: Vec<AssetId>,
    },
    /// What these carry would have to be read and be low enough, or be taken off them first.
    LessLoad {
        /// The switches.
        branches: Vec<AssetId>,
    },
    /// Something that opens would have to be put in at each of these.
    MoreSwitches {
        /// The branches.
        branches: Vec<AssetId>,
    },
}
