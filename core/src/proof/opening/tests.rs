//! Tests of the proof by opening.

use proptest::prelude::*;

use super::{
    super::{
        DeadProof,
        example::{Desk, at_point, service, whole_proof, zone},
        prove_dead,
    },
    *,
};
use crate::{
    plant::{
        Conductor::{L1, L2},
        VoltageSystem,
    },
    reading::{Taken, VoltsReading},
};

#[derive(Clone)]
enum Step {
    Read(Taken<VoltsReading>),
    Opened(EventId, Conductor),
    Operated(EventId),
}

fn event(name: &str) -> EventId {
    EventId::new(name).unwrap()
}

fn pad() -> AssetId {
    AssetId::new("P07").unwrap()
}

/// Live before, two lifts, the whole proof of dead, the bus live after: 2 + 2 + 16 + 2 steps.
fn good() -> Vec<Step> {
    let volts = |n, s, point: &Point, shown| Step::Read(at_point(n, s, point, shown));
    let mut steps = vec![
        volts(1, 1, &Point::at_base(&service(), L1), "121"),
        volts(2, 2, &Point::at_base(&service(), L2), "120"),
        Step::Opened(event("o1"), L1),
        Step::Opened(event("o2"), L2),
    ];
    steps.extend(whole_proof(&zone(), VoltageSystem::Split120_240, 10).into_iter().map(Step::Read));
    steps.push(volts(3, 200, &Point::on_bus(&pad(), L1), "121"));
    steps.push(volts(4, 201, &Point::on_bus(&pad(), L2), "120"));
    steps
}

fn judge(desk: &Desk, steps: &[Step]) -> OpeningProof {
    let after: Vec<_> = steps
        .iter()
        .rev()
        .take_while(|step| !matches!(step, Step::Opened(..)))
        .filter_map(|step| match step {
            Step::Read(taken) => Some(taken.clone()),
            _ => None,
        })
        .collect();
    let dead = match prove_dead(&zone(), &after, desk.with()) {
        DeadProof::Proven(proven) => Some(proven),
        _ => None,
    };
    let happened: Vec<_> = steps
        .iter()
        .map(|step| match step {
            Step::Read(taken) => Happening::Read(taken),
            Step::Opened(event, leg) => Happening::Opened { event, leg: Some(*leg) },
            Step::Operated(event) => Happening::Operated { event },
        })
        .collect();
    prove_by_opening(&service(), &pad(), &happened, dead.as_ref(), desk.with())
}

fn ids(proof: &OpeningProof) -> Vec<&'static str> {
    match proof {
        OpeningProof::Proven(_) => vec![],
        OpeningProof::Void { why } => why.iter().map(VoidOpening::id).collect(),
        OpeningProof::Missing { missing } => missing.iter().map(MissingOpening::id).collect(),
    }
}

fn set(steps: &mut [Step], which: usize, shown: &str) {
    match &mut steps[which] {
        Step::Read(taken) => taken.reading.volts = shown.parse().unwrap(),
        _ => panic!("no reading"),
    }
}

fn check(change: impl FnOnce(&mut Vec<Step>), wanted: &[&str]) {
    let mut steps = good();
    change(&mut steps);
    assert_eq!(ids(&judge(&Desk::new(), &steps)), wanted);
}

#[test]
fn live_before_our_opening_dead_after_and_the_bus_alive_proves_it() {
    assert!(matches!(judge(&Desk::new(), &good()), OpeningProof::Proven(_)));
}

#[test]
fn a_base_dead_before_makes_it_void() {
    check(|s| set(s, 0, "0"), &["opening-base-dead-before"]);
    check(|s| set(s, 0, "20"), &["opening-base-live-before"]);
    check(|s| drop(s.remove(1)), &["opening-base-live-before"]);
}

#[test]
fn a_bus_dead_or_unread_after_proves_nothing() {
    let last = good().len() - 1;
    check(|s| set(s, last, "0"), &["opening-bus-dead"]);
    check(|s| drop(s.pop()), &["opening-bus-live-after"]);
    check(
        |s| {
            let bus = s.pop().unwrap();
            s.insert(4, bus);
        },
        &["opening-bus-live-after"],
    );
}

#[test]
fn another_operation_between_makes_it_void() {
    for place in 1..good().len() {
        check(|s| s.insert(place, Step::Operated(event("x"))), &["opening-other-operation"]);
    }
    let mut steps = good();
    steps.insert(0, Step::Operated(event("x")));
    steps.push(Step::Operated(event("y")));
    assert!(matches!(judge(&Desk::new(), &steps), OpeningProof::Proven(_)));
}

#[test]
fn a_base_live_after_makes_it_void() {
    let point = Point::at_base(&service(), L2);
    check(
        |s| s.push(Step::Read(at_point(9, 300, &point, "119"))),
        &["opening-dead-after", "opening-base-live-after"][1..],
    );
}

#[test]
fn a_proof_of_dead_of_another_place_makes_it_void() {
    let other = Zone::MeterBase { service: AssetId::new("V015").unwrap() };
    let desk = Desk::new();
    let readings = whole_proof(&other, VoltageSystem::Split120_240, 10);
    let DeadProof::Proven(dead) = prove_dead(&other, &readings, desk.with()) else {
        panic!("not proven")
    };
    let event = event("o1");
    let happened = [Happening::Opened { event: &event, leg: Some(L1) }];
    let found = prove_by_opening(&service(), &pad(), &happened, Some(&dead), desk.with());
    assert_eq!(ids(&found), ["opening-other-zone"]);
}

#[test]
fn nothing_opened_shows_nothing() {
    check(|s| s.retain(|step| !matches!(step, Step::Opened(..))), &["opening-nothing-opened"]);
}

#[test]
fn a_proof_of_dead_from_before_the_opening_does_not_count() {
    check(
        |s| {
            let opened = s.remove(3);
            let end = s.len() - 2;
            s.insert(end, opened);
        },
        &["opening-dead-after"],
    );
}

proptest! {
    #[test]
    fn leaving_anything_out_proves_nothing(which in 0_usize..22) {
        let mut steps = good();
        let left_out = steps.remove(which);
        // One of two lifts may be left out: the other still is an opening.
        prop_assume!(!matches!(left_out, Step::Opened(..)));
        let proven = matches!(judge(&Desk::new(), &steps), OpeningProof::Proven(_));
        prop_assert!(!proven);
    }
}
