//! Steps as they should be: every fact holds, until a test breaks one.

#![allow(clippy::needless_pass_by_value, reason = "a test reads better with the step in place")]

use std::collections::BTreeSet;

use crate::gate::{
    AbandonFacts, AcceptFacts, CloseFacts, Closing, CorrectFacts, DeviationFacts, GroundFacts,
    KeysFacts, LandFacts, LiftFacts, LinkEndFacts, OfferFacts, OpenSwitchFacts, Passed, ProofFacts,
    PullFacts, Refusal, ReleaseFacts, ResumeFacts, Rule, RunEndFacts, SetMeterFacts, ShortFacts,
    Standing, Step, SwitchClosedFacts, TransferFacts, judge,
};

/// One name.
pub(super) fn some(name: &str) -> Vec<String> {
    vec![name.into()]
}

/// A job in order.
pub(super) fn standing() -> Standing {
    Standing {
        opened: true,
        pinned: true,
        read_only: false,
        id_is_new: true,
        role_fits: true,
        stopped: false,
        closed: false,
        unbriefed: Vec::new(),
        late: false,
        not_there: Vec::new(),
        marks_gone: Vec::new(),
        deviations: BTreeSet::new(),
    }
}

/// Nobody is in the way of a closing step.
pub(super) fn clear() -> Closing {
    Closing {
        held: Vec::new(),
        link_offers: Vec::new(),
        conflicts: Vec::new(),
        inspected: true,
        unheard: Vec::new(),
    }
}

fn standing_of(step: &Step) -> Standing {
    let opened = !matches!(step, Step::OpenJob { .. });
    Standing { opened, ..standing() }
}

/// The step, one fact of it broken, is refused by this rule.
pub(super) fn refused(rule: Rule, step: Step) {
    let refusal = judge(&standing_of(&step), &step).unwrap_err();
    assert_eq!(refusal.rule, rule, "{step:?}");
}

/// The step passes with a job in order, and is refused by this rule after the change.
pub(super) fn standing_refused(rule: Rule, step: &Step, change: impl FnOnce(&mut Standing)) {
    let mut standing = standing_of(step);
    change(&mut standing);
    let refusal: Refusal = judge(&standing, step).unwrap_err();
    assert_eq!(refusal.rule, rule, "{step:?}");
}

/// The step passes whatever was changed.
pub(super) fn standing_passes(step: &Step, change: impl FnOnce(&mut Standing)) {
    let mut standing = standing_of(step);
    change(&mut standing);
    assert_eq!(judge(&standing, step), Ok(Passed::default()), "{step:?}");
}

/// The step passes by a declared deviation.
pub(super) fn deviated(rule: Rule, step: Step, change: impl FnOnce(&mut Standing)) -> Passed {
    let mut standing = standing_of(&step);
    change(&mut standing);
    standing.deviations.insert(rule);
    judge(&standing, &step).unwrap()
}

/// Every step that closes a circuit, with one thing about it changed.
pub(super) fn closing_steps(change: impl Fn(&mut Closing)) -> Vec<Step> {
    let mut closing = clear();
    change(&mut closing);
    vec![
        land(|f| f.closing = closing.clone()),
        close_switch(|f| f.closing = closing.clone()),
        set_meter(|f| f.closing = closing.clone()),
        close(|f| f.closing = closing.clone()),
        load_on(closing.clone(), |_, _| {}),
    ]
}

/// A short, ground, lock or tag is taken off.
pub(super) fn take_off(change: impl FnOnce(&mut Closing)) -> Step {
    let mut closing = clear();
    change(&mut closing);
    Step::TakeOff(closing)
}

pub(super) fn pull(change: impl FnOnce(&mut PullFacts)) -> Step {
    let mut facts = PullFacts {
        stay_open: true,
        number_read: true,
        own_sources_off: true,
        main_open: true,
        damage: false,
        ct: false,
        bypass_closed: false,
        above_pull_limit: false,
    };
    change(&mut facts);
    Step::PullMeter(facts)
}

pub(super) fn set_meter(change: impl FnOnce(&mut SetMeterFacts)) -> Step {
    let mut facts = SetMeterFacts {
        closing: clear(),
        stay_open: true,
        main_open: true,
        tagged: Vec::new(),
        live_proven: true,
    };
    change(&mut facts);
    Step::SetMeter(facts)
}

/// The main is closed: what still hangs on it, and whether the supply is proven.
pub(super) fn load_on(closing: Closing, change: impl FnOnce(&mut Vec<String>, &mut bool)) -> Step {
    let (mut tagged, mut live_proven) = (Vec::new(), true);
    change(&mut tagged, &mut live_proven);
    Step::LoadOn { closing, tagged, live_proven }
}

pub(super) fn lift(change: impl FnOnce(&mut LiftFacts)) -> Step {
    let mut facts = LiftFacts {
        hot_leg: true,
        questions: Vec::new(),
        dead_front: true,
        enclosure: Vec::new(),
        runs: (1, 1),
        identified: true,
        meter_out: true,
        part: Vec::new(),
        stale: Vec::new(),
        loaded: Vec::new(),
        with_meter_out: Vec::new(),
        unproven: Vec::new(),
        loosened: Vec::new(),
        on_lug: true,
        loose: Vec::new(),
        unchecked: Vec::new(),
        conflicts: Vec::new(),
    };
    change(&mut facts);
    Step::Lift(facts)
}

pub(super) fn end_run(change: impl FnOnce(&mut RunEndFacts)) -> Step {
    let mut facts = RunEndFacts { own_open_run: true, seal_holds: true };
    change(&mut facts);
    Step::EndRun(facts)
}

pub(super) fn keys(change: impl FnOnce(&mut KeysFacts)) -> Step {
    let mut facts = KeysFacts { code_known: Vec::new() };
    change(&mut facts);
    Step::Keys(facts)
}

pub(super) fn short(change: impl FnOnce(&mut ShortFacts)) -> Step {
    let mut facts = ShortFacts { lifted: true, tested: true };
    change(&mut facts);
    Step::Short(facts)
}

pub(super) fn ground(change: impl FnOnce(&mut GroundFacts)) -> Step {
    let mut facts = GroundFacts { lacks: Vec::new() };
    change(&mut facts);
    Step::Ground(facts)
}

pub(super) fn open_switch(change: impl FnOnce(&mut OpenSwitchFacts)) -> Step {
    let mut facts = OpenSwitchFacts {
        forbidden: Vec::new(),
        lug_pair: false,
        amps: Vec::new(),
        pressure_relieved: true,
        identified: true,
        conflicts: Vec::new(),
    };
    change(&mut facts);
    Step::OpenSwitch(facts)
}

pub(super) fn close_switch(change: impl FnOnce(&mut SwitchClosedFacts)) -> Step {
    let mut facts = SwitchClosedFacts {
        closing: clear(),
        forbidden: Vec::new(),
        tagged: Vec::new(),
        lug_pair: false,
        loop_lacks: Vec::new(),
        pressure_relieved: true,
        grounds: Vec::new(),
    };
    change(&mut facts);
    Step::CloseSwitch(facts)
}

pub(super) fn land(change: impl FnOnce(&mut LandFacts)) -> Step {
    let mut facts = LandFacts {
        closing: clear(),
        lifted: true,
        grounds: Vec::new(),
        tagged: Vec::new(),
        insulation: true,
        neutral: true,
        unloaded: true,
    };
    change(&mut facts);
    Step::Land(facts)
}

pub(super) fn prove(change: impl FnOnce(&mut ProofFacts)) -> Step {
    let mut facts = ProofFacts { waited: true, tester_proven: true, lacks: Vec::new() };
    change(&mut facts);
    Step::Prove(facts)
}

pub(super) fn offer(change: impl FnOnce(&mut OfferFacts)) -> Step {
    let mut facts = OfferFacts {
        amiss: Vec::new(),
        dead_proven: true,
        fresh: true,
        opening_proven: true,
        unsafe_ends: Vec::new(),
        without_proof: Vec::new(),
        grounded: true,
        conflicts: Vec::new(),
        said_clear: false,
        unaware: Vec::new(),
    };
    change(&mut facts);
    Step::Offer(facts)
}

pub(super) fn accept(change: impl FnOnce(&mut AcceptFacts)) -> Step {
    let mut facts = AcceptFacts { amiss: Vec::new(), dead_stands: true, test_lacks: Vec::new() };
    change(&mut facts);
    Step::Accept(facts)
}

pub(super) fn release(change: impl FnOnce(&mut ReleaseFacts)) -> Step {
    let mut facts = ReleaseFacts { amiss: Vec::new(), by_holder: true };
    change(&mut facts);
    Step::Release(facts)
}

pub(super) fn abandon(change: impl FnOnce(&mut AbandonFacts)) -> Step {
    let mut facts = AbandonFacts { amiss: Vec::new(), lacks: Vec::new() };
    change(&mut facts);
    Step::Abandon(facts)
}

pub(super) fn transfer(change: impl FnOnce(&mut TransferFacts)) -> Step {
    let mut facts = TransferFacts {
        amiss: Vec::new(),
        by_holder: true,
        dead_stands: true,
        test_lacks: Vec::new(),
    };
    change(&mut facts);
    Step::Transfer(facts)
}

pub(super) fn end_link(change: impl FnOnce(&mut LinkEndFacts)) -> Step {
    let mut facts = LinkEndFacts { amiss: Vec::new() };
    change(&mut facts);
    Step::EndLink(facts)
}

pub(super) fn correct(change: impl FnOnce(&mut CorrectFacts)) -> Step {
    let mut facts = CorrectFacts { code_known: Vec::new(), of_stay: false, faults: Vec::new() };
    change(&mut facts);
    Step::Correct(facts)
}

pub(super) fn deviate(change: impl FnOnce(&mut DeviationFacts)) -> Step {
    let mut facts = DeviationFacts { deviable: true, lacks: Vec::new() };
    change(&mut facts);
    Step::Deviate(facts)
}

pub(super) fn resume(change: impl FnOnce(&mut ResumeFacts)) -> Step {
    let mut facts = ResumeFacts { lacks: Vec::new() };
    change(&mut facts);
    Step::Resume(facts)
}

pub(super) fn close(change: impl FnOnce(&mut CloseFacts)) -> Step {
    let mut facts = CloseFacts { closing: clear(), live_proven: true, left: Vec::new() };
    change(&mut facts);
    Step::Close(facts)
}
