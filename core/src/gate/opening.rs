//! What stands before a leg is lifted, a switch opened, lifted ends shorted.

use super::{
    facts::{LiftFacts, OpenSwitchFacts, ShortFacts},
    judge::{Gate, Refusal},
    rule::Rule,
};

impl Gate<'_> {
    /// Everything that stands before a conductor is lifted, the cabinet first, then the identity,
    /// then the load, then the order of the legs.
    pub(super) fn lift(&mut self, facts: &LiftFacts) -> Result<(), Refusal> {
        self.holds(Rule::NeutralStaysLanded, facts.hot_leg)?;
        self.none(Rule::ConflictSettledFirst, &facts.conflicts)?;
        self.none(Rule::QuestionsBeforeLift, &facts.questions)?;
        self.holds(Rule::DeadFrontOnly, facts.dead_front)?;
        self.none(Rule::EnclosureSoundBeforeLift, &facts.enclosure)?;
        self.holds(Rule::IdentifiedBeforeOpening, facts.identified)?;
        self.holds(Rule::MeterOutBeforeLift, facts.meter_out)?;
        self.none(Rule::AllRunsInJaws, &facts.part)?;
        self.none(Rule::AmpsFreshBeforeLift, &facts.stale)?;
        self.none(Rule::NoLoadBeforeLift, &facts.loaded)?;
        self.none(Rule::NoLoadWithMeterOut, &facts.with_meter_out)?;
        self.none(Rule::ClampProvenAfterAmps, &facts.unproven)?;
        self.none(Rule::NoLoadWhileLoosened, &facts.loosened)?;
        self.holds(Rule::OneLegAtATime, facts.on_lug)?;
        let (runs, lifted) = facts.runs;
        self.holds(Rule::AllRunsLifted, runs == lifted)?;
        self.none(Rule::CapAndRestrainBeforeNext, &facts.loose)?;
        self.none(Rule::LegCheckBeforeSecondLeg, &facts.unchecked)
    }

    pub(super) fn open_switch(&mut self, facts: &OpenSwitchFacts) -> Result<(), Refusal> {
        self.none(Rule::ConflictSettledFirst, &facts.conflicts)?;
        self.holds(Rule::LugPairIsLifted, !facts.lug_pair)?;
        self.none(Rule::SwitchOrder, &facts.forbidden)?;
        self.holds(Rule::IdentifiedBeforeOpening, facts.identified)?;
        self.none(Rule::LoadBreakCoversAmps, &facts.amps)?;
        self.holds(Rule::PressureRelievedBeforeFuse, facts.pressure_relieved)
    }

    pub(super) fn short(&mut self, facts: &ShortFacts) -> Result<(), Refusal> {
        self.holds(Rule::LiftedFirst, facts.lifted)?;
        self.holds(Rule::LiftedTestedBeforeShort, facts.tested)
    }
}
