//! One test a rule, by the rule's id.

use super::good::*;
use crate::gate::{Rule, Step};

#[test]
fn meter_number_read_before_pull() {
    refused(Rule::MeterNumberReadBeforePull, pull(|f| f.number_read = false));
}

#[test]
fn own_sources_off_before_pull() {
    refused(Rule::OwnSourcesOffBeforePull, pull(|f| f.own_sources_off = false));
}

#[test]
fn main_open_before_pull() {
    refused(Rule::MainOpenBeforePull, pull(|f| f.main_open = false));
}

#[test]
fn no_damage_before_pull() {
    refused(Rule::NoDamageBeforePull, pull(|f| f.damage = true));
}

#[test]
fn self_contained_below_300_volts_before_pull() {
    refused(Rule::SelfContainedBelow300VoltsBeforePull, pull(|f| f.above_pull_limit = true));
}

#[test]
fn bypass_open_before_pull() {
    refused(Rule::BypassOpenBeforePull, pull(|f| f.bypass_closed = true));
}

#[test]
fn ct_meter_stays() {
    refused(Rule::CtMeterStays, pull(|f| f.ct = true));
}

#[test]
fn main_open_before_set() {
    refused(Rule::MainOpenBeforeSet, set_meter(|f| f.main_open = false));
}

#[test]
fn questions_before_lift() {
    refused(Rule::QuestionsBeforeLift, lift(|f| f.questions = some("bolt")));
}

#[test]
fn dead_front_only() {
    refused(Rule::DeadFrontOnly, lift(|f| f.dead_front = false));
}

#[test]
fn enclosure_sound_before_lift() {
    refused(Rule::EnclosureSoundBeforeLift, lift(|f| f.enclosure = some("wet")));
}

#[test]
fn meter_out_before_lift() {
    refused(Rule::MeterOutBeforeLift, lift(|f| f.meter_out = false));
}

#[test]
fn amps_fresh_before_lift() {
    refused(Rule::AmpsFreshBeforeLift, lift(|f| f.stale = some("L1")));
}

#[test]
fn no_load_before_lift() {
    refused(Rule::NoLoadBeforeLift, lift(|f| f.loaded = some("L2")));
}

#[test]
fn no_load_with_meter_out() {
    refused(Rule::NoLoadWithMeterOut, lift(|f| f.with_meter_out = some("L1 14.0 A")));
}

#[test]
fn all_runs_in_jaws() {
    refused(Rule::AllRunsInJaws, lift(|f| f.part = some("L1")));
}

#[test]
fn clamp_proven_after_amps() {
    refused(Rule::ClampProvenAfterAmps, lift(|f| f.unproven = some("L2")));
}

#[test]
fn no_load_while_loosened() {
    refused(Rule::NoLoadWhileLoosened, lift(|f| f.loosened = some("L1")));
}

#[test]
fn lifted_first() {
    refused(Rule::LiftedFirst, Step::Secure { lifted: false });
    refused(Rule::LiftedFirst, land(|f| f.lifted = false));
    refused(Rule::LiftedFirst, short(|f| f.lifted = false));
}

#[test]
fn neutral_stays_landed() {
    refused(Rule::NeutralStaysLanded, lift(|f| f.hot_leg = false));
}

#[test]
fn one_leg_at_a_time() {
    refused(Rule::OneLegAtATime, lift(|f| f.on_lug = false));
}

#[test]
fn all_runs_lifted() {
    refused(Rule::AllRunsLifted, lift(|f| f.runs = (2, 1)));
}

#[test]
fn cap_and_restrain_before_next() {
    refused(Rule::CapAndRestrainBeforeNext, lift(|f| f.loose = some("L1")));
}

#[test]
fn leg_check_before_second_leg() {
    refused(Rule::LegCheckBeforeSecondLeg, lift(|f| f.unchecked = some("L1")));
}

#[test]
fn identified_before_opening() {
    refused(Rule::IdentifiedBeforeOpening, lift(|f| f.identified = false));
    refused(Rule::IdentifiedBeforeOpening, open_switch(|f| f.identified = false));
}

#[test]
fn switch_order() {
    refused(Rule::SwitchOrder, open_switch(|f| f.forbidden = some("no load break")));
    refused(Rule::SwitchOrder, close_switch(|f| f.forbidden = some("locked")));
}

#[test]
fn lug_pair_is_lifted() {
    refused(Rule::LugPairIsLifted, open_switch(|f| f.lug_pair = true));
    refused(Rule::LugPairIsLifted, close_switch(|f| f.lug_pair = true));
}

#[test]
fn pressure_relieved_before_fuse() {
    refused(Rule::PressureRelievedBeforeFuse, open_switch(|f| f.pressure_relieved = false));
    refused(Rule::PressureRelievedBeforeFuse, close_switch(|f| f.pressure_relieved = false));
}

#[test]
fn loop_point_measured() {
    refused(Rule::LoopPointMeasured, close_switch(|f| f.loop_lacks = some("loop-not-measured")));
}

#[test]
fn tested_before_ground() {
    refused(Rule::TestedBeforeGround, ground(|f| f.lacks = some("ground-not-proven")));
}

#[test]
fn lifted_tested_before_short() {
    refused(Rule::LiftedTestedBeforeShort, short(|f| f.tested = false));
}

#[test]
fn conflict_settled_first() {
    refused(Rule::ConflictSettledFirst, lift(|f| f.conflicts = some("e18")));
    refused(Rule::ConflictSettledFirst, offer(|f| f.conflicts = some("e18")));
    refused(Rule::ConflictSettledFirst, land(|f| f.closing.conflicts = some("e18")));
    refused(Rule::ConflictSettledFirst, take_off(|c| c.conflicts = some("e18")));
    refused(Rule::ConflictSettledFirst, open_switch(|f| f.conflicts = some("e18")));
}

#[test]
fn load_break_covers_amps() {
    refused(Rule::LoadBreakCoversAmps, open_switch(|f| f.amps = some("amps-not-read")));
}
