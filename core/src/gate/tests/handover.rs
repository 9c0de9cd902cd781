//! One test a rule, by the rule's id.

use super::good::*;
use crate::gate::{Rule, Step};

#[test]
fn wait_after_sources_off() {
    refused(Rule::WaitAfterSourcesOff, prove(|f| f.waited = false));
}

#[test]
fn tester_proven_around_proof() {
    refused(Rule::TesterProvenAroundProof, prove(|f| f.tester_proven = false));
}

#[test]
fn proof_holds() {
    refused(Rule::ProofHolds, prove(|f| f.lacks = some("dead-point-not-read")));
}

#[test]
fn dead_proven_before_handover() {
    refused(Rule::DeadProvenBeforeHandover, offer(|f| f.dead_proven = false));
    refused(Rule::DeadProvenBeforeHandover, accept(|f| f.dead_stands = false));
    refused(Rule::DeadProvenBeforeHandover, transfer(|f| f.dead_stands = false));
}

#[test]
fn proof_fresh_before_handover() {
    refused(Rule::ProofFreshBeforeHandover, offer(|f| f.fresh = false));
}

#[test]
fn proof_by_opening_before_handover() {
    refused(Rule::ProofByOpeningBeforeHandover, offer(|f| f.opening_proven = false));
}

#[test]
fn lifted_safe_before_handover() {
    refused(Rule::LiftedSafeBeforeHandover, offer(|f| f.unsafe_ends = some("L1")));
}

#[test]
fn grounded_before_handover() {
    refused(Rule::GroundedBeforeHandover, offer(|f| f.grounded = false));
}

#[test]
fn clearance_as_offered() {
    refused(Rule::ClearanceAsOffered, offer(|f| f.amiss = some("c-1")));
    refused(Rule::ClearanceAsOffered, accept(|f| f.amiss = some("c-1")));
    refused(Rule::ClearanceAsOffered, release(|f| f.amiss = some("c-1")));
    refused(Rule::ClearanceAsOffered, abandon(|f| f.amiss = some("c-1")));
    refused(Rule::ClearanceAsOffered, transfer(|f| f.amiss = some("c-1")));
    refused(Rule::ClearanceAsOffered, end_link(|f| f.amiss = some("c-1")));
}

#[test]
fn holder_tests_before_accept() {
    refused(Rule::HolderTestsBeforeAccept, accept(|f| f.test_lacks = some("L1-N")));
    refused(Rule::HolderTestsBeforeAccept, transfer(|f| f.test_lacks = some("L1-N")));
}

#[test]
fn holder_releases() {
    refused(Rule::HolderReleases, release(|f| f.by_holder = false));
    refused(Rule::HolderReleases, transfer(|f| f.by_holder = false));
}

#[test]
fn abandonment_complete() {
    refused(Rule::AbandonmentComplete, abandon(|f| f.lacks = some("seen clear")));
}

#[test]
fn no_clearance_held_before_closing() {
    for step in closing_steps(|c| c.held = some("c-1")) {
        refused(Rule::NoClearanceHeldBeforeClosing, step);
    }
    refused(Rule::NoClearanceHeldBeforeClosing, take_off(|c| c.held = some("c-1")));
    refused(Rule::NoClearanceHeldBeforeClosing, Step::Inspect { held: some("c-1") });
}

#[test]
fn no_link_offer_before_closing() {
    for step in closing_steps(|c| c.link_offers = some("c-2")) {
        refused(Rule::NoLinkOfferBeforeClosing, step);
    }
    refused(Rule::NoLinkOfferBeforeClosing, take_off(|c| c.link_offers = some("c-2")));
}

#[test]
fn clear_said_before_closing() {
    let unheard = |closing: &mut crate::gate::Closing| closing.unheard = some("phone-b (lw-b)");
    let mut steps = closing_steps(unheard);
    steps.push(take_off(unheard));
    for step in steps {
        let passed = deviated(Rule::ClearSaidBeforeClosing, step.clone(), |_| {});
        assert!(passed.deviated.contains(&Rule::ClearSaidBeforeClosing));
        refused(Rule::ClearSaidBeforeClosing, step);
    }
}

#[test]
fn no_offer_after_clear() {
    refused(Rule::NoOfferAfterClear, offer(|f| f.said_clear = true));
}

#[test]
fn opening_heard_before_offer() {
    refused(Rule::OpeningHeardBeforeOffer, offer(|f| f.unaware = some("phone-b (lw-b)")));
}

#[test]
fn inspected_before_restore() {
    for step in closing_steps(|c| c.inspected = false) {
        refused(Rule::InspectedBeforeRestore, step);
    }
}

#[test]
fn short_removed_before_landing() {
    refused(Rule::ShortRemovedBeforeLanding, land(|f| f.grounds = some("short")));
    refused(Rule::ShortRemovedBeforeLanding, close_switch(|f| f.grounds = some("ground")));
}

#[test]
fn insulation_compared_before_landing() {
    refused(Rule::InsulationComparedBeforeLanding, land(|f| f.insulation = false));
}

#[test]
fn neutral_before_hot() {
    refused(Rule::NeutralBeforeHot, land(|f| f.neutral = false));
}

#[test]
fn meter_out_before_landing() {
    refused(Rule::MeterOutBeforeLanding, land(|f| f.unloaded = false));
}

#[test]
fn live_proven_before_load() {
    refused(Rule::LiveProvenBeforeLoad, set_meter(|f| f.live_proven = false));
    refused(Rule::LiveProvenBeforeLoad, load_on(clear(), |_, proven| *proven = false));
}

#[test]
fn tags_off_before_closing() {
    refused(Rule::TagsOffBeforeClosing, set_meter(|f| f.tagged = some("tag P1V2/meter")));
    refused(Rule::TagsOffBeforeClosing, land(|f| f.tagged = some("tag P1-lug2")));
    refused(Rule::TagsOffBeforeClosing, close_switch(|f| f.tagged = some("lock P1-in")));
    let on_main = load_on(clear(), |tagged, _| *tagged = some("lock P1V2/main"));
    refused(Rule::TagsOffBeforeClosing, on_main);
}

#[test]
fn live_proven_before_close() {
    refused(Rule::LiveProvenBeforeClose, close(|f| f.live_proven = false));
}

#[test]
fn nothing_left_open_before_close() {
    refused(Rule::NothingLeftOpenBeforeClose, close(|f| f.left = some("L2 of P07:2")));
}
