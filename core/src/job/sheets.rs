//! What a job is judged with: the map sheet and the rule sheet it is pinned to.

use crate::{
    event::JobOpened,
    gate::EDITION,
    mapsheet,
    plant::Plant,
    reconcile::{Judgement, judge_by},
    rule_sheet::RuleSheet,
    sighting::{Conditions, Evidence},
};

/// Map sheet and rule sheet with their hashes, taken once.
#[derive(Debug, Clone)]
pub struct Sheets<'a> {
    /// The map record.
    pub plant: &'a Plant,
    /// The utility's limits.
    pub rules: &'a RuleSheet,
    pub(super) conditions: Conditions,
    pub(super) map_hash: String,
    pub(super) rules_hash: String,
}

impl<'a> Sheets<'a> {
    /// The sheets, hashed. A map sheet that cannot be hashed is one that no job is pinned to.
    pub fn new(plant: &'a Plant, rules: &'a RuleSheet) -> Self {
        Self {
            plant,
            rules,
            conditions: Conditions::ALL,
            map_hash: mapsheet::hash(plant).unwrap_or_default(),
            rules_hash: rules.hash(),
        }
    }

    /// The same sheets, judged with some condition of the identification rule left out: for tests
    /// and the simulator.
    #[cfg(feature = "weakened")]
    #[must_use]
    pub fn under(self, conditions: Conditions) -> Self {
        Self { conditions, ..self }
    }

    /// Judges the evidence of a job as the gates do.
    pub fn judge(&self, evidence: &Evidence) -> Judgement {
        judge_by(self.plant, self.rules, evidence, self.conditions)
    }

    /// Hash of the map sheet, hex.
    pub fn map_hash(&self) -> &str {
        &self.map_hash
    }

    /// Hash of the rule sheet, hex.
    pub fn rules_hash(&self) -> &str {
        &self.rules_hash
    }

    /// Whether a job is pinned to these sheets and this edition of the rules.
    pub fn pinned_by(&self, job: &JobOpened) -> bool {
        job.map_sheet_sha256.to_string() == self.map_hash
            && job.rule_sheet_sha256.to_string() == self.rules_hash
            && job.rules_edition == EDITION
    }
}
