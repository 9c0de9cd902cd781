//! Picking customers up from the other side: ratings, what ties, who comes first.

use super::*;
use StepAct::{
    EndPickUp, FitParkingBushing, MeasureAcross, PickUp, RelievePressure, SecondWorker,
    SeeDeadFront, SeeElbow, SeeEnclosure, SeeGap, TestBeyondFuse,
};

const CABLE: &str = "cable:P1::out:P2::in";

fn pad_plan(all: &[Value], request: &Request, rules: &RuleSheet) -> Plan {
    let found = isolate(&plant_of(all), request, rules).unwrap();
    plan_with(&found, &["P1-out", "P2-in"]).clone()
}

fn cable() -> Request {
    Request::new(id("P1V1"), CABLE.parse().unwrap())
}

#[test]
fn a_pick_up_says_what_it_brings_back_and_what_it_carries() {
    let plan = pad_plan(&row(), &cable(), &RuleSheet::default());
    let by = &plan.pick_ups[0];
    // Two pads of 50 kVA at 7200 V are 13.9 A.
    assert_eq!((by.amps, by.rated_amps, by.operations), (14, 100, 1));
    let back: Vec<&str> = by.customers_back.iter().map(AssetId::as_str).collect();
    assert_eq!(back, ["P2V1", "P2V2", "P3V1"]);
    assert_eq!(plan.still_out, 0);
    assert!(plan.customers_out.iter().all(|out| out.back_by == Some(id("CO2"))));
    // Two elbows and a cut-out by stick above 1000 V.
    assert_eq!((plan.exposure, plan.operations), (30, 3));
}

#[test]
fn what_would_carry_too_much_stays_open_until_amps_are_read() {
    let all = with(row(), "CO2", "rated_amps", json!(5));
    let plan = pad_plan(&all, &cable(), &RuleSheet::default());
    assert_eq!((plan.pick_ups.len(), plan.still_out), (0, 3));
    let stays = NotPickedUp { branch: id("CO2"), rule: WhyNotPickedUp::Overload };
    assert_eq!(plan.not_picked_up, [stays]);
    let mut read = cable();
    read.loads.insert(id("P2-in"), ReadAmps::exactly(amps(4.0)));
    let plan = pad_plan(&all, &read, &RuleSheet::default());
    assert_eq!((plan.pick_ups[0].amps, plan.still_out), (4, 0));
}

#[test]
fn the_way_that_feeds_a_loop_point_is_rated_too() {
    // The second feeder's own switch carries 95 A of its 100 already.
    let mut all = with(row(), "CO2", "from", "mid".into());
    let point = json!({"type": "Point", "coordinates": [-30.2, 41.6]});
    all.push(json!({"type": "Feature", "geometry": point, "properties": {"kind": "switch",
        "id": "SW", "from": "src", "to": "mid", "device": "feeder-switch",
        "normally": "closed", "rated_amps": 100, "load_break_amps": 100, "visible_break": true,
        "lockable": true, "volts_nominal": 7200}}));
    assert_eq!(pad_plan(&all, &cable(), &RuleSheet::default()).still_out, 0);
    let mut read = cable();
    read.loads.insert(id("SW"), ReadAmps::exactly(amps(95.0)));
    let plan = pad_plan(&all, &read, &RuleSheet::default());
    assert_eq!((plan.still_out, plan.not_picked_up.len()), (3, 1));
}

/// What somebody opened for their own work is not closed to pick customers up.
#[test]
fn only_a_loop_point_is_closed() {
    let all = with(row(), "CO2", "normally", "closed".into());
    let mut request = cable();
    request.states.insert(id("CO2"), SwitchState::Open);
    let plan = pad_plan(&all, &request, &RuleSheet::default());
    assert_eq!((plan.pick_ups.len(), plan.still_out), (0, 3));
}

#[test]
fn where_sources_may_be_tied_nobody_goes_out_at_all() {
    let rules = RuleSheet { allow_paralleling: true, ..RuleSheet::default() };
    let plan = pad_plan(&row(), &cable(), &rules);
    assert_eq!((out(&plan), plan.still_out), (vec![], 0));
    let at = |steps: &[Step], act| steps.iter().position(|s| s.act == act).unwrap();
    assert!(at(&plan.steps, PickUp) < at(&plan.steps, StepAct::ParkElbow));
    let back = &plan.restoration;
    assert!(at(back, EndPickUp) > at(back, StepAct::SeatElbow));
}

#[test]
fn whom_it_would_endanger_comes_first() {
    let all = with(row(), "P3V1", "critical", "well-pump".into());
    let all = with(all, "P2V2", "critical", "life-support".into());
    let plan = pad_plan(&all, &cable(), &RuleSheet::default());
    assert_eq!(out(&plan), ["P2V2", "P3V1", "P2V1"]);
}

/// Fewer customers behind the loop point fit it: the opening moves outwards for them.
#[test]
fn openings_are_chosen_so_that_what_fits_is_picked_up() {
    let all = with(row(), "CO2", "rated_amps", json!(10));
    let found = isolate(&plant_of(&all), &cable(), &RuleSheet::default()).unwrap();
    let plan = plan_with(&found, &["P1-out", "P2-out"]);
    assert_eq!((plan.still_out, plan.pick_ups[0].amps), (2, 7));
}

/// The row with its loop point as another device, in the last pad, and rules that let all be opened.
fn by_device(device: &str) -> (Vec<Value>, RuleSheet) {
    let mut all = with(row(), "CO2", "device", device.into());
    let pad = all.iter_mut().find(|f| f["properties"]["id"] == "P3").unwrap();
    pad["properties"]["contains"].as_array_mut().unwrap().push("CO2".into());
    let rules = RuleSheet { allow_opening_without_visible_break: true, ..RuleSheet::default() };
    (with(all, "CO2", "pad", "P3".into()), rules)
}

fn acts_at_loop(steps: &[Step]) -> Vec<StepAct> {
    steps.iter().filter(|s| s.branch == Some(id("CO2"))).map(|s| s.act).collect()
}

#[test]
fn an_elbow_that_picks_up_is_handled_as_every_elbow() {
    let (all, rules) = by_device("elbow");
    let plan = pad_plan(&all, &cable(), &rules);
    let seen = [SeeEnclosure, SeeDeadFront, MeasureAcross, SeeElbow, SecondWorker, PickUp];
    assert_eq!(acts_at_loop(&plan.steps), seen);
    let back = [SeeElbow, SecondWorker, FitParkingBushing, EndPickUp, SeeGap];
    assert_eq!(acts_at_loop(&plan.restoration), back);
    for caution in [CautionId::ElbowTwoWorkers, CautionId::ElbowCold] {
        assert!(plan.cautions.contains(&Caution { id: caution, about: Some(id("CO2")) }));
    }
    let moved =
        plan.steps.iter().chain(&plan.restoration).filter(|s| matches!(s.act, PickUp | EndPickUp));
    assert!(moved.into_iter().all(|s| s.protection.as_ref().unwrap().two_workers));
}

#[test]
fn a_fuse_that_picks_up_is_vented_and_tested_beyond() {
    let (all, rules) = by_device("bayonet-fuse");
    let all = with(all, "CO2", "visible_break", false.into());
    let plan = pad_plan(&all, &cable(), &rules);
    let there = acts_at_loop(&plan.steps);
    assert_eq!(there[2..], [MeasureAcross, RelievePressure, PickUp]);
    let back = [RelievePressure, RelievePressure, EndPickUp, TestBeyondFuse];
    assert_eq!(acts_at_loop(&plan.restoration), back);
    let turned = |s: &&Step| matches!(s.act, PickUp | EndPickUp);
    for step in plan.steps.iter().chain(&plan.restoration).filter(turned) {
        assert!(step.gates.contains(&Rule::PressureRelievedBeforeFuse), "{step:?}");
    }
    for caution in [CautionId::FuseLastResort, CautionId::FluidCold, CautionId::NoVisibleBreak] {
        assert!(plan.cautions.contains(&Caution { id: caution, about: Some(id("CO2")) }));
    }
    // Where sources may be tied the far side stays fed: nothing beyond it is dead.
    let tied = RuleSheet { allow_paralleling: true, ..rules };
    let plan = pad_plan(&all, &cable(), &tied);
    let back = [RelievePressure, RelievePressure, EndPickUp];
    assert_eq!(acts_at_loop(&plan.restoration), back);
}

/// One pole at a time onto a unit of three legs.
#[test]
fn a_pick_up_onto_three_legs_warns_of_ferroresonance() {
    let caution = Caution { id: CautionId::Ferroresonance, about: Some(id("CO2")) };
    assert!(!pad_plan(&row(), &cable(), &RuleSheet::default()).cautions.contains(&caution));
    let mut all = row();
    for f in &mut all {
        if f["properties"]["system"].is_string() {
            f["properties"]["system"] = "480y/277".into();
        }
    }
    let plan = pad_plan(&all, &cable(), &RuleSheet::default());
    assert!(plan.cautions.contains(&caution));
}

/// A cut-out outside needs no more than to be measured and looked at.
#[test]
fn a_loop_point_is_measured_before_it_is_closed() {
    let plan = pad_plan(&row(), &cable(), &RuleSheet::default());
    assert_eq!(acts_at_loop(&plan.steps), [MeasureAcross, PickUp]);
    assert_eq!(acts_at_loop(&plan.restoration), [EndPickUp, SeeGap]);
}

/// Whoever takes over in the middle is told what stands, and how all of it goes back.
#[test]
fn a_pick_up_that_was_made_is_ended_before_anything_is_closed() {
    let mut request = cable();
    let open = ["P1-out", "P2-in"].map(id);
    request.states = open.clone().map(|branch| (branch, SwitchState::Open)).into();
    request.states.insert(id("CO2"), SwitchState::Closed);
    request.opened_here = open.into();
    request.picked_up = [id("CO2")].into();
    let found = isolate(&plant_of(&row()), &request, &RuleSheet::default()).unwrap();
    assert_eq!(found.withdrawn, []);
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    assert_eq!((plan.operations, plan.still_out, plan.pick_ups.len()), (0, 0, 0));
    let turned = plan.steps.iter().filter(|s| s.act.turn().is_some()).count();
    assert_eq!(turned, 0, "nothing is left to be opened");
    let back = plan.restoration.iter().filter(|s| s.act.turn().is_some());
    let back: Vec<(StepAct, &str)> =
        back.map(|s| (s.act, s.branch.as_ref().map_or("", AssetId::as_str))).collect();
    let seats = StepAct::SeatElbow;
    assert_eq!(back, [(EndPickUp, "CO2"), (seats, "P2-in"), (seats, "P1-out")]);
    // They go out once more while it is put back.
    assert_eq!(out(plan), ["P2V1", "P2V2", "P3V1"]);
    assert!(plan.customers_out.iter().all(|out| out.back_by == Some(id("CO2"))));
}
