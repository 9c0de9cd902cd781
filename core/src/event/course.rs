//! What steers a job: corrections, deviations, verdicts shown, stops, conflicts, the close.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::body::Body;
use crate::{
    gate::{Rule, Stage},
    quantity::{AssetId, Decimal, EventId, PersonId, SightingId},
    sighting::SetAt,
};

/// Kind, version and body of an event, without who and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement(pub Box<Body>);

/// `correction`: an earlier event was wrong; it counts no more, and `instead` counts in its place,
/// at its time and under its writer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// The event that was wrong.
    pub corrects: EventId,
    /// What should have stood there; none: nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instead: Option<Statement>,
    /// Why.
    pub reason: String,
}

/// `map-correction`: the field disagrees with the map record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MapCorrected {
    /// Which claim of the record, by its name.
    pub claim: String,
    /// The feature of the map sheet.
    pub feature: AssetId,
    /// Where it is, longitude in degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lon_deg: Option<Decimal>,
    /// Where it is, latitude in degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lat_deg: Option<Decimal>,
    /// What the record says.
    pub was: Value,
    /// What the field says.
    pub now: Value,
    /// What it rests on.
    pub sightings: Vec<SightingId>,
}

/// `deviation`: one named step is taken although a rule stands before it. It is then marked done
/// without proof.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deviation {
    /// The rule that is passed.
    pub rule: Rule,
    /// The event that will be written for the step. No other event is let through.
    pub step: EventId,
    /// Why.
    pub reason: String,
    /// Who else agreed.
    pub second_person: PersonId,
}

/// A verdict in the words of the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "verdict", deny_unknown_fields)]
pub enum ShownVerdict {
    /// One set, whatever single cause may be false.
    Identified {
        /// The set.
        set: SetAt,
    },
    /// No seen set remains, or a claim about the target is excluded.
    Contradicted {
        /// The claims that cannot stand, by their names.
        claims: Vec<String>,
        /// The sightings that say so.
        sightings: Vec<SightingId>,
    },
    /// Several remain.
    Unsettled {
        /// The sets that still may be it.
        candidates: Vec<SetAt>,
        /// Whether it may be somewhere else.
        elsewhere: bool,
    },
}

/// `verdict-shown`: a verdict was on the screen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VerdictShown {
    /// The verdict.
    pub shown: ShownVerdict,
    /// The last event it was drawn from; none: from nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<EventId>,
    /// Edition of the rules that drew it.
    pub rules_edition: String,
}

/// `conflict-settled`: an act is on record that the rules refused, and a person says whether it
/// stands in the field.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConflictSettled {
    /// The act that was kept as refused.
    pub refused: EventId,
    /// Whether the field shows that it was done. The physical state then has it, without proof.
    pub stands: bool,
    /// What is so in the field, in words.
    pub finding: String,
}

/// `stopped`: the job stands still from now on. Never gated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stopped {
    /// Why.
    pub reason: String,
    /// What was done to make safe, in words.
    pub made_safe: Vec<String>,
}

/// `resumed`: a stopped job goes on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Resumed {
    /// From which stage: the one it was stopped in, or an earlier one.
    pub stage: Stage,
    /// What was checked: the physical state gone over, in words.
    pub checks: Vec<String>,
}

/// What makes a proof of dead stale at once.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Interruption {
    /// The crew took a break.
    Break,
    /// Another crew took over.
    ShiftChange,
    /// Somebody doubts that the customer's sources are off.
    SourceDoubt,
}

/// `interrupted`: dead must be proven again before hands go in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Interrupted {
    /// By what.
    pub by: Interruption,
}

/// `wrong-drop`: a customer who was not the target lost supply by our hand. The job stops.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WrongDrop {
    /// Who, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<AssetId>,
    /// Whether they were told.
    pub told: bool,
    /// Whether life support was asked for.
    pub life_support_asked: bool,
    /// Whether their main was switched off.
    pub main_off: bool,
}

/// `closed`: the job is over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Closed {
    /// What was done, in words.
    pub summary: String,
}
