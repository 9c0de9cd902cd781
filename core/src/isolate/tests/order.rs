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
