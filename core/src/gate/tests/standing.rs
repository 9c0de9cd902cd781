//! One test a rule, by the rule's id.

use super::good::*;
use crate::gate::{Rule, Step};

#[test]
fn job_known_scope() {
    standing_refused(Rule::JobKnownScope, &Step::Work, |s| s.opened = false);
    standing_refused(Rule::JobKnownScope, &Step::OpenJob { listed: true }, |s| s.opened = true);
}

#[test]
fn rules_pinned() {
    standing_refused(Rule::RulesPinned, &Step::Work, |s| s.pinned = false);
}

#[test]
fn unknown_kind_read_only() {
    standing_refused(Rule::UnknownKindReadOnly, &Step::Work, |s| s.read_only = true);
}

#[test]
fn one_event_one_id() {
    standing_refused(Rule::OneEventOneId, &Step::Work, |s| s.id_is_new = false);
}

#[test]
fn crew_only() {
    standing_refused(Rule::CrewOnly, &Step::Work, |s| s.role_fits = false);
}

#[test]
fn named_things_there() {
    standing_refused(Rule::NamedThingsThere, &Step::Work, |s| s.not_there = some("run r-9"));
}

#[test]
fn newest_marks_alone() {
    standing_refused(Rule::NewestMarksAlone, &Step::Work, |s| s.marks_gone = some("marks-1 A"));
}

#[test]
fn closed_stays_closed() {
    standing_refused(Rule::ClosedStaysClosed, &Step::Work, |s| s.closed = true);
    standing_refused(Rule::ClosedStaysClosed, &lift(|_| {}), |s| s.closed = true);
    standing_passes(&Step::Note, |s| s.closed = true);
}

#[test]
fn stopped_until_led_back() {
    for step in [Step::Work, lift(|_| {}), land(|_| {}), offer(|_| {}), close(|_| {})] {
        standing_refused(Rule::StoppedUntilLedBack, &step, |s| s.stopped = true);
    }
    for step in [Step::Note, Step::MakeSafe, Step::Secure { lifted: true }, release(|_| {})] {
        standing_passes(&step, |s| s.stopped = true);
    }
    refused(Rule::StoppedUntilLedBack, resume(|f| f.lacks = some("checks")));
}

#[test]
fn late_is_never_fresh() {
    for step in [lift(|_| {}), prove(|_| {}), offer(|_| {}), accept(|_| {}), short(|_| {})] {
        standing_refused(Rule::LateIsNeverFresh, &step, |s| s.late = true);
    }
    standing_passes(&Step::Note, |s| s.late = true);
}

#[test]
fn briefed_before_cabinet() {
    let cabinet = Step::Cabinet { unknown_instruments: Vec::new() };
    for step in [cabinet, lift(|_| {}), pull(|_| {}), open_switch(|_| {})] {
        standing_refused(Rule::BriefedBeforeCabinet, &step, |s| s.unbriefed = some("lw-b"));
    }
    let passed = deviated(Rule::BriefedBeforeCabinet, lift(|_| {}), |s| {
        s.unbriefed = some("lw-b");
    });
    assert!(passed.deviated.contains(&Rule::BriefedBeforeCabinet));
}

#[test]
fn make_safe_is_never_gated() {
    standing_passes(&Step::MakeSafe, |s| {
        s.pinned = false;
        s.read_only = true;
        s.role_fits = false;
        s.stopped = true;
        s.closed = true;
        s.late = true;
        s.not_there = some("anything");
        s.unbriefed = some("anybody");
    });
}

#[test]
fn system_listed() {
    refused(Rule::SystemListed, Step::OpenJob { listed: false });
}

#[test]
fn known_instrument() {
    let unknown_instruments = some("clamp-9");
    refused(Rule::KnownInstrument, Step::Read { unknown_instruments: unknown_instruments.clone() });
    refused(Rule::KnownInstrument, Step::Cabinet { unknown_instruments });
}

#[test]
fn stay_open_for_sightings() {
    refused(Rule::StayOpenForSightings, Step::OfStay { open: false });
    refused(Rule::StayOpenForSightings, pull(|f| f.stay_open = false));
    refused(Rule::StayOpenForSightings, set_meter(|f| f.stay_open = false));
}

#[test]
fn run_inside_stay() {
    refused(Rule::RunInsideStay, Step::BeginRun { inside: false });
    refused(Rule::RunInsideStay, end_run(|f| f.own_open_run = false));
}

#[test]
fn keys_before_code_opens() {
    refused(Rule::KeysBeforeCodeOpens, keys(|f| f.code_known = some("r-1")));
    refused(Rule::KeysBeforeCodeOpens, correct(|f| f.code_known = some("r-1")));
}

#[test]
fn code_opened_matches_seal() {
    refused(Rule::CodeOpenedMatchesSeal, end_run(|f| f.seal_holds = false));
}

#[test]
fn stay_withdrawn_whole() {
    refused(Rule::StayWithdrawnWhole, correct(|f| f.of_stay = true));
}

#[test]
fn correction_names_event() {
    refused(Rule::CorrectionNamesEvent, correct(|f| f.faults = some("e99")));
}

#[test]
fn no_proof_by_deviation() {
    refused(Rule::NoProofByDeviation, deviate(|f| f.deviable = false));
    refused(Rule::NoProofByDeviation, offer(|f| f.without_proof = some("e18")));
}

#[test]
fn deviation_by_second_person() {
    refused(Rule::DeviationBySecondPerson, deviate(|f| f.lacks = some("second person")));
}

#[test]
fn a_deviation_passes_only_what_may_be_passed() {
    // Whatever is declared, a rule that is never passed refuses.
    for (rule, step) in [
        (Rule::AmpsFreshBeforeLift, lift(|f| f.stale = some("L1"))),
        (Rule::IdentifiedBeforeOpening, lift(|f| f.identified = false)),
        (Rule::DeadProvenBeforeHandover, offer(|f| f.dead_proven = false)),
        (Rule::NoClearanceHeldBeforeClosing, land(|f| f.closing.held = some("c-1"))),
    ] {
        standing_refused(rule, &step, |s| {
            s.deviations.insert(rule);
        });
    }
}
