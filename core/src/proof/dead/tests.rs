//! Tests of the proof of dead.

use proptest::prelude::*;

use super::{
    super::example::{Desk, at_point, whole_proof, zone},
    *,
};
use crate::{
    plant::{
        Conductor::{L1, N},
        VoltageSystem,
    },
    quantity::AssetId,
    reading::{
        InstrumentClass,
        example::{at, known, reading, taken},
    },
};

fn prove(desk: &Desk, readings: &[Taken<VoltsReading>]) -> DeadProof {
    prove_dead(&zone(), readings, desk.with())
}

fn good() -> Vec<Taken<VoltsReading>> {
    whole_proof(&zone(), VoltageSystem::Split120_240, 10)
}

fn lacks(desk: &Desk, readings: &[Taken<VoltsReading>]) -> Vec<&'static str> {
    match prove(desk, readings) {
        DeadProof::Missing { missing } => missing.iter().map(MissingDead::id).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_whole_proof_is_proven_and_names_what_it_rests_on() {
    let readings = good();
    assert_eq!(readings.len(), 2 + 6 + 6 + 2);
    let DeadProof::Proven(proven) = prove(&Desk::new(), &readings) else { panic!("not proven") };
    let events: Vec<_> = readings.iter().map(|taken| taken.event.clone()).collect();
    assert_eq!(proven.readings(), events);
    assert!(proven.is_fresh(&at(10 + 75 + 900), &RuleSheet::default()));
    assert!(!proven.is_fresh(&at(10 + 75 + 901), &RuleSheet::default()));
}

#[test]
fn every_system_can_be_proven_dead() {
    for system in VoltageSystem::ALL {
        let desk = Desk { system, ..Desk::new() };
        let readings = whole_proof(&zone(), system, 10);
        assert!(matches!(prove(&desk, &readings), DeadProof::Proven(_)), "{system}");
    }
}

#[test]
fn nothing_read_lacks_everything() {
    let lacks = lacks(&Desk::new(), &[]);
    assert_eq!(lacks.len(), 2 + 14);
    assert!(lacks.contains(&"dead-tester-before"));
}

#[test]
fn tester_must_be_shown_on_both_sides() {
    let desk = Desk::new();
    let readings = good();
    assert_eq!(lacks(&desk, &readings[1..]), ["dead-tester-before"]);
    assert_eq!(lacks(&desk, &readings[..readings.len() - 1]), ["dead-tester-after"]);
    let mut silent = good();
    silent.last_mut().unwrap().reading.volts = "0".parse().unwrap();
    assert_eq!(lacks(&desk, &silent), ["dead-tester-after"]);
}

#[test]
fn an_undecided_point_is_settled_by_a_retest_and_never_by_an_earlier_one() {
    let desk = Desk::new();
    let mut readings = good();
    let point = Point::of(&readings[3].reading);
    readings.insert(3, at_point(900, 21, &point, "17"));
    assert!(matches!(prove(&desk, &readings), DeadProof::Proven(_)));
    let mut readings = good();
    readings.insert(4, at_point(900, 26, &point, "17"));
    assert_eq!(lacks(&desk, &readings), ["dead-point-undecided"]);
}

#[test]
fn an_undecided_reading_counts_unless_it_is_surely_earlier() {
    let mut desk = Desk::new();
    let mut second = crate::reading::example::tester();
    second.id = InstrumentId::new("T2").unwrap();
    desk.instruments.insert(second.id.clone(), second.clone());
    let check = |change: fn(&mut Taken<VoltsReading>)| {
        let mut readings = good();
        // Before the dead reading in the record, after it by the clock.
        let mut ghost = at_point(900, 26, &Point::of(&readings[3].reading), "17");
        change(&mut ghost);
        readings.insert(1, ghost);
        lacks(&desk, &readings)
    };
    assert_eq!(check(|_| {}), ["dead-point-undecided"]);
    let by_another = |t: &mut Taken<VoltsReading>| {
        t.reading.instrument = InstrumentId::new("T2").unwrap();
    };
    assert_eq!(check(by_another), ["dead-point-undecided"]);
    let before_a_restart = |t: &mut Taken<VoltsReading>| {
        t.at = at(1);
        t.at.boot = "b0".into();
    };
    assert_eq!(check(before_a_restart), ["dead-point-undecided"]);
}

#[test]
fn a_live_reading_stops_whoever_took_it() {
    let desk = Desk::new();
    for instrument in ["T1", "never-entered"] {
        let mut readings = good();
        let mut live = at_point(900, 12, &Point::of(&readings[3].reading), "118");
        live.reading.instrument = InstrumentId::new(instrument).unwrap();
        readings.insert(1, live);
        let DeadProof::Live { live, .. } = prove(&desk, &readings) else { panic!("{instrument}") };
        assert_eq!(live.len(), 1);
    }
}

#[test]
fn a_live_lifted_leg_stops_the_proof_of_a_base() {
    let mut readings = good();
    let place = Place::LiftedLegs { pad: AssetId::new("P07").unwrap(), position: "2".into() };
    readings.push(taken(900, 90, reading(place, L1, N, "118")));
    let proof = prove(&Desk::new(), &readings);
    assert!(matches!(proof, DeadProof::Live { most_likely: Hypothesis::LiftedFed, .. }));
}

#[test]
fn another_base_says_nothing_about_this_one() {
    let mut readings = good();
    let place = Place::MeterBase { service: AssetId::new("V015").unwrap(), side: Side::Line };
    readings.push(taken(900, 50, reading(place, L1, N, "118")));
    assert!(matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_)));
}

#[test]
fn one_tester_for_all_of_it() {
    let mut desk = Desk::new();
    let mut second = crate::reading::example::tester();
    second.id = InstrumentId::new("T2").unwrap();
    desk.instruments.insert(second.id.clone(), second.clone());
    let mut readings = good();
    readings[3].reading.instrument = second.id.clone();
    assert_eq!(lacks(&desk, &readings), ["dead-point-other-tester"]);
    let mut readings = good();
    readings.last_mut().unwrap().reading.instrument = second.id;
    assert_eq!(lacks(&desk, &readings), ["dead-tester-after"]);
}

#[test]
fn a_multimeter_proves_no_dead() {
    let mut desk = Desk::new();
    for tester in desk.instruments.values_mut() {
        tester.class = InstrumentClass::DigitalMultimeter;
    }
    let lacks = lacks(&desk, &good());
    assert!(lacks.contains(&"dead-point-not-counted"), "{lacks:?}");
}

#[test]
fn a_restarted_phone_restarts_the_proof() {
    let mut readings = good();
    for taken in readings.iter_mut().skip(8) {
        taken.at.boot = "b2".into();
    }
    let DeadProof::Missing { .. } = prove(&Desk::new(), &readings) else { panic!("proven") };
}

#[test]
fn readings_that_break_circuit_law_are_read_again() {
    let mut readings = good();
    // L1-L2 at 4 V beside zeros to neutral: within the dead limit, and impossible.
    readings[1].reading.volts = "4".parse().unwrap();
    readings[2].reading.volts = "0".parse().unwrap();
    assert_eq!(lacks(&Desk::new(), &readings), ["dead-circuit-law"]);
}

#[test]
fn known_source_readings_are_no_points() {
    let mut readings = good();
    readings.push(taken(900, 95, reading(known(), L1, N, "119")));
    assert!(matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_)));
}

proptest! {
    #[test]
    fn leaving_any_reading_out_proves_nothing(which in 0_usize..16) {
        let mut readings = good();
        readings.remove(which);
        let missing = matches!(prove(&Desk::new(), &readings), DeadProof::Missing { .. });
        prop_assert!(missing);
    }

    #[test]
    fn making_any_point_live_stops(which in 1_usize..15, tenths in 600_u32..7000) {
        let mut readings = good();
        readings[which].reading.volts = format!("{}.{}", tenths / 10, tenths % 10).parse().unwrap();
        let stopped = matches!(prove(&Desk::new(), &readings), DeadProof::Live { .. });
        prop_assert!(stopped);
    }

    #[test]
    fn no_point_above_the_dead_limit_is_proven(which in 1_usize..15, tenths in 46_u32..7000) {
        let mut readings = good();
        readings[which].reading.volts = format!("{}.{}", tenths / 10, tenths % 10).parse().unwrap();
        let proven = matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_));
        prop_assert!(!proven);
    }

    #[test]
    fn moving_any_reading_out_of_the_window_proves_nothing(
        which in 0_usize..16, early: bool, far in 601_i64..100_000,
    ) {
        let mut readings = good();
        let shift = if early { -far } else { far };
        readings[which].at.mono_ms += shift * 1000;
        readings[which].at.wall_ms += shift * 1000;
        let proven = matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_));
        prop_assert!(!proven);
    }

    #[test]
    fn moving_any_point_past_a_check_proves_nothing(which in 1_usize..15, late: bool) {
        let mut readings = good();
        let end = if late { readings[15].at.clone() } else { readings[0].at.clone() };
        readings[which].at.mono_ms = end.mono_ms + if late { 1 } else { -1 };
        let proven = matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_));
        prop_assert!(!proven);
    }

    #[test]
    fn any_other_boot_or_tester_proves_nothing(which in 0_usize..16, boot: bool) {
        let mut readings = good();
        if boot {
            readings[which].at.boot = "b2".into();
        } else {
            readings[which].reading.instrument = InstrumentId::new("T9").unwrap();
        }
        let proven = matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_));
        prop_assert!(!proven);
    }

    #[test]
    fn the_order_of_the_record_does_not_matter_to_a_whole_proof(turn in 0_usize..16) {
        let mut readings = good();
        readings.rotate_left(turn);
        prop_assert!(matches!(prove(&Desk::new(), &readings), DeadProof::Proven(_)));
    }
}
