//! One step of a plan: what is done where, what stands before it, and what is worn.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Caution, Protection};
use crate::gate::Rule;
use crate::plant::Conductor;
use crate::quantity::{AssetId, NodeId};

/// What is done in one step.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum StepAct {
    /// Hold the tailboard briefing.
    Brief,
    /// Ask at the lug: own bolt, or shared with another set.
    AskBolt,
    /// Ask how many runs each leg has.
    AskRuns,
    /// Ask which meters and unmetered loads hang on the set.
    AskMeters,
    /// See that the cabinet is dead-front.
    SeeDeadFront,
    /// See the enclosure's condition: case voltage, wet, damage, animals.
    SeeEnclosure,
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
    /// Read the amps that are to be broken: if they are more than the rating, it stays closed.
    ReadAmps,
    /// Relieve the tank's pressure.
    RelievePressure,
    /// See that the elbow is whole and its drain wire grounded.
    SeeElbow,
    /// Have the second qualified worker there.
    SecondWorker,
    /// Fit the insulated bushing on the parking stand, and ground it.
    FitParkingBushing,
    /// Pull the elbow by stick, onto the bushing on the parking stand.
    ParkElbow,
    /// Test beyond the drawn fuse: it is never the only proof.
    TestBeyondFuse,
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
    /// Measure volts and phase across a loop point before it is closed.
    MeasureAcross,
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
    /// Take the elbow off the parking stand and push it home, by stick.
    SeatElbow,
    /// Put the fuse in.
    InsertFuse,
    /// Prove the supply live and healthy.
    ProveLive,
    /// Set the meter.
    SetMeter,
    /// Close the customer's main.
    CloseMain,
    /// Let the customer's own source on again.
    SourceOn,
}

/// What a step does to the branch it is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Parts it; a set with its last leg.
    Opens,
    /// Joins it; a set with its first leg.
    Closes,
}

impl StepAct {
    /// What it does to its branch; none where everything stays as it stands.
    pub const fn turn(self) -> Option<Turn> {
        match self {
            Self::OpenMain
            | Self::SourceOff
            | Self::PullMeter
            | Self::ParkElbow
            | Self::OpenSwitch
            | Self::LiftLeg
            | Self::EndPickUp => Some(Turn::Opens),
            Self::PickUp
            | Self::LandLeg
            | Self::CloseSwitch
            | Self::SeatElbow
            | Self::InsertFuse
            | Self::SetMeter
            | Self::CloseMain
            | Self::SourceOn => Some(Turn::Closes),
            Self::Brief
            | Self::AskBolt
            | Self::AskRuns
            | Self::AskMeters
            | Self::SeeDeadFront
            | Self::SeeEnclosure
            | Self::ReadMeter
            | Self::ClampLegs
            | Self::ReadAmps
            | Self::RelievePressure
            | Self::SeeElbow
            | Self::SecondWorker
            | Self::FitParkingBushing
            | Self::TestBeyondFuse
            | Self::SeeOpen
            | Self::SeeGap
            | Self::TagAndLock
            | Self::CapAndRestrain
            | Self::CheckLegAtBase
            | Self::ProveDead
            | Self::ShowBusLive
            | Self::ShortLiftedToNeutral
            | Self::TestAndGround
            | Self::MeasureAcross
            | Self::RemoveShort
            | Self::RemoveGround
            | Self::CompareInsulation
            | Self::VerifyNeutral
            | Self::RemoveTagAndLock
            | Self::ProveLive => None,
        }
    }
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
    /// What the hands that do it are near, and what they wear.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub protection: Option<Protection>,
    /// What of the plan's cautions is to be minded at it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub cautions: Vec<Caution>,
}
