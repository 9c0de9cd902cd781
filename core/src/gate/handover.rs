//! What stands before the work changes hands.

use super::{
    facts::{AbandonFacts, AcceptFacts, OfferFacts, ReleaseFacts, TransferFacts},
    judge::{Gate, Refusal},
    rule::Rule,
};

impl Gate<'_> {
    pub(super) fn offer(&mut self, facts: &OfferFacts) -> Result<(), Refusal> {
        self.none(Rule::ConflictSettledFirst, &facts.conflicts)?;
        self.none(Rule::ClearanceAsOffered, &facts.amiss)?;
        self.holds(Rule::NoOfferAfterClear, !facts.said_clear)?;
        self.holds(Rule::DeadProvenBeforeHandover, facts.dead_proven)?;
        self.holds(Rule::ProofFreshBeforeHandover, facts.fresh)?;
        self.holds(Rule::ProofByOpeningBeforeHandover, facts.opening_proven)?;
        self.none(Rule::NoProofByDeviation, &facts.without_proof)?;
        self.none(Rule::LiftedSafeBeforeHandover, &facts.unsafe_ends)?;
        self.holds(Rule::GroundedBeforeHandover, facts.grounded)?;
        self.none(Rule::OpeningHeardBeforeOffer, &facts.unaware)
    }

    pub(super) fn accept(&mut self, facts: &AcceptFacts) -> Result<(), Refusal> {
        self.none(Rule::ClearanceAsOffered, &facts.amiss)?;
        self.holds(Rule::DeadProvenBeforeHandover, facts.dead_stands)?;
        self.none(Rule::HolderTestsBeforeAccept, &facts.test_lacks)
    }

    pub(super) fn release(&mut self, facts: &ReleaseFacts) -> Result<(), Refusal> {
        self.none(Rule::ClearanceAsOffered, &facts.amiss)?;
        self.holds(Rule::HolderReleases, facts.by_holder)
    }

    pub(super) fn abandon(&mut self, facts: &AbandonFacts) -> Result<(), Refusal> {
        self.none(Rule::ClearanceAsOffered, &facts.amiss)?;
        self.none(Rule::AbandonmentComplete, &facts.lacks)
    }

    pub(super) fn transfer(&mut self, facts: &TransferFacts) -> Result<(), Refusal> {
        self.none(Rule::ClearanceAsOffered, &facts.amiss)?;
        self.holds(Rule::HolderReleases, facts.by_holder)?;
        self.holds(Rule::DeadProvenBeforeHandover, facts.dead_stands)?;
        self.none(Rule::HolderTestsBeforeAccept, &facts.test_lacks)
    }
}
