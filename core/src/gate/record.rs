//! What stands before every event, and before corrections, deviations and the close.

use super::{
    facts::{CloseFacts, CorrectFacts, DeviationFacts, Standing, Step},
    judge::{Gate, Refusal},
    rule::Rule,
};

impl Gate<'_> {
    pub(super) fn standing(&mut self, standing: &Standing, step: &Step) -> Result<(), Refusal> {
        let opens = matches!(step, Step::OpenJob { .. });
        self.holds(Rule::JobKnownScope, standing.opened != opens)?;
        self.holds(Rule::OneEventOneId, standing.id_is_new)?;
        let make_safe = matches!(step, Step::MakeSafe);
        if make_safe {
            return Ok(());
        }
        self.holds(Rule::RulesPinned, standing.pinned)?;
        self.holds(Rule::UnknownKindReadOnly, !standing.read_only)?;
        self.holds(Rule::CrewOnly, standing.role_fits)?;
        self.none(Rule::NamedThingsThere, &standing.not_there)?;
        self.none(Rule::NewestMarksAlone, &standing.marks_gone)?;
        let after_close = matches!(step, Step::Note | Step::Correct(_));
        self.holds(Rule::ClosedStaysClosed, !standing.closed || after_close)?;
        self.holds(Rule::StoppedUntilLedBack, !standing.stopped || !waits_while_stopped(step))?;
        if standing.late && asks_for_freshness(step) {
            self.holds(Rule::LateIsNeverFresh, false)?;
        }
        if opens_cabinet(step) {
            self.none(Rule::BriefedBeforeCabinet, &standing.unbriefed)?;
        }
        Ok(())
    }

    pub(super) fn correct(&mut self, facts: &CorrectFacts) -> Result<(), Refusal> {
        self.holds(Rule::StayWithdrawnWhole, !facts.of_stay)?;
        self.none(Rule::KeysBeforeCodeOpens, &facts.code_known)?;
        self.none(Rule::CorrectionNamesEvent, &facts.faults)
    }

    pub(super) fn deviate(&mut self, facts: &DeviationFacts) -> Result<(), Refusal> {
        self.holds(Rule::NoProofByDeviation, facts.deviable)?;
        self.none(Rule::DeviationBySecondPerson, &facts.lacks)
    }

    pub(super) fn close(&mut self, facts: &CloseFacts) -> Result<(), Refusal> {
        self.closing(&facts.closing)?;
        self.none(Rule::NothingLeftOpenBeforeClose, &facts.left)?;
        self.holds(Rule::LiveProvenBeforeClose, facts.live_proven)?;
        self.word(&facts.closing)
    }
}

/// What a stopped job still lets through: what is seen, noted, handed back or made safe.
fn waits_while_stopped(step: &Step) -> bool {
    match step {
        Step::OpenJob { .. }
        | Step::Note
        | Step::Read { .. }
        | Step::OfStay { .. }
        | Step::Secure { .. }
        | Step::Short(_)
        | Step::Ground(_)
        | Step::Release(_)
        | Step::Abandon(_)
        | Step::EndLink(_)
        | Step::Correct(_)
        | Step::Deviate(_)
        | Step::MakeSafe
        | Step::Resume(_) => false,
        Step::Work
        | Step::Cabinet { .. }
        | Step::BeginRun { .. }
        | Step::EndRun(_)
        | Step::Keys(_)
        | Step::PullMeter(_)
        | Step::SetMeter(_)
        | Step::Lift(_)
        | Step::TakeOff(_)
        | Step::OpenSwitch(_)
        | Step::CloseSwitch(_)
        | Step::Land(_)
        | Step::LoadOn { .. }
        | Step::Inspect { .. }
        | Step::Prove(_)
        | Step::Offer(_)
        | Step::Accept(_)
        | Step::Transfer(_)
        | Step::Close(_) => true,
    }
}

/// Steps that rest on something fresh: an entry made late cannot be one of them.
fn asks_for_freshness(step: &Step) -> bool {
    matches!(
        step,
        Step::Lift(_)
            | Step::Short(_)
            | Step::Ground(_)
            | Step::Prove(_)
            | Step::Offer(_)
            | Step::Accept(_)
            | Step::Transfer(_)
            | Step::BeginRun { .. }
            | Step::EndRun(_)
    )
}

fn opens_cabinet(step: &Step) -> bool {
    matches!(
        step,
        Step::Cabinet { .. }
            | Step::Keys(_)
            | Step::PullMeter(_)
            | Step::Lift(_)
            | Step::OpenSwitch(_)
    )
}
