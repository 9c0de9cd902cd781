//! What stands before anything is landed or closed.

use super::{
    facts::{LandFacts, SwitchClosedFacts},
    judge::{Gate, Refusal},
    rule::Rule,
};

impl Gate<'_> {
    pub(super) fn land(&mut self, facts: &LandFacts) -> Result<(), Refusal> {
        self.closing(&facts.closing)?;
        self.holds(Rule::LiftedFirst, facts.lifted)?;
        self.none(Rule::ShortRemovedBeforeLanding, &facts.grounds)?;
        self.none(Rule::TagsOffBeforeClosing, &facts.tagged)?;
        self.holds(Rule::MeterOutBeforeLanding, facts.unloaded)?;
        self.holds(Rule::InsulationComparedBeforeLanding, facts.insulation)?;
        self.holds(Rule::NeutralBeforeHot, facts.neutral)?;
        self.word(&facts.closing)
    }

    pub(super) fn close_switch(&mut self, facts: &SwitchClosedFacts) -> Result<(), Refusal> {
        self.closing(&facts.closing)?;
        self.none(Rule::ShortRemovedBeforeLanding, &facts.grounds)?;
        self.holds(Rule::LugPairIsLifted, !facts.lug_pair)?;
        self.none(Rule::TagsOffBeforeClosing, &facts.tagged)?;
        self.none(Rule::SwitchOrder, &facts.forbidden)?;
        self.none(Rule::LoopPointMeasured, &facts.loop_lacks)?;
        self.holds(Rule::PressureRelievedBeforeFuse, facts.pressure_relieved)?;
        self.word(&facts.closing)
    }
}
