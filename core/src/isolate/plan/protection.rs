//! What hands are near at a step, and what is worn: approach distance, gloves, clothing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::Decimal;
use crate::rule_sheet::GloveClass;

/// How near, in which gloves and clothing, each with where it comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Protection {
    /// The highest nominal volts in reach, to ground.
    pub volts_to_ground: u32,
    /// How near an exposed part may be.
    pub approach: KeepAway,
    /// More than one phase may be exposed: the distance is the one between phases.
    #[serde(default)]
    pub between_phases: bool,
    /// Standard and table of the distance.
    pub approach_source: String,
    /// Class of rubber gloves, with leather protectors; none: no glove is rated for it.
    pub gloves: Option<GloveClass>,
    /// Standard and table of the class.
    pub gloves_source: String,
    /// Arc rating of clothing, cal/cm2; none: the utility's study says.
    pub clothing_cal_per_cm2: Option<Decimal>,
    /// Standard and table of the rating.
    pub clothing_source: String,
    /// Two qualified workers must be there.
    pub two_workers: bool,
}

/// How near an exposed part may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "keep")]
pub enum KeepAway {
    /// Below 50 V: the table asks for nothing.
    BelowTable,
    /// Any distance, and no contact.
    NoContact,
    /// At least this far.
    AtLeast {
        /// Millimetres.
        millimetres: u32,
    },
    /// The table has no number: the utility's own rule decides.
    NoNumber,
}
