//! Rules of single devices are steps, in their order, and each step says what is worn.

use super::*;
use StepAct::{
    FitParkingBushing, InsertFuse, OpenSwitch, ParkElbow, RelievePressure, RemoveTagAndLock,
    SecondWorker, SeeElbow, TestBeyondFuse,
};

use crate::rule_sheet::GloveClass;

fn unseen_allowed() -> RuleSheet {
    RuleSheet { allow_opening_without_visible_break: true, ..RuleSheet::default() }
}

fn acts_at(steps: &[Step], branch: &str) -> Vec<StepAct> {
    let here = steps.iter().filter(|s| s.branch.as_ref().is_some_and(|b| b.as_str() == branch));
    here.map(|s| s.act).collect()
}

#[test]
fn the_tank_is_vented_twice_before_a_fuse_is_drawn_and_once_before_it_goes_in() {
    let request = Request::new(id("P1V2"), Scope::BaseLineSide);
    let found = isolate(&plant_of(&row()), &request, &unseen_allowed()).unwrap();
    let plan = told(&found).find(|p| opened(p).contains(&"P1-fuse")).unwrap();
    let there = acts_at(&plan.steps, "P1-fuse");
    let cabinet = [StepAct::SeeEnclosure, StepAct::SeeDeadFront];
    assert_eq!(there[..2], cabinet);
    let drawn = [RelievePressure, RelievePressure, OpenSwitch, TestBeyondFuse];
    assert_eq!(there[2..], [&drawn[..], &[StepAct::TagAndLock]].concat());
    let back = acts_at(&plan.restoration, "P1-fuse");
    assert_eq!(back, [RemoveTagAndLock, RelievePressure, InsertFuse]);
    for caution in [CautionId::FuseLastResort, CautionId::FluidCold, CautionId::NoVisibleBreak] {
        assert!(plan.cautions.contains(&Caution { id: caution, about: Some(id("P1-fuse")) }));
    }
}

#[test]
fn an_elbow_takes_two_workers_and_a_parking_bushing_first() {
    let found = ask(&row(), "P1V1", "cable:P1::out:P2::in");
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    let there = acts_at(&plan.steps, "P1-out");
    assert_eq!(there[2..6], [SeeElbow, SecondWorker, FitParkingBushing, ParkElbow]);
    let back = acts_at(&plan.restoration, "P1-out");
    assert_eq!(back, [RemoveTagAndLock, SecondWorker, StepAct::SeatElbow]);
    let two = Caution { id: CautionId::ElbowTwoWorkers, about: Some(id("P1-out")) };
    assert!(plan.cautions.contains(&two));
    let parks = plan.steps.iter().filter(|s| s.act == ParkElbow);
    assert!(parks.into_iter().all(|s| s.protection.as_ref().unwrap().two_workers));
}

#[test]
fn questions_come_before_a_leg_is_lifted() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let steps = &found.plans[0].steps;
    let at = |act| steps.iter().position(|s| s.act == act).unwrap();
    for act in [
        StepAct::SeeEnclosure,
        StepAct::SeeDeadFront,
        StepAct::AskBolt,
        StepAct::AskRuns,
        StepAct::AskMeters,
    ] {
        assert!(at(act) < at(StepAct::PullMeter) && at(act) < at(StepAct::LiftLeg), "{act:?}");
    }
}

#[test]
fn every_step_says_what_is_worn() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let plan = &found.plans[0];
    for step in plan.steps.iter().chain(&plan.restoration) {
        assert_eq!(step.protection.is_none(), step.act == StepAct::Brief, "{step:?}");
    }
    let worn =
        |act| plan.steps.iter().find(|s| s.act == act).and_then(|s| s.protection.clone()).unwrap();
    // In the pad primary is a hand's breadth away; at the base it is not.
    let lift = worn(StepAct::LiftLeg);
    assert_eq!((lift.volts_to_ground, lift.gloves), (7200, Some(GloveClass::Two)));
    assert_eq!(lift.approach, KeepAway::AtLeast { millimetres: 650 });
    assert_eq!(lift.clothing_cal_per_cm2, Some("8".parse().unwrap()));
    assert!(lift.two_workers);
    let pull = worn(StepAct::PullMeter);
    assert_eq!((pull.volts_to_ground, pull.gloves), (120, Some(GloveClass::Zero)));
    assert_eq!(pull.approach, KeepAway::NoContact);
    assert!(!pull.two_workers && pull.approach_source.contains("R-6"));
    assert_eq!(worn(StepAct::CheckLegAtBase), pull);
}

/// The distance at a step of the plan for P2V1's base, and whether it is the one between phases.
fn kept(all: &[Value], act: StepAct, scope: &str) -> (KeepAway, bool) {
    let found = ask(all, "P2V1", scope);
    let step = found.plans[0].steps.iter().find(|step| step.act == act);
    let worn = step.and_then(|step| step.protection.clone()).unwrap();
    (worn.approach, worn.between_phases)
}

/// The fixture with P2's unit on another voltage system.
fn p2_on(system: &str) -> Vec<Value> {
    ["P2-tx", "P2V1", "P2V2"]
        .into_iter()
        .fold(row(), |all, of| with(all, of, "system", json!(system)))
}

#[test]
fn where_several_phases_are_exposed_the_distance_is_the_one_between_them() {
    let near = |millimetres| KeepAway::AtLeast { millimetres };
    let lift = |all: &[Value]| kept(all, StepAct::LiftLeg, "base-line-side");
    assert_eq!(lift(&row()), (near(650), false));
    for system in ["208y/120", "480y/277", "120/240-delta-4w"] {
        assert_eq!(lift(&p2_on(system)), (near(680), true), "{system}");
    }
    // Two legs of a three-phase unit are still in its pad.
    let mut network = p2_on("208y/120");
    network = with(network, "P2V1", "system", json!("208y/120-network"));
    assert_eq!(lift(&network), (near(680), true));
    assert_eq!(kept(&network, StepAct::ShowBusLive, "base-line-side"), (near(680), true));
    // One-phase units of two phases on one lateral: its cabinets have both.
    let one = with(row(), "P2-tx", "phase", json!("A"));
    assert_eq!(lift(&one), (near(650), false));
    let two = with(one, "P3-tx", "phase", json!("B"));
    assert_eq!(lift(&two), (near(680), true));
}

#[test]
fn the_row_of_the_table_for_higher_volts_differs_by_more() {
    let higher = |all: Vec<Value>| with(all, "SRC", "volts_line_to_line", json!(34_500));
    let lift = |all: &[Value]| kept(all, StepAct::LiftLeg, "base-line-side");
    let near = |millimetres| KeepAway::AtLeast { millimetres };
    assert_eq!(lift(&higher(row())), (near(770), false));
    assert_eq!(lift(&higher(p2_on("480y/277"))), (near(890), true));
}

#[test]
fn at_an_elbow_the_phases_of_its_lateral_count() {
    let park = |all: &[Value]| kept(all, ParkElbow, "pad-primary");
    let near = |millimetres| KeepAway::AtLeast { millimetres };
    assert_eq!(park(&row()), (near(650), false));
    assert_eq!(park(&p2_on("208y/120")), (near(680), true));
}

fn minded<'a>(steps: &'a [Step], act: StepAct, at: &str) -> Vec<&'a Caution> {
    let here = |step: &&Step| {
        step.act == act && step.branch.as_ref().is_none_or(|branch| branch.as_str() == at)
    };
    steps.iter().filter(here).flat_map(|step| &step.cautions).collect()
}

fn ids(cautions: &[&Caution]) -> Vec<CautionId> {
    cautions.iter().map(|caution| caution.id).collect()
}

/// What is minded in the pad differs from what is minded at the base.
#[test]
fn each_step_has_its_own_cautions() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let plan = &found.plans[0];
    let at = |act, at| ids(&minded(&plan.steps, act, at));
    assert_eq!(at(StepAct::OpenMain, "P1V2/main"), [CautionId::PossibleSource]);
    assert_eq!(at(StepAct::ReadMeter, "P1V2/meter"), [CautionId::MeteringNotKnown]);
    let lifts = [CautionId::NeutralNotDead; 2];
    assert_eq!(at(StepAct::LiftLeg, "P1-lug2"), lifts, "at every leg, in the data");
    assert_eq!(at(StepAct::ShortLiftedToNeutral, "P1-lug2"), [CautionId::PossibleSource]);
    let proof = [CautionId::NeutralNotDead, CautionId::PossibleSource];
    assert_eq!(at(StepAct::ProveDead, ""), proof);
    assert_eq!(at(StepAct::SeeEnclosure, "P1-lug2"), []);
    // Nobody is told at one elbow to mind another.
    let found = ask(&row(), "P1V1", "cable:P1::out:P2::in");
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    let parked = minded(&plan.steps, ParkElbow, "P2-in");
    assert!(parked.iter().all(|caution| caution.about == Some(id("P2-in"))), "{parked:?}");
    assert!(ids(&parked).contains(&CautionId::ElbowCold), "{parked:?}");
    let seated = minded(&plan.restoration, StepAct::SeatElbow, "P1-out");
    assert_eq!(ids(&seated), [CautionId::SuspectCable]);
}

/// A fuse's cautions are at the fuse and on the way back too.
#[test]
fn a_fuse_is_minded_where_it_is_drawn_and_where_it_goes_in() {
    let request = Request::new(id("P1V2"), Scope::BaseLineSide);
    let found = isolate(&plant_of(&row()), &request, &unseen_allowed()).unwrap();
    let plan = told(&found).find(|p| opened(p).contains(&"P1-fuse")).unwrap();
    let drawn = ids(&minded(&plan.steps, OpenSwitch, "P1-fuse"));
    let always = [CautionId::FuseLastResort, CautionId::FluidCold];
    assert_eq!(drawn, [&[CautionId::NoVisibleBreak], &always[..]].concat());
    assert_eq!(ids(&minded(&plan.restoration, InsertFuse, "P1-fuse")), always);
}

/// A set that feeds others is minded at its own lug, whoever it is about.
#[test]
fn a_caution_about_a_set_or_service_is_minded_at_its_lug() {
    let all = with(row(), "P1V2", "meters", json!([]));
    let found = ask(&all, "P1V2", "base-line-side");
    let plan = told(&found).find(|p| opened(p).contains(&"P1-lug2")).unwrap();
    assert!(plan.cautions.iter().any(|c| c.id == CautionId::UnmeteredLoads));
    let asked = ids(&minded(&plan.steps, StepAct::AskMeters, "P1-lug2"));
    assert_eq!(asked, [CautionId::UnmeteredLoads]);
}

/// Every caution of a plan stands at one of its steps, or has none to stand at.
#[test]
fn every_caution_stands_at_a_step() {
    for (service, scope) in [
        ("P1V2", "base-line-side"),
        ("P1V2", "base-both-sides"),
        ("P1V1", "pad-secondary"),
        ("P1V1", "pad-primary"),
        ("P1V1", "cable:P1::out:P2::in"),
    ] {
        let mut all = row();
        for of in ["P1V1", "P1V3", "P2V1"] {
            all = with(all, of, "critical", json!("life-support"));
        }
        let found = ask(&all, service, scope);
        for plan in told(&found).chain(&found.not_offered) {
            let steps = || plan.steps.iter().chain(&plan.restoration);
            let does = |acts: &[StepAct]| steps().any(|step| acts.contains(&step.act));
            for caution in &plan.cautions {
                let none = match caution.id {
                    CautionId::MeteringNotKnown => !does(&[StepAct::ReadMeter]),
                    CautionId::UnmeteredLoads => !does(&[StepAct::AskMeters]),
                    _ => false,
                };
                let stands = steps().any(|step| step.cautions.contains(caution));
                assert!(stands || none, "{scope}: {caution:?}");
            }
        }
    }
}
