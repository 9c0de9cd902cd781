//! What openings are expected to break, against what they may.

use super::*;

const CABLE: &str = "cable:P1::out:P2::in";

fn cable() -> Request {
    Request::new(id("P1V1"), CABLE.parse().unwrap())
}

fn asked(all: &[Value], request: &Request) -> Isolation {
    isolate(&plant_of(all), request, &RuleSheet::default()).unwrap()
}

/// The elbow towards the last two pads, with a rating of that many amps: three customers behind it.
fn rated(amps: f64) -> Vec<Value> {
    with(row(), "P1-out", "load_break_amps", json!(amps))
}

/// Behind it hang 50 kVA with two customers and 50 kVA with one: at the peak 80 and 50 kVA of their
/// own, 130 / 1.8 together; at the most 100 kVA. At 7200 V that is 10.03 and 13.89 A.
#[test]
fn an_opening_says_what_it_is_expected_to_break() {
    let found = asked(&rated(14.0), &cable());
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    let load = plan.openings[0].expected.as_ref().unwrap();
    assert_eq!((load.likely_amps, load.most_amps), (Some(11), Some(14)));
    assert_eq!((load.basis, load.load_break_amps), (LoadBasis::Nameplate, Some(14)));
    assert!(load.source.contains("Kersting"), "{}", load.source);
    // 13.9 A of 14 A: nobody needs to read.
    assert!(!load.read_first);
    assert!(plan.steps.iter().all(|s| s.act != StepAct::ReadAmps));
    assert!(
        plan.cautions.iter().all(|c| c.id != CautionId::LoadNotKnown || c.about == Some(id("CO2")))
    );
    // Legs are lifted without load; what they carry until then is told all the same.
    let base = ask(&row(), "P1V2", "base-line-side");
    let lug = base.plans[0].openings[1].expected.as_ref().unwrap();
    assert_eq!((lug.likely_amps, lug.most_amps, lug.load_break_amps), (Some(125), Some(200), None));
    assert!(!lug.read_first);
}

#[test]
fn between_likely_and_most_the_amps_are_read_first() {
    let found = asked(&rated(11.0), &cable());
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    assert!(plan.openings[0].expected.as_ref().unwrap().read_first);
    let there: Vec<StepAct> =
        plan.steps.iter().filter(|s| s.branch == Some(id("P1-out"))).map(|s| s.act).collect();
    let read = there.iter().position(|&act| act == StepAct::ReadAmps).unwrap();
    assert!(read < there.iter().position(|&act| act == StepAct::ParkElbow).unwrap());
    let caution = Caution { id: CautionId::LoadNotKnown, about: Some(id("P1-out")) };
    assert!(plan.cautions.contains(&caution));
    assert!(plan.steps.iter().filter(|s| s.act == StepAct::ReadAmps).count() == 1);
}

#[test]
fn what_is_likely_too_much_is_refused_until_it_is_read() {
    let found = asked(&rated(10.0), &cable());
    let refused = found.not_allowed.iter().find(|n| n.branch == id("P1-out")).unwrap();
    assert_eq!(refused.rule, WhyNot::LikelyOverLoadBreak);
    let load = refused.expected.as_ref().unwrap();
    assert_eq!((load.likely_amps, load.load_break_amps), (Some(11), Some(10)));
    assert!(told(&found).all(|p| !opened(p).contains(&"P1-out")));
    let mut read = cable();
    read.loads.insert(id("P1-out"), ReadAmps::exactly(amps(9.5)));
    let found = asked(&rated(10.0), &read);
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    let load = plan.openings[0].expected.as_ref().unwrap();
    assert_eq!((load.basis, load.most_amps, load.read_first), (LoadBasis::Read, Some(10), false));
    let nowhere =
        Request { loads: [(id("nowhere"), ReadAmps::exactly(amps(1.0)))].into(), ..cable() };
    let error = isolate(&plant_of(&row()), &nowhere, &RuleSheet::default()).unwrap_err();
    assert!(matches!(error, RequestError::NoSuchBranch { .. }));
}

#[test]
fn peaks_on_the_record_go_before_nameplates() {
    let mut all = rated(10.0);
    for (service, peak) in [("P2V1", 10), ("P2V2", 12), ("P3V1", 20)] {
        all = with(all, service, "peak_kva", json!(peak));
    }
    // 42 / 1.8 kVA are 3.3 A: likely well below the rating, but full units would be above it.
    let found = asked(&all, &cable());
    let load = plan_with(&found, &["P1-out", "P2-in"]).openings[0].expected.clone().unwrap();
    assert_eq!((load.basis, load.likely_amps), (LoadBasis::Recorded, Some(4)));
    assert!(load.read_first && load.source.contains("metered"));
}

#[test]
fn where_no_feeder_reaches_somebody_reads() {
    let mut request = cable();
    request.states.insert(id("CO1"), SwitchState::Open);
    let found = asked(&row(), &request);
    let plan = plan_with(&found, &["P1-in", "P2-in"]);
    let load = plan.openings[0].expected.as_ref().unwrap();
    assert_eq!((load.basis, load.most_amps, load.read_first), (LoadBasis::Unknown, None, true));
    assert!(plan.steps.iter().any(|s| s.act == StepAct::ReadAmps));
}

/// In a closed ring nobody knows the shares: the elbows may meet all that hangs on it.
#[test]
fn in_a_loop_the_most_is_all_of_it() {
    let mut request = cable();
    request.states.insert(id("CO2"), SwitchState::Closed);
    for (rating, read_first) in [(20.0, true), (21.0, false)] {
        let found = asked(&rated(rating), &request);
        let plan = plan_with(&found, &["P1-out", "P2-in"]);
        let load = plan.openings[0].expected.as_ref().unwrap();
        assert_eq!((load.likely_amps, load.most_amps), (None, Some(21)));
        assert_eq!(load.read_first, read_first, "{rating}");
    }
}

/// Where two sources may be tied, a loop point is closed first: then all of the ring may come.
#[test]
fn where_sources_may_be_tied_the_most_is_that_of_the_tie() {
    let rules = RuleSheet { allow_paralleling: true, ..RuleSheet::default() };
    let found = isolate(&plant_of(&rated(14.0)), &cable(), &rules).unwrap();
    let load = plan_with(&found, &["P1-out", "P2-in"]).openings[0].expected.clone().unwrap();
    assert_eq!((load.likely_amps, load.most_amps), (Some(11), Some(21)));
    assert!(load.read_first);
}

/// A loop point that is closed meanwhile is opened again under all that it picked up.
#[test]
fn a_loop_point_picks_up_no_more_than_it_may_break() {
    let all = with(row(), "CO2", "load_break_amps", json!(5));
    let found = asked(&all, &cable());
    let plan = plan_with(&found, &["P1-out", "P2-in"]);
    let stays = NotPickedUp { branch: id("CO2"), rule: WhyNotPickedUp::Overload };
    assert_eq!((plan.pick_ups.len(), &*plan.not_picked_up), (0, &[stays][..]));
}

fn read(least: f64, most: f64, conductors: u32, doubts: &[&str]) -> ReadAmps {
    let doubts = doubts.iter().map(|&why| why.to_owned()).collect();
    ReadAmps { least: amps(least), most: amps(most), conductors, at: None, doubts }
}

/// Units on two phases hang behind it: one phase alone may not be the fullest.
#[test]
fn every_phase_is_read() {
    let mut all = with(rated(12.0), "P2-tx", "phase", json!("A"));
    all = with(all, "P3-tx", "phase", json!("B"));
    let plant = plant_of(&all);
    let mut request = cable();
    request.loads.insert(id("P1-out"), read(7.0, 8.0, 1, &[]));
    let one = expected_load(&plant, &request, &id("P1-out")).unwrap().unwrap();
    assert_eq!(one.doubts, [AmpsLack::NotEveryPhase.id()]);
    assert_ne!(one.basis, LoadBasis::Read);
    request.loads.insert(id("P1-out"), read(7.0, 8.0, 2, &[]));
    let both = expected_load(&plant, &request, &id("P1-out")).unwrap().unwrap();
    assert_eq!((both.basis, both.read_first), (LoadBasis::Read, false));
}

proptest::proptest! {
    /// Whatever was read, in whatever standing: a larger limit of error opens nothing that a smaller
    /// one leaves closed, and neither does holding something against it.
    #[test]
    fn more_limit_of_error_never_opens(
        rating in 8.0..16.0_f64, shown in 0.0..20.0_f64, error in 0.0..3.0_f64,
        more in 0.0..3.0_f64, doubted: bool,
    ) {
        let plant = plant_of(&rated(libm::round(rating)));
        let opens = |error: f64, doubts: &[&str]| {
            let mut request = cable();
            let least = (shown - error).max(0.0);
            request.loads.insert(id("P1-out"), read(least, shown + error, 1, doubts));
            let load = expected_load(&plant, &request, &id("P1-out")).unwrap().unwrap();
            let found = isolate(&plant, &request, &RuleSheet::default()).unwrap();
            let offered = found.plans.iter().chain(&found.dearer).flat_map(|plan| &plan.openings);
            let mut elbow = offered.filter(|opening| opening.branch == id("P1-out"));
            let planned = elbow.next().and_then(|opening| opening.expected.as_ref());
            let planned = planned.is_some_and(|load| !load.read_first);
            // The gate opens nothing that the plan would have read first.
            assert!(load.read_first || planned);
            !load.read_first
        };
        let doubts: &[&str] = if doubted { &["reading-stale"] } else { &[] };
        proptest::prop_assert!(opens(error, doubts) || !opens(error + more, doubts));
        proptest::prop_assert!(opens(error, &[]) || !opens(error, &["reading-stale"]));
        if opens(error, doubts) && !doubted {
            proptest::prop_assert!(shown + error <= libm::round(rating));
        }
    }
}
