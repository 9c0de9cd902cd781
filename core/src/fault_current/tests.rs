//! Tests of fault currents against worked examples.

use proptest::prelude::*;

use super::*;
use crate::plant::{ConductorSize, Metal};
use crate::quantity::{amps, celsius, in_amps, kilovolt_amps, metres, volts};

mod record;
mod wye;

fn triplex(neutral: &str, feet: f64) -> CableRun {
    CableRun {
        metal: Metal::Al,
        leg: ConductorSize::named("4/0").unwrap(),
        neutral: ConductorSize::named(neutral).unwrap(),
        length: metres(feet * 0.3048),
        runs: 1,
    }
}

fn plate(kva: f64, percent_z: f64, x_over_r: f64) -> TransformerPlate {
    TransformerPlate { rating: kilovolt_amps(kva), percent_z, x_over_r }
}

fn one_phase(
    source: Option<(f64, f64)>,
    unit: TransformerPlate,
    cables: Vec<CableRun>,
) -> SplitPhase {
    let primary = source.map(|(fault, x_over_r)| OnePhasePrimary {
        to_ground: volts(7200.0),
        source: Some(SourceStrength { fault: amps(fault), x_over_r }),
        lateral: Vec::new(),
    });
    let half = HalfWinding::INTERLACED;
    SplitPhase { primary, unit, half, beside: Vec::new(), shared: None, cables }
}

fn circuit(percent_z: f64, source: Option<(f64, f64)>, cables: Vec<CableRun>) -> Circuit {
    Circuit::SplitPhase(one_phase(source, plate(25.0, percent_z, 1.5), cables))
}

fn check(circuit: &Circuit, at: f64, expected: [f64; 4]) {
    let found = circuit.fault_currents(celsius(at)).unwrap();
    let meter = found.meter.unwrap();
    let all = [
        found.pad.line_to_line,
        found.pad.line_to_neutral,
        meter.line_to_line,
        meter.line_to_neutral,
    ];
    for (found, expected) in all.map(in_amps).into_iter().zip(expected) {
        assert!((found / expected - 1.0).abs() < 2e-5, "{found} against {expected}: {circuit:?}");
    }
}

/// 25 kVA, 100 ft of aluminium 4/0, against what OpenDSS 0.14.5 solved for the same circuits.
#[test]
fn agrees_with_a_solved_network() {
    let stiff = None;
    let finite = Some((2000.0, 4.0));
    let weak = Some((500.0, 2.0));
    for (z, source, neutral, at, expected) in [
        (1.6, stiff, "4/0", 25.0, [6510.4, 10018.3, 4633.5, 4221.4]),
        (1.6, stiff, "2/0", 25.0, [6510.4, 10018.3, 4633.5, 3657.0]),
        (1.6, stiff, "2/0", 75.0, [6510.4, 10018.3, 4426.8, 3271.1]),
        (1.6, finite, "4/0", 25.0, [5903.6, 9312.4, 4345.0, 4117.8]),
        (1.6, weak, "4/0", 25.0, [4547.4, 7548.0, 3576.4, 3765.1]),
        (1.8, stiff, "4/0", 25.0, [5787.0, 8905.1, 4262.2, 4020.9]),
        (1.8, finite, "2/0", 75.0, [5302.8, 8343.5, 3866.3, 3103.7]),
        (2.0, stiff, "4/0", 25.0, [5208.3, 8014.6, 3945.0, 3837.7]),
        (2.0, finite, "2/0", 75.0, [4813.0, 7557.1, 3603.7, 2997.5]),
        (2.0, weak, "4/0", 25.0, [3871.7, 6353.1, 3147.5, 3451.5]),
    ] {
        check(&circuit(z, source, vec![triplex(neutral, 100.0)]), at, expected);
    }
}

/// Leg to neutral at the terminals of one-phase units on a 100 000 kVA supply: a handbook's table
/// (Bussmann SPD, "Short-Circuit Currents Available from Various Size Transformers", from memory),
/// with its impedance tolerance of 0.9 and its factor of two on the supply.
#[test]
fn agrees_with_a_handbook_table() {
    for (kva, z, printed) in [
        (25.0, 1.5, 12_175.0),
        (37.5, 1.5, 18_018.0),
        (50.0, 1.5, 23_706.0),
        (75.0, 1.5, 34_639.0),
        (100.0, 1.6, 42_472.0),
        (167.0, 1.6, 66_644.0),
    ] {
        let source = (100_000e3 / (2.0 * 7200.0), 1e9);
        let one = one_phase(Some(source), plate(kva, 0.9 * z, 3.0), Vec::new());
        let circuit = Circuit::SplitPhase(one);
        let found = circuit.fault_currents(celsius(25.0)).unwrap();
        let found_amps = in_amps(found.pad.line_to_neutral);
        assert!((found_amps / printed - 1.0).abs() < 1e-3, "{kva} kVA: {found_amps}");
        assert_eq!(found.meter, None);
    }
}

/// Short of some fifty feet the fault to neutral is the larger one, beyond it the smaller.
#[test]
fn the_two_faults_change_sides_along_the_cable() {
    let ratio = |feet| {
        let unit = plate(50.0, 2.0, 1.5);
        let circuit = Circuit::SplitPhase(one_phase(None, unit, vec![triplex("4/0", feet)]));
        let meter = circuit.fault_currents(celsius(75.0)).unwrap().meter.unwrap();
        in_amps(meter.line_to_neutral) / in_amps(meter.line_to_line)
    };
    assert!(ratio(1.0) > 1.4);
    assert!(ratio(50.0) < 1.0, "{}", ratio(50.0));
    let mut crossing = (1..50).filter(|&feet| (ratio(f64::from(feet)) - 1.0).abs() < 0.02);
    assert!(crossing.next().is_some());
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let good = one_phase(Some((2000.0, 4.0)), plate(25.0, 1.6, 1.5), vec![triplex("4/0", 100.0)]);
    let check = |bad: SplitPhase, what: &str| {
        let bad = Circuit::SplitPhase(bad);
        assert_eq!(bad.fault_currents(celsius(25.0)).unwrap_err().what, what);
    };
    for percent_z in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let unit = TransformerPlate { percent_z, ..good.unit };
        check(SplitPhase { unit, ..good.clone() }, "the transformer's percent impedance");
    }
    let unit = plate(0.0, 1.6, 1.5);
    check(SplitPhase { unit, ..good.clone() }, "the transformer's kVA");
    check(one_phase(Some((0.0, 4.0)), good.unit, vec![]), "the source's fault amps");
    check(one_phase(None, good.unit, vec![triplex("4/0", -1.0)]), "a cable's length");
    let half = HalfWinding { r: 0.0, x: 1.2 };
    check(SplitPhase { half, ..good.clone() }, "the half winding's share of R");
    assert!(Circuit::SplitPhase(good).fault_currents(celsius(1000.0)).is_err());
}

proptest! {
    /// More of anything on the way never gives more current, and heat never does.
    #[test]
    fn every_impedance_on_the_way_lowers_the_current(
        z in 1.0_f64..4.0, fault in 200.0_f64..20_000.0, x_over_r in 0.0_f64..20.0,
        feet in 1.0_f64..400.0, cold in -20.0_f64..60.0, hotter in 0.1_f64..60.0,
    ) {
        let with = circuit(z, Some((fault, x_over_r)), vec![triplex("2/0", feet)]);
        let currents = |c: &Circuit, at| {
            let found = c.fault_currents(celsius(at)).unwrap();
            let meter = found.meter.unwrap();
            [in_amps(meter.line_to_line), in_amps(meter.line_to_neutral),
             in_amps(found.pad.line_to_line), in_amps(found.pad.line_to_neutral)]
        };
        let base = currents(&with, cold);
        prop_assert!(base[3] > base[2], "at the pad the fault to neutral is the larger");
        prop_assert!(base[2] > base[0] && base[3] > base[1]);
        let source = Some((fault, x_over_r));
        let stiff = currents(&circuit(z, None, vec![triplex("2/0", feet)]), cold);
        let longer = currents(&circuit(z, source, vec![triplex("2/0", feet + 1.0)]), cold);
        let hot = currents(&with, cold + hotter);
        let thicker = currents(&circuit(z, source, vec![triplex("4/0", feet)]), cold);
        for i in 0..4 {
            prop_assert!(stiff[i] > base[i]);
            prop_assert!(longer[i] <= base[i] && hot[i] <= base[i] && thicker[i] >= base[i]);
        }
    }
}
