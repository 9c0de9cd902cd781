//! The one gate: a step with its facts in, passed or refused out.

use std::collections::BTreeSet;

use serde::Serialize;

use super::{
    facts::{Closing, Standing, Step},
    rule::Rule,
};

/// Why a step is refused. The sentence stands in `words` under the rule's id.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, thiserror::Error)]
#[error("{rule}{}{}", if which.is_empty() { "" } else { ": " }, which.join(", "))]
pub struct Refusal {
    /// The rule that stands before it.
    pub rule: Rule,
    /// What is missing or in the way, by name; may be empty.
    pub which: Vec<String>,
}

/// A step that may be marked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Passed {
    /// Rules it passed by a declared deviation alone: it is then done without proof.
    pub deviated: BTreeSet<Rule>,
}

/// Judges one step.
pub fn judge(standing: &Standing, step: &Step) -> Result<Passed, Refusal> {
    let mut gate = Gate { deviations: &standing.deviations, passed: Passed::default() };
    gate.standing(standing, step)?;
    match step {
        Step::OpenJob { listed } => gate.holds(Rule::SystemListed, *listed)?,
        Step::Note | Step::Work | Step::MakeSafe => {}
        Step::Cabinet { unknown_instruments } | Step::Read { unknown_instruments } => {
            gate.none(Rule::KnownInstrument, unknown_instruments)?;
        }
        Step::OfStay { open } => gate.holds(Rule::StayOpenForSightings, *open)?,
        Step::BeginRun { inside } => gate.holds(Rule::RunInsideStay, *inside)?,
        Step::EndRun(facts) => gate.end_run(facts)?,
        Step::Keys(facts) => gate.none(Rule::KeysBeforeCodeOpens, &facts.code_known)?,
        Step::PullMeter(facts) => gate.pull(facts)?,
        Step::SetMeter(facts) => gate.set_meter(facts)?,
        Step::Lift(facts) => gate.lift(facts)?,
        Step::Secure { lifted } => gate.holds(Rule::LiftedFirst, *lifted)?,
        Step::Short(facts) => gate.short(facts)?,
        Step::Ground(facts) => gate.none(Rule::TestedBeforeGround, &facts.lacks)?,
        Step::TakeOff(closing) => {
            gate.clear_of_people(closing)?;
            // A refused acceptance is a person who may be at work all the same.
            gate.none(Rule::ConflictSettledFirst, &closing.conflicts)?;
            gate.word(closing)?;
        }
        Step::OpenSwitch(facts) => gate.open_switch(facts)?,
        Step::CloseSwitch(facts) => gate.close_switch(facts)?,
        Step::Land(facts) => gate.land(facts)?,
        Step::LoadOn { closing, tagged, live_proven } => {
            gate.closing(closing)?;
            gate.none(Rule::TagsOffBeforeClosing, tagged)?;
            gate.holds(Rule::LiveProvenBeforeLoad, *live_proven)?;
            gate.word(closing)?;
        }
        Step::Inspect { held } => gate.none(Rule::NoClearanceHeldBeforeClosing, held)?,
        Step::Prove(facts) => gate.prove(facts)?,
        Step::Offer(facts) => gate.offer(facts)?,
        Step::Accept(facts) => gate.accept(facts)?,
        Step::Release(facts) => gate.release(facts)?,
        Step::Abandon(facts) => gate.abandon(facts)?,
        Step::Transfer(facts) => gate.transfer(facts)?,
        Step::EndLink(facts) => gate.none(Rule::ClearanceAsOffered, &facts.amiss)?,
        Step::Correct(facts) => gate.correct(facts)?,
        Step::Deviate(facts) => gate.deviate(facts)?,
        Step::Resume(facts) => gate.none(Rule::StoppedUntilLedBack, &facts.lacks)?,
        Step::Close(facts) => gate.close(facts)?,
    }
    Ok(gate.passed)
}

/// A gate that is being passed.
pub(super) struct Gate<'a> {
    deviations: &'a BTreeSet<Rule>,
    passed: Passed,
}

impl Gate<'_> {
    /// The rule holds, or a deviation passes it, or it refuses.
    pub(super) fn holds(&mut self, rule: Rule, holds: bool) -> Result<(), Refusal> {
        self.check(rule, holds, Vec::new)
    }

    /// Nothing is missing or in the way.
    pub(super) fn none(&mut self, rule: Rule, in_the_way: &[String]) -> Result<(), Refusal> {
        self.check(rule, in_the_way.is_empty(), || in_the_way.to_vec())
    }

    fn check(
        &mut self,
        rule: Rule,
        holds: bool,
        which: impl FnOnce() -> Vec<String>,
    ) -> Result<(), Refusal> {
        if holds {
            return Ok(());
        }
        if rule.deviable() && self.deviations.contains(&rule) {
            self.passed.deviated.insert(rule);
            return Ok(());
        }
        Err(Refusal { rule, which: which() })
    }

    /// Nobody holds a clearance or may be about to by a link.
    pub(super) fn clear_of_people(&mut self, closing: &Closing) -> Result<(), Refusal> {
        self.none(Rule::NoClearanceHeldBeforeClosing, &closing.held)?;
        self.none(Rule::NoLinkOfferBeforeClosing, &closing.link_offers)
    }

    /// What stands before every closing step.
    pub(super) fn closing(&mut self, closing: &Closing) -> Result<(), Refusal> {
        self.clear_of_people(closing)?;
        self.none(Rule::ConflictSettledFirst, &closing.conflicts)?;
        self.holds(Rule::InspectedBeforeRestore, closing.inspected)
    }

    /// Every other phone has said clear: asked last of a closing step, when only people are left.
    pub(super) fn word(&mut self, closing: &Closing) -> Result<(), Refusal> {
        self.none(Rule::ClearSaidBeforeClosing, &closing.unheard)
    }
}
