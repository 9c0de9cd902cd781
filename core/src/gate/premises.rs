//! What stands before the meter is pulled or set, and before a run counts.

use super::{
    facts::{PullFacts, RunEndFacts, SetMeterFacts},
    judge::{Gate, Refusal},
    rule::Rule,
};

impl Gate<'_> {
    pub(super) fn end_run(&mut self, facts: &RunEndFacts) -> Result<(), Refusal> {
        self.holds(Rule::RunInsideStay, facts.own_open_run)?;
        self.holds(Rule::CodeOpenedMatchesSeal, facts.seal_holds)
    }

    pub(super) fn pull(&mut self, facts: &PullFacts) -> Result<(), Refusal> {
        self.holds(Rule::StayOpenForSightings, facts.stay_open)?;
        self.holds(Rule::NoDamageBeforePull, !facts.damage)?;
        self.holds(Rule::CtMeterStays, !facts.ct)?;
        self.holds(Rule::SelfContainedBelow300VoltsBeforePull, !facts.above_pull_limit)?;
        self.holds(Rule::MeterNumberReadBeforePull, facts.number_read)?;
        self.holds(Rule::BypassOpenBeforePull, !facts.bypass_closed)?;
        self.holds(Rule::OwnSourcesOffBeforePull, facts.own_sources_off)?;
        self.holds(Rule::MainOpenBeforePull, facts.main_open)
    }

    pub(super) fn set_meter(&mut self, facts: &SetMeterFacts) -> Result<(), Refusal> {
        self.closing(&facts.closing)?;
        self.holds(Rule::StayOpenForSightings, facts.stay_open)?;
        self.none(Rule::TagsOffBeforeClosing, &facts.tagged)?;
        self.holds(Rule::MainOpenBeforeSet, facts.main_open)?;
        self.holds(Rule::LiveProvenBeforeLoad, facts.live_proven)?;
        self.word(&facts.closing)
    }
}
