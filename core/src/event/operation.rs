//! What is opened, lifted, capped, shorted, grounded, locked and tagged, and taken back.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    plant::Conductor,
    quantity::{AssetId, Decimal, InstrumentId, NodeId},
    sighting::Handle,
};

/// Whether a set has its lugs for itself.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Bolt {
    /// Its own bolt on every leg.
    Own,
    /// A bolt shared with another set.
    Shared,
}

/// How the primary side of a cabinet is built.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Front {
    /// Nothing live within reach: separable connectors, grounded shields.
    Dead,
    /// Live parts within reach.
    Live,
}

/// The state of the cabinet as it was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Enclosure {
    /// Volts from the case to independent ground.
    pub case_volts: Decimal,
    /// Wet inside.
    pub wet: bool,
    /// Damaged.
    pub damage: bool,
    /// Animals in it.
    pub animals: bool,
}

/// `answers`: the questions asked of a set before anything is opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Answers {
    /// The pad.
    pub pad: AssetId,
    /// The lug position.
    pub position: String,
    /// Own or shared bolt.
    pub bolt: Bolt,
    /// Parallel runs on each leg.
    pub runs_per_leg: u8,
    /// Meters fed by this set, as counted at the premises.
    pub meters_on_set: u16,
    /// How the primary side is built.
    pub front: Front,
    /// The cabinet.
    pub enclosure: Enclosure,
}

/// One operation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "op", deny_unknown_fields)]
pub enum Operation {
    /// A conductor was lifted off its lug.
    LegLifted {
        /// The pad.
        pad: AssetId,
        /// How the set was found.
        handle: Handle,
        /// Which conductor.
        leg: Conductor,
        /// How many parallel runs of it were lifted.
        runs: u8,
        /// The most that the clamp on it showed while its lug was loosened.
        loosened_amps: Decimal,
    },
    /// A lifted end was capped to rated voltage.
    LegCapped {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
        /// Which conductor.
        leg: Conductor,
    },
    /// A lifted end was restrained.
    LegRestrained {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
        /// Which conductor.
        leg: Conductor,
    },
    /// A lifted end was tagged.
    LegTagged {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
        /// Which conductor.
        leg: Conductor,
    },
    /// A lifted conductor was landed on its lug again, its tag, cap and restraint off.
    LegLanded {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
        /// Which conductor.
        leg: Conductor,
    },
    /// The lifted legs of a set were shorted to neutral at the pad.
    SetShorted {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// That short was taken off.
    ShortRemoved {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// The neutral of a set was looked at and tightened, at the pad and at the base.
    NeutralVerified {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// Tank pressure was relieved.
    PressureRelieved {
        /// The pad.
        pad: AssetId,
    },
    /// A switch was opened.
    SwitchOpened {
        /// Which.
        switch: AssetId,
    },
    /// A switch was closed.
    SwitchClosed {
        /// Which.
        switch: AssetId,
    },
    /// The open state and the phase were measured at a loop point.
    LoopPointMeasured {
        /// The normally open switch.
        switch: AssetId,
        /// Volts across the open point: near zero on the same phase of the same source.
        across_volts: Decimal,
        /// With which instrument; none: nobody said, and nothing is closed by it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<InstrumentId>,
    },
    /// Something was locked in its state.
    Locked {
        /// What.
        what: AssetId,
    },
    /// A lock was taken off.
    LockRemoved {
        /// From what.
        what: AssetId,
    },
    /// A tag was hung.
    Tagged {
        /// On what.
        what: AssetId,
    },
    /// A tag was taken off.
    TagRemoved {
        /// From what.
        what: AssetId,
    },
    /// A ground was put on.
    Grounded {
        /// Where.
        node: NodeId,
    },
    /// A ground was taken off.
    GroundRemoved {
        /// From where.
        node: NodeId,
    },
    /// The customer's main was opened.
    MainOpened {
        /// Whose.
        service: AssetId,
    },
    /// The customer's main was closed.
    MainClosed {
        /// Whose.
        service: AssetId,
    },
    /// The customer's own sources were switched off.
    SourcesOff {
        /// Whose.
        service: AssetId,
    },
    /// The customer's own sources may run again.
    SourcesOn {
        /// Whose.
        service: AssetId,
    },
    /// The work in the meter base is done.
    WorkDone {
        /// The service.
        service: AssetId,
        /// What was found and done, in words.
        findings: String,
    },
    /// The work was inspected.
    Inspected {
        /// The service.
        service: AssetId,
        /// What was found, in words.
        findings: String,
        /// Whether it may be energised.
        released: bool,
    },
}

/// `operation`: something was operated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OperationDone {
    /// What was done.
    pub operation: Operation,
    /// Done to make safe at once: never gated where it opens, caps, restrains, tags, locks,
    /// shorts or grounds; asked of anything else, the flag changes nothing.
    #[serde(default)]
    pub making_safe: bool,
}
