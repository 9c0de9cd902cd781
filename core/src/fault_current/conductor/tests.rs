//! Resistances and reactances against the printed tables of conductors, each table whole.

use super::*;
use crate::quantity::{celsius, metres};

/// NEC Chapter 9 Table 8, direct current at 75 °C, stranded: size, ohms per thousand feet of uncoated
/// copper and of aluminium (as three public copies print it, alike; 600 and above as two do).
const NEC_TABLE_8: [(&str, f64, f64); 17] = [
    ("6", 0.491, 0.808),
    ("4", 0.308, 0.508),
    ("3", 0.245, 0.403),
    ("2", 0.194, 0.319),
    ("1", 0.154, 0.253),
    ("1/0", 0.122, 0.201),
    ("2/0", 0.0967, 0.159),
    ("3/0", 0.0766, 0.126),
    ("4/0", 0.0608, 0.100),
    ("250", 0.0515, 0.0847),
    ("300", 0.0429, 0.0707),
    ("350", 0.0367, 0.0605),
    ("400", 0.0321, 0.0529),
    ("500", 0.0258, 0.0424),
    ("600", 0.0214, 0.0353),
    ("700", 0.0184, 0.0303),
    ("750", 0.0171, 0.0282),
];

/// NEC Chapter 9 Table 9, 60 Hz, 75 °C, three single conductors in plastic conduit: size, ohms per
/// thousand feet to neutral: reactance, resistance of copper, resistance of aluminium (as three
/// public copies print these columns, alike).
const NEC_TABLE_9: [(&str, f64, f64, f64); 16] = [
    ("6", 0.051, 0.49, 0.81),
    ("4", 0.048, 0.31, 0.51),
    ("3", 0.047, 0.25, 0.40),
    ("2", 0.045, 0.19, 0.32),
    ("1", 0.046, 0.15, 0.25),
    ("1/0", 0.044, 0.12, 0.20),
    ("2/0", 0.043, 0.10, 0.16),
    ("3/0", 0.042, 0.077, 0.13),
    ("4/0", 0.041, 0.062, 0.10),
    ("250", 0.041, 0.052, 0.085),
    ("300", 0.041, 0.044, 0.071),
    ("350", 0.040, 0.038, 0.061),
    ("400", 0.040, 0.033, 0.054),
    ("500", 0.039, 0.027, 0.043),
    ("600", 0.039, 0.023, 0.036),
    ("750", 0.038, 0.019, 0.029),
];

/// IEC 60228, most ohms per kilometre at 20 °C, classes 1 and 2: square millimetres, plain copper,
/// aluminium (as two public copies print it, alike).
const IEC_60228: [(f64, f64, f64); 13] = [
    (10.0, 1.83, 3.08),
    (16.0, 1.15, 1.91),
    (25.0, 0.727, 1.20),
    (35.0, 0.524, 0.868),
    (50.0, 0.387, 0.641),
    (70.0, 0.268, 0.443),
    (95.0, 0.193, 0.320),
    (120.0, 0.153, 0.253),
    (150.0, 0.124, 0.206),
    (185.0, 0.0991, 0.164),
    (240.0, 0.0754, 0.125),
    (300.0, 0.0601, 0.100),
    (400.0, 0.0470, 0.0778),
];

fn per_kft(metal: Metal, size: &str, degrees: f64) -> f64 {
    let size = ConductorSize::named(size).unwrap();
    1000.0 * ohms_per_foot(metal, size, celsius(degrees))
}

/// Half a step of the last digit that a table prints.
fn half_step(printed: f64) -> f64 {
    if printed < 0.1 { 0.000_05 } else { 0.000_5 }
}

fn run(leg: &str, neutral: &str) -> CableRun {
    CableRun {
        metal: Metal::Al,
        leg: ConductorSize::named(leg).unwrap(),
        neutral: ConductorSize::named(neutral).unwrap(),
        length: metres(304.8),
        runs: 1,
    }
}

/// Ohms per thousand feet at 25 and 75 °C of the conductors a published solver was given.
#[test]
fn resistance_of_aluminium_triplex() {
    for (size, at, expected) in [
        ("4/0", 25.0, 0.08361),
        ("4/0", 75.0, 0.10012),
        ("2/0", 25.0, 0.13292),
        ("2/0", 75.0, 0.15917),
    ] {
        let kft = per_kft(Metal::Al, size, at);
        assert!((kft - expected).abs() < 1e-5, "{size}: {kft}");
    }
}

/// Within 0.3 % and half a step of the last printed digit: both go back to the same conductivity,
/// and the table counts the strands' lay a little differently from size to size.
#[test]
fn resistance_is_that_of_nec_table_8() {
    for (size, copper, aluminium) in NEC_TABLE_8 {
        for (metal, printed) in [(Metal::Cu, copper), (Metal::Al, aluminium)] {
            let kft = per_kft(metal, size, 75.0);
            let off = (kft - printed).abs();
            assert!(off <= 0.003 * printed + half_step(printed), "{metal:?} {size}: {kft}");
        }
    }
}

/// Never more than the table's, which adds skin effect at 60 Hz and rounds to two digits, and at most
/// 11 % less (750 copper): alternating current in conduit, where these cables are buried and lie apart
/// from steel. Less resistance gives the larger current, which gear must withstand.
#[test]
fn resistance_is_below_nec_table_9() {
    for (size, _, copper, aluminium) in NEC_TABLE_9 {
        for (metal, printed) in [(Metal::Cu, copper), (Metal::Al, aluminium)] {
            let kft = per_kft(metal, size, 75.0);
            let rounding = if printed < 0.1 { 0.000_5 } else { 0.005 };
            assert!(kft <= printed + rounding, "{metal:?} {size}: {kft} above {printed}");
            assert!(kft >= 0.89 * printed - rounding, "{metal:?} {size}: {kft} below {printed}");
        }
    }
}

/// 55 to 80 % of the table's: bundled conductors touch, single ones in conduit lie about.
#[test]
fn reactance_is_below_nec_table_9() {
    for (size, reactance, ..) in NEC_TABLE_9 {
        let own = run(size, size).loops(celsius(75.0)).leg_to_leg.im / 2.0;
        let share = own / reactance;
        assert!((0.55..0.80).contains(&share), "{size}: {own} is {share} of {reactance}");
    }
}

/// Never above the most that the standard allows and at most 11 % below it: it is a limit for what is
/// made, and a conductor is drawn lighter than its nominal area where that still meets it.
#[test]
fn resistance_is_below_the_most_of_iec_60228() {
    for (square_mm, copper, aluminium) in IEC_60228 {
        let size = ConductorSize::named(&format!("{square_mm} mm2")).unwrap();
        for (metal, most) in [(Metal::Cu, copper), (Metal::Al, aluminium)] {
            let per_km = ohms_per_foot(metal, size, celsius(20.0)) / METRES_PER_FOOT * 1000.0;
            let share = per_km / most;
            assert!((0.89..=1.0).contains(&share), "{metal:?} {square_mm} mm2: {share} of {most}");
        }
    }
}

#[test]
fn loop_reactance_of_touching_triplex() {
    let run = run("4/0", "4/0");
    let loops = run.loops(celsius(25.0));
    assert!((loops.leg_to_leg.im - 0.05401).abs() < 1e-5);
    assert!((loops.leg_to_leg - loops.leg_to_neutral).norm() < 1e-12);
    let doubled = CableRun { runs: 2, ..run }.loops(celsius(25.0));
    assert!((doubled.leg_to_leg * 2.0 - loops.leg_to_leg).norm() < 1e-12);
}
