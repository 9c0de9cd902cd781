//! Tests of isolation plans.

use serde_json::{Value, json};

use super::*;
use crate::gate::Rule;
use crate::mapsheet::fixture::{cable, changed, features, pad, plant_of};
use crate::plant::{Conductor, Device, SwitchState};
use crate::quantity::{AssetId, NodeId, amps};

mod back;
mod infeasible;
mod load;
mod order;
mod pickup;
mod random;
mod withdrawn;

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

fn node(text: &str) -> NodeId {
    NodeId::new(text).unwrap()
}

/// The fixture with cut-outs made for load.
fn row() -> Vec<Value> {
    let mut all = features();
    for f in &mut all {
        if f["properties"]["device"] == "cut-out" {
            f["properties"]["load_break_amps"] = json!(100);
        }
    }
    all
}

fn with(mut all: Vec<Value>, feature: &str, field: &str, value: Value) -> Vec<Value> {
    let found = all.iter_mut().find(|f| f["properties"]["id"] == feature).unwrap();
    found["properties"][field] = value;
    all
}

fn ask(all: &[Value], service: &str, scope: &str) -> Isolation {
    let request = Request::new(id(service), scope.parse().unwrap());
    isolate(&plant_of(all), &request, &RuleSheet::default()).unwrap()
}

fn not_allowed(branch: AssetId, rule: WhyNot) -> NotAllowed {
    NotAllowed { branch, rule, expected: None }
}

fn opened(plan: &Plan) -> Vec<&str> {
    plan.openings.iter().map(|o| o.branch.as_str()).collect()
}

/// Every plan that may be chosen.
fn told(found: &Isolation) -> impl Iterator<Item = &Plan> {
    found.plans.iter().chain(&found.dearer)
}

fn out(plan: &Plan) -> Vec<&str> {
    plan.customers_out.iter().map(|out| out.service.as_str()).collect()
}

/// The plan with exactly these openings.
fn plan_with<'a>(found: &'a Isolation, openings: &[&str]) -> &'a Plan {
    let all: Vec<Vec<&str>> = told(found).map(opened).collect();
    let place = all.iter().position(|o| o == openings);
    told(found).nth(place.unwrap_or_else(|| panic!("{openings:?} not among {all:?}"))).unwrap()
}

#[test]
fn at_a_base_the_two_legs_are_lifted_and_the_neighbours_stay_on() {
    let found = ask(&row(), "P1V2", "base-line-side");
    assert_eq!(found.zone, [node("P1V2")]);
    let best = &found.plans[0];
    assert_eq!(opened(best), ["P1V2/meter", "P1-lug2"]);
    assert_eq!(out(best), [""; 0]);
    assert_eq!(found.proof, Proof::Optimal);
    // Two legs and a meter by gloved hand at 120 V.
    assert_eq!((best.operations, best.exposure), (3, 12));
    assert_eq!(best.openings[1].legs, [Conductor::L1, Conductor::L2]);
    assert_eq!(found.fewest_openings, Some(2));
    assert!(found.complete && found.infeasible.is_none());
}

#[test]
fn the_steps_stand_in_the_order_that_is_safe() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let steps = &found.plans[0].steps;
    let acts: Vec<StepAct> = steps.iter().map(|s| s.act).collect();
    assert_eq!(
        acts,
        [
            StepAct::Brief,
            StepAct::SeeEnclosure,
            StepAct::SeeDeadFront,
            StepAct::AskBolt,
            StepAct::AskRuns,
            StepAct::AskMeters,
            StepAct::OpenMain,
            StepAct::ReadMeter,
            StepAct::PullMeter,
            StepAct::TagAndLock,
            StepAct::ClampLegs,
            StepAct::LiftLeg,
            StepAct::CapAndRestrain,
            StepAct::CheckLegAtBase,
            StepAct::LiftLeg,
            StepAct::CapAndRestrain,
            StepAct::CheckLegAtBase,
            StepAct::TagAndLock,
            StepAct::ShortLiftedToNeutral,
            StepAct::ProveDead,
            StepAct::ShowBusLive,
        ]
    );
    let lifts: Vec<&Step> = steps.iter().filter(|s| s.act == StepAct::LiftLeg).collect();
    assert!(lifts.iter().all(|s| s.gates.contains(&Rule::AmpsFreshBeforeLift)));
    assert!(!lifts[0].gates.contains(&Rule::LegCheckBeforeSecondLeg));
    assert!(lifts[1].gates.contains(&Rule::LegCheckBeforeSecondLeg));
    assert!(steps.iter().all(|s| s.leg != Some(Conductor::N)), "the neutral stays");
    let back = &found.plans[0].restoration;
    let acts: Vec<StepAct> = back.iter().map(|s| s.act).collect();
    assert_eq!(
        acts,
        [
            StepAct::RemoveShort,
            StepAct::RemoveTagAndLock,
            StepAct::CompareInsulation,
            StepAct::VerifyNeutral,
            StepAct::LandLeg,
            StepAct::LandLeg,
            StepAct::ProveLive,
            StepAct::RemoveTagAndLock,
            StepAct::SetMeter,
            StepAct::CloseMain,
            StepAct::ProveLive,
        ]
    );
    let closes = [StepAct::LandLeg, StepAct::SetMeter, StepAct::CloseMain];
    for step in back.iter().filter(|s| closes.contains(&s.act)) {
        assert!(step.gates.contains(&Rule::NoClearanceHeldBeforeClosing), "{step:?}");
    }
}

#[test]
fn alternatives_come_with_their_price() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let elbow = told(&found)
        .find(|p| opened(p).contains(&"P1-in") && opened(p).contains(&"P1-out"))
        .unwrap();
    assert_eq!(out(elbow), ["P1V1", "P1V3", "P2V1", "P2V2", "P3V1"]);
    assert_eq!(elbow.still_out, 2);
    // Neighbours of the pad could feed the bus: their mains are opened too.
    assert!(opened(elbow).contains(&"P1V1/main") && opened(elbow).contains(&"P1V3/main"));
    // The far pads can be fed from the other end meanwhile.
    assert_eq!(elbow.pick_ups.len(), 1);
    assert_eq!(elbow.pick_ups[0].close, id("CO2"));
    let back: Vec<&str> = elbow.pick_ups[0].customers_back.iter().map(AssetId::as_str).collect();
    assert_eq!(back, ["P2V1", "P2V2", "P3V1"]);
    // The fuse is priced and not offered: nobody can see its gap.
    let fuse = found.not_offered.iter().find(|p| opened(p).contains(&"P1-fuse")).unwrap();
    assert_eq!(out(fuse), ["P1V1", "P1V3"]);
    let unseen = not_allowed(id("P1-fuse"), WhyNot::NoVisibleBreak);
    assert!(found.not_allowed.contains(&unseen));
    assert!(found.plans.iter().all(|p| !opened(p).contains(&"P1-fuse")));
}

/// With nine neighbours the mains cost more than the target's own legs; the elbow is still told.
#[test]
fn a_dear_alternative_is_told_too() {
    let mut all = vec![json!({"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-30.2, 41.6]},
        "properties": {"kind": "source", "id": "S", "node": "n0",
            "volts_line_to_line": 12470}})];
    pad(&mut all, "P0", 10);
    cable(&mut all, "C0", "n0", "P0:in");
    let found = ask(&all, "P0V1", "base-line-side");
    assert_eq!(opened(&found.plans[0]), ["P0V1/meter", "P0-lug1"]);
    let elbow = told(&found).find(|p| opened(p).contains(&"P0-in")).unwrap();
    assert_eq!((elbow.customers_out.len(), elbow.operations), (9, 11));
}

#[test]
fn a_rule_sheet_may_allow_what_ours_does_not() {
    let text = "format = 1\nedition = \"t\"\nutility = \"Made-up Power\"\n\
        allow_opening_without_visible_break = true\n[reasons]\n\
        allow_opening_without_visible_break = \"the bus is tested and grounded every time\"\n";
    let rules = RuleSheet::parse(text).unwrap();
    let request = Request::new(id("P1V2"), Scope::BaseLineSide);
    let found = isolate(&plant_of(&row()), &request, &rules).unwrap();
    let fuse = told(&found).find(|p| opened(p).contains(&"P1-fuse")).unwrap();
    assert!(fuse.steps.iter().any(|s| s.act == StepAct::RelievePressure));
    let drawn = |s: &&Step| s.act == StepAct::OpenSwitch && s.branch == Some(id("P1-fuse"));
    let open = fuse.steps.iter().find(drawn).unwrap();
    assert!(open.gates.contains(&Rule::PressureRelievedBeforeFuse));
    let caution = Caution { id: CautionId::NoVisibleBreak, about: Some(id("P1-fuse")) };
    assert!(fuse.cautions.contains(&caution));
    assert_eq!(found.not_offered, []);
}

/// However little it exposes to: a fuse that may be drawn stands behind everything that leaves no
/// more customers out.
#[test]
fn a_fuse_is_the_last_resort_among_equals() {
    let rules = RuleSheet {
        allow_opening_without_visible_break: true,
        exposure_by_gloved_hand: 1000,
        ..RuleSheet::default()
    };
    let mut passed_over = 0;
    for scope in ["base-line-side", "base-both-sides"] {
        let request = Request::new(id("P1V1"), scope.parse().unwrap());
        for all in [row(), alone()] {
            let found = isolate(&plant_of(&all), &request, &rules).unwrap();
            let fuses = |p: &Plan| {
                p.openings.iter().filter(|o| o.device == Device::BayonetFuse && !o.hold).count()
            };
            let ranks: Vec<(usize, usize)> =
                found.plans.iter().map(|p| (p.still_out, fuses(p))).collect();
            assert!(ranks.is_sorted(), "{scope}: {ranks:?}");
            let first = &found.plans[0];
            let less = |p: &&Plan| p.still_out == first.still_out && p.exposure < first.exposure;
            passed_over += found.plans.iter().filter(less).filter(|p| fuses(p) > 0).count();
        }
    }
    assert!(passed_over > 0, "no fuse was cheaper than the first plan");
}

/// A pad with one service, so that nobody else goes out whatever opens; its elbow breaks no load.
fn alone() -> Vec<Value> {
    let mut all = vec![json!({"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-30.2, 41.6]},
        "properties": {"kind": "source", "id": "S", "node": "n0",
            "volts_line_to_line": 12470}})];
    pad(&mut all, "P1", 1);
    cable(&mut all, "C1", "n0", "P1:in");
    with(all, "P1-in", "load_break_amps", json!(0))
}

#[test]
fn a_customer_s_own_source_is_a_source() {
    let own = json!([{"type": "pv", "kw": 5, "transfer_switch": false}]);
    let all = with(row(), "P1V2", "customer_sources", own);
    let line = ask(&all, "P1V2", "base-line-side");
    let kinds: Vec<SourceKind> =
        line.sources.iter().filter(|s| s.id == id("P1V2")).map(|s| s.kind).collect();
    assert_eq!(kinds, [SourceKind::KnownCustomer, SourceKind::PossibleCustomer]);
    assert_eq!(opened(&line.plans[0]), ["P1V2/meter", "P1-lug2"]);
    let acts: Vec<StepAct> = line.plans[0].steps.iter().map(|s| s.act).collect();
    assert_eq!(
        acts[6..10],
        [StepAct::SourceOff, StepAct::OpenMain, StepAct::ReadMeter, StepAct::PullMeter]
    );
    let both = ask(&all, "P1V2", "base-both-sides");
    assert_eq!(opened(&both.plans[0]), ["P1V2/source-1", "P1V2/main", "P1-lug2"]);
    assert!(both.plans[0].steps.iter().any(|s| s.act == StepAct::PullMeter));
    let in_zone = not_allowed(id("P1V2/meter"), WhyNot::InZone);
    assert!(both.not_allowed.contains(&in_zone));
}

#[test]
fn a_shared_set_puts_the_sharer_out() {
    let mut all = with(row(), "P1-set1", "to", "ped".into());
    let point = json!({"type": "Point", "coordinates": [-30.2, 41.6]});
    all.push(json!({"type": "Feature", "geometry": point,
        "properties": {"kind": "pedestal", "id": "PED", "node": "ped"}}));
    for k in ["P1V1", "P1V9"] {
        all.push(json!({"type": "Feature", "geometry": null, "properties": {"kind": "set",
            "id": format!("tail-{k}"), "from": "ped", "to": k, "metal": "cu", "size": "2",
            "length_m": 10}}));
    }
    all.push(json!({"type": "Feature", "geometry": point, "properties": {"kind": "service",
        "id": "P1V9", "node": "P1V9", "premises": "9 Ropewalk Steps", "meters": ["MP19"],
        "meter_base_amps": 100, "system": "120/240-split-phase", "critical": "life-support"}}));
    let found = ask(&all, "P1V1", "base-line-side");
    let best = &found.plans[0];
    assert_eq!(opened(best), ["P1V9/main", "P1V1/meter", "P1-lug1"]);
    assert_eq!(out(best), ["P1V9"]);
    assert_eq!(best.customers_out[0].premises, "9 Ropewalk Steps");
    for caution in [
        Caution { id: CautionId::CriticalCustomerOut, about: Some(id("P1V9")) },
        Caution { id: CautionId::SharedSet, about: Some(id("P1-set1")) },
    ] {
        assert!(best.cautions.contains(&caution), "{caution:?}");
        let lifts = best.steps.iter().filter(|step| step.act == StepAct::LiftLeg);
        assert!(lifts.into_iter().all(|step| step.cautions.contains(&caution)), "{caution:?}");
    }
}

#[test]
fn meters_that_cannot_be_pulled_are_not_openings() {
    let ct = ask(&with(row(), "P1V1", "metering", "ct".into()), "P1V1", "base-line-side");
    let reason = not_allowed(id("P1V1/meter"), WhyNot::CtMeter);
    assert!(ct.not_allowed.contains(&reason));
    assert_eq!(opened(&ct.plans[0]), ["P1V1/main", "P1-lug1"]);
    assert!(ct.plans[0].steps.iter().all(|s| s.act != StepAct::PullMeter));
    let mut all = row();
    for f in &mut all {
        if f["properties"]["system"].is_string() {
            f["properties"]["system"] = "480y/277".into();
        }
    }
    let high = ask(&all, "P1V1", "base-line-side");
    let reason = not_allowed(id("P1V1/meter"), WhyNot::MeterVoltage);
    assert!(high.not_allowed.contains(&reason));
    assert_eq!(high.plans[0].openings[1].legs.len(), 3);
    // Three legs by gloved hand and a handle, both at 277 V.
    assert_eq!(high.plans[0].exposure, 3 * 4 + 1);
}

#[test]
fn inside_the_pad_its_own_lugs_and_elbows_do_not_count() {
    let secondary = ask(&row(), "P1V1", "pad-secondary");
    let own = not_allowed(id("P1-lug1"), WhyNot::InZone);
    assert!(secondary.not_allowed.contains(&own));
    // One cut-out drops the whole row, and the far end is open already; with an elbow beside it, or
    // by two elbows, the far pads can be picked up.
    assert_eq!(opened(&secondary.plans[0]), ["P1-out", "CO1"]);
    assert_eq!((secondary.plans[0].still_out, secondary.plans[0].customers_out.len()), (2, 5));
    let whole = plan_with(&secondary, &["CO1", "CO2"]);
    assert!(whole.openings[1].hold);
    assert_eq!((whole.still_out, whole.operations), (5, 1));
    let elbows = plan_with(&secondary, &["P1-in", "P1-out"]);
    assert_eq!(elbows.pick_ups[0].close, id("CO2"));
    assert!(secondary.sources.iter().all(|s| s.kind != SourceKind::PossibleCustomer));
    assert_eq!(secondary.grounded_against.len(), 6);
    assert!(
        secondary.plans[0]
            .steps
            .iter()
            .any(|s| s.act == StepAct::TestAndGround && s.gates == [Rule::TestedBeforeGround])
    );
    let primary = ask(&row(), "P1V1", "pad-primary");
    plan_with(&primary, &["P2-in", "CO1"]);
    let own = not_allowed(id("P1-in"), WhyNot::InZone);
    assert!(primary.not_allowed.contains(&own));
}

#[test]
fn a_cable_is_opened_at_both_ends() {
    let found = ask(&row(), "P1V1", "cable:P1::out:P2::in");
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    assert_eq!(plan.pick_ups[0].close, id("CO2"));
    let caution = Caution { id: CautionId::SuspectCable, about: None };
    assert!(plan.cautions.contains(&caution));
    let back = &plan.restoration;
    let end = back.iter().position(|s| s.act == StepAct::EndPickUp).unwrap();
    let close = back.iter().position(|s| s.act == StepAct::SeatElbow).unwrap();
    assert!(end < close, "the loop point is opened again before the cable is closed in");
    let request =
        Request::new(id("P1V1"), Scope::Cable { from: node("P1:out"), to: node("P3:in") });
    let error = isolate(&plant_of(&row()), &request, &RuleSheet::default()).unwrap_err();
    assert!(matches!(error, RequestError::NoSuchCable { .. }));
}

#[test]
fn what_is_open_already_is_held_and_costs_nothing() {
    let mut request = Request::new(id("P1V1"), "cable:P1::out:P2::in".parse().unwrap());
    request.states.insert(id("P1-out"), SwitchState::Open);
    let found = isolate(&plant_of(&row()), &request, &RuleSheet::default()).unwrap();
    let best = &found.plans[0];
    assert_eq!(opened(best), ["P1-out", "CO2"]);
    assert!(best.openings.iter().all(|o| o.hold));
    assert_eq!((best.operations, best.exposure), (0, 0));
    let other = plan_with(&found, &["P1-out", "P2-in"]);
    assert!(other.openings[0].hold && !other.openings[1].hold);
    assert_eq!(other.operations, 1);
    assert_eq!(out(best), [""; 0], "whoever was out before is not put out by the plan");
    assert!(
        best.restoration
            .iter()
            .all(|s| s.branch != Some(id("P1-out")) || s.act != StepAct::CloseSwitch)
    );
}

#[test]
fn ratings_are_kept() {
    let all = with(row(), "P1-out", "load_break_amps", json!(0));
    let found = ask(&all, "P1V1", "cable:P1::out:P2::in");
    let reason = not_allowed(id("P1-out"), WhyNot::NotLoadBreak);
    assert!(found.not_allowed.contains(&reason));
    plan_with(&found, &["P1-in", "P2-in"]);
    let mut request = Request::new(id("P1V1"), "cable:P1::out:P2::in".parse().unwrap());
    request.loads.insert(id("P2-in"), ReadAmps::exactly(amps(250.0)));
    let found = isolate(&plant_of(&row()), &request, &RuleSheet::default()).unwrap();
    let over = found.not_allowed.iter().find(|n| n.branch == id("P2-in")).unwrap();
    assert_eq!(over.rule, WhyNot::OverLoadBreak);
    assert_eq!(over.expected.as_ref().unwrap().likely_amps, Some(250));
    plan_with(&found, &["P1-out", "P2-out"]);
}

#[test]
fn a_request_that_makes_no_sense_is_refused() {
    let plant = plant_of(&row());
    let rules = RuleSheet::default();
    let nobody = Request::new(id("nobody"), Scope::BaseLineSide);
    assert!(matches!(isolate(&plant, &nobody, &rules), Err(RequestError::Feed(_))));
    let mut strange = Request::new(id("P1V1"), Scope::BaseLineSide);
    strange.states.insert(id("C1"), SwitchState::Open);
    let refused = isolate(&plant, &strange, &rules);
    assert_eq!(refused, Err(RequestError::NoSuchSwitch { branch: id("C1") }));
}

#[test]
fn a_plan_survives_its_json_form() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let text = serde_json::to_string(&found).unwrap();
    assert_eq!(serde_json::from_str::<Isolation>(&text).unwrap(), found);
    assert!(text.contains("\"device\":\"lug-pair\"") && text.contains("amps-fresh-before-lift"));
    let schema = serde_json::to_string(&schemars::schema_for!(Isolation)).unwrap();
    assert!(schema.contains("grounded_against"));
}

#[test]
fn the_untouched_fixture_cannot_open_its_cut_outs() {
    let found = ask(&changed("P1", "tags", json!(["T-P1"])), "P1V1", "pad-primary");
    let reason = not_allowed(id("CO1"), WhyNot::NotLoadBreak);
    assert!(found.not_allowed.contains(&reason));
    assert!(found.infeasible.is_some());
}
