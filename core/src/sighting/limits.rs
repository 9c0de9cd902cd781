//! The rule sheet's numbers that decide what a sighting may exclude.

use super::Evidence;
use crate::{quantity::Current, rule_sheet::RuleSheet};

/// The most false causes that can be tolerated: advice knows three ways to a set, and one more false
/// cause would ask for a fourth.
const MOST_TOLERATED: usize = 2;

/// Limits of evidence, taken from the rule sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// How many causes may be false at once: 1 or 2.
    pub tolerated_false_causes: usize,
    /// Fewest slots of a code.
    pub slots: usize,
    /// Fewest changes among them.
    pub changes: usize,
    /// Fewest holds among them.
    pub holds: usize,
    /// A change is at least this share of the known load, less all limits of error.
    pub least_share: f64,
    /// A change is at most this share of the known load, plus all limits of error.
    pub most_share: f64,
    /// How far the true current of the known load may be off at most, as a share.
    pub load_tolerance: f64,
    /// What position in the jaws adds to a clamp's limit of error, as a share of the reading.
    pub clamp_position_share: f64,
    /// `loaded` begins here.
    pub no_load: Current,
    /// How long a sighting counts, seconds.
    pub fresh_s: u32,
    /// By how much of its scale a tone must stand out.
    pub tone_lead: f64,
    /// Whether the billing records are a cause of their own.
    pub billing_apart: bool,
}

impl Limits {
    /// The limits for the evidence of a job. An opening that showed another set has shown that more
    /// was false than the sheet tolerates: from then on the job tolerates one more, so that the same
    /// ways do not name the same set again.
    pub fn of(rules: &RuleSheet, evidence: &Evidence) -> Self {
        let mut limits = Self::from(rules);
        if evidence.another_set_shown && limits.tolerated_false_causes < MOST_TOLERATED {
            limits.tolerated_false_causes += 1;
        }
        limits
    }
}

impl From<&RuleSheet> for Limits {
    fn from(rules: &RuleSheet) -> Self {
        let count = |n: u32| usize::try_from(n).unwrap_or(usize::MAX);
        Self {
            tolerated_false_causes: count(rules.tolerated_false_causes),
            slots: count(rules.step_least_slots),
            changes: count(rules.step_least_changes),
            holds: count(rules.step_least_holds),
            least_share: rules.step_least_share.to_f64(),
            most_share: rules.step_most_share.to_f64(),
            load_tolerance: rules.step_load_tolerance_share(),
            clamp_position_share: rules.clamp_position_share(),
            no_load: rules.no_load(),
            fresh_s: rules.sighting_fresh_s,
            tone_lead: f64::from(rules.tone_least_lead_percent),
            billing_apart: rules.billing_records_apart,
        }
    }
}
