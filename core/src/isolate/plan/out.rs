//! Who goes out, and who is picked up from the other side meanwhile.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::plant::Critical;
use crate::quantity::AssetId;

/// A service beyond the target that loses supply.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CustomerOut {
    /// The service.
    pub service: AssetId,
    /// How its premises are called.
    pub premises: String,
    /// Why losing supply would endanger someone.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub critical: Option<Critical>,
    /// The loop point whose closing gives it its supply back meanwhile.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub back_by: Option<AssetId>,
}

/// A loop point whose closing gives customers their supply back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PickUp {
    /// The switch.
    pub close: AssetId,
    /// Who is supplied again; where two sources may be tied, who never goes out.
    pub customers_back: Vec<AssetId>,
    /// What it then carries at most, whole amps upwards: as read where they were fed until now, else
    /// by the nameplates of their transformers.
    pub amps: u32,
    /// What it is rated to carry, and to break when it is opened again, amps; the less of the two.
    pub rated_amps: u32,
    /// Operations it takes.
    pub operations: u32,
    /// Weight of these operations.
    pub exposure: u32,
}

/// A loop point that would bring customers back, and why it stays open.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotPickedUp {
    /// The switch.
    pub branch: AssetId,
    /// Why.
    pub rule: WhyNotPickedUp,
}

/// Why a loop point stays open.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum WhyNotPickedUp {
    /// It, or something on the way that feeds it or behind it, might carry more than it is rated
    /// for.
    Overload,
}
