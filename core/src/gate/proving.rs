//! What stands before something counts as proven.

use super::{
    facts::ProofFacts,
    judge::{Gate, Refusal},
    rule::Rule,
};

impl Gate<'_> {
    pub(super) fn prove(&mut self, facts: &ProofFacts) -> Result<(), Refusal> {
        self.holds(Rule::WaitAfterSourcesOff, facts.waited)?;
        self.holds(Rule::TesterProvenAroundProof, facts.tester_proven)?;
        self.none(Rule::ProofHolds, &facts.lacks)
    }
}
