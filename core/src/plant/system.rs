//! Voltage systems: which conductors there are, which pairs to test, and what each pair should read.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A conductor at a meter base or lug, or the independent ground a tester is held to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Conductor {
    /// First leg.
    L1,
    /// Second leg.
    L2,
    /// Third leg of a three-phase service.
    L3,
    /// Neutral.
    N,
    /// Independent ground.
    G,
}

/// Two conductors a reading is taken between, in the order L1, L2, L3, N, G.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub struct Pair(pub Conductor, pub Conductor);

/// A voltage system that has rules here. One that is not listed is a stop.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum VoltageSystem {
    /// 120/240 V, one phase, three wires, centre tap grounded.
    #[serde(rename = "120/240-split-phase")]
    Split120_240,
    /// 120/240 V four-wire delta with a high leg.
    #[serde(rename = "120/240-delta-4w")]
    Delta120_240,
    /// 208Y/120 V, three legs.
    #[serde(rename = "208y/120")]
    Wye208,
    /// Two of the three legs of a 208Y/120 V network.
    #[serde(rename = "208y/120-network")]
    Network208,
    /// 480Y/277 V.
    #[serde(rename = "480y/277")]
    Wye480,
    /// 600Y/347 V.
    #[serde(rename = "600y/347")]
    Wye600,
    /// 230/400 V, three legs, separate neutral.
    #[serde(rename = "230/400")]
    Wye400,
    /// 230/400 V where neutral and protective earth are one conductor (PEN).
    #[serde(rename = "230/400-pen")]
    Wye400Pen,
}
