//! What a job is judged with: the map sheet and the rule sheet it is pinned to.

use crate::{
    event::{JobOpened, Sha256Hex},
    gate::EDITION,
    mapsheet,
    plant::Plant,
    reconcile::{Advice, Judgement, advise_by, identified_by, judge_by},
    rule_sheet::RuleSheet,
    sighting::{Conditions, Evidence, SetAt},
};

/// Map sheet and rule sheet with their hashes, taken once.
#[derive(Debug, Clone)]
pub struct Sheets<'a> {
    /// The map record.
    pub plant: &'a Plant,
    /// The utility's limits.
    pub rules: &'a RuleSheet,
    pub(super) conditions: Conditions,
    map_hash: String,
    rules_hash: String,
    /// The same two as bytes; none: one that no job is pinned to.
    bytes: Option<(Sha256Hex, Sha256Hex)>,
}

impl<'a> Sheets<'a> {
    /// The sheets, hashed. A map sheet that cannot be hashed is one that no job is pinned to.
    pub fn new(plant: &'a Plant, rules: &'a RuleSheet) -> Self {
        let map_hash = mapsheet::hash(plant).unwrap_or_default();
        Self::by_hashes(plant, rules, map_hash, rules.hash())
    }

    /// Sheets by hashes that are known: nothing is hashed again. For whoever plays many jobs and keeps
    /// no record of them, any name does that the jobs are pinned to.
    pub fn by_hashes(
        plant: &'a Plant,
        rules: &'a RuleSheet,
        map_hash: String,
        rules_hash: String,
    ) -> Self {
        let bytes = map_hash.parse().ok().zip(rules_hash.parse().ok());
        Self { plant, rules, conditions: Conditions::ALL, map_hash, rules_hash, bytes }
    }

    /// The same sheets, judged with some condition of the identification rule left out: for tests
    /// and the simulator.
    #[cfg(feature = "weakened")]
    #[must_use]
    pub fn under(self, conditions: Conditions) -> Self {
        Self { conditions, ..self }
    }

    /// What to do next by the evidence of a job: as [`Sheets::judge`] has it, in a fraction of its
    /// time.
    pub fn advise(&self, evidence: &Evidence) -> Advice {
        advise_by(self.plant, self.rules, evidence, self.conditions)
    }

    /// The set that the evidence of a job identifies: as [`Sheets::judge`] has it, and nothing else.
    pub fn identified(&self, evidence: &Evidence) -> Option<SetAt> {
        identified_by(self.plant, self.rules, evidence, self.conditions)
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
        self.bytes == Some((job.map_sheet_sha256, job.rule_sheet_sha256))
            && job.rules_edition == EDITION
    }
}
