//! Picking customers up from the other side: ratings, what ties, who comes first.

use super::*;

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
    assert!(at(&plan.steps, StepAct::PickUp) < at(&plan.steps, StepAct::ParkElbow));
    let back = &plan.restoration;
    assert!(at(back, StepAct::EndPickUp) > at(back, StepAct::SeatElbow));
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
