//! Tests of what the voltages of a supply say together.

use proptest::prelude::*;

use super::*;
use crate::plant::Conductor::{L1, L2, L3, N};

type Read = (Pair, Bounded<Voltage>);

/// What a voltmeter of 1.5 % and 5 counts of a tenth shows, with its limit of error.
fn v(one: Conductor, other: Conductor, shown: f64) -> Read {
    let limit_of_error = volts(0.015 * shown.abs() + 0.5);
    (Pair(one, other), Bounded { value: volts(shown), limit_of_error })
}

fn split(l1: f64, l2: f64, across: f64) -> [Read; 3] {
    [v(L1, N, l1), v(L2, N, l2), v(L1, L2, across)]
}

fn three(to_neutral: [f64; 3], across: [f64; 3]) -> [Read; 6] {
    let [a, b, c] = to_neutral;
    let [ab, bc, ca] = across;
    [v(L1, N, a), v(L2, N, b), v(L3, N, c), v(L1, L2, ab), v(L2, L3, bc), v(L1, L3, ca)]
}

fn check(system: VoltageSystem, readings: &[Read], wanted: &[SupplySign]) {
    assert_eq!(supply_signs(readings, system), wanted, "{system}: {readings:?}");
}

#[test]
fn a_healthy_supply_says_nothing() {
    check(VoltageSystem::Split120_240, &split(121.0, 120.5, 241.4), &[]);
    check(VoltageSystem::Network208, &split(120.0, 120.6, 208.3), &[]);
    check(VoltageSystem::Wye208, &three([120.0; 3], [208.0; 3]), &[]);
    check(VoltageSystem::Wye480, &three([277.0, 278.0, 276.0], [480.0; 3]), &[]);
    check(VoltageSystem::Wye600, &three([347.0; 3], [600.0; 3]), &[]);
    check(VoltageSystem::Wye400, &three([230.0; 3], [400.0; 3]), &[]);
    check(VoltageSystem::Delta120_240, &three([120.0, 120.0, 208.0], [240.0; 3]), &[]);
}

#[test]
fn an_open_neutral_floats_between_legs_that_stay() {
    let open = [SupplySign::OpenNeutral];
    check(VoltageSystem::Split120_240, &split(96.0, 144.0, 240.0), &open);
    // A motor beside a heater: the neutral floats off the line between the legs.
    check(VoltageSystem::Split120_240, &split(105.0, 150.0, 240.0), &open);
    check(VoltageSystem::Network208, &split(150.0, 80.0, 208.0), &open);
    check(VoltageSystem::Wye208, &three([150.0, 100.0, 115.0], [208.0; 3]), &open);
    check(VoltageSystem::Wye480, &three([330.0, 250.0, 258.0], [480.0; 3]), &open);
    // Within what the voltmeter may be off nothing is said.
    check(VoltageSystem::Split120_240, &split(113.0, 127.0, 240.0), &[]);
}

#[test]
fn a_poor_leg_is_low_against_everything() {
    let weak = [SupplySign::WeakLeg];
    check(VoltageSystem::Split120_240, &split(121.0, 88.0, 209.0), &weak);
    check(VoltageSystem::Split120_240, &split(0.3, 120.0, 120.3), &weak);
    check(VoltageSystem::Wye208, &three([120.0, 60.0, 120.0], [158.0, 158.0, 208.0]), &weak);
    // The whole supply low is no leg's fault.
    check(VoltageSystem::Split120_240, &split(108.0, 108.0, 216.0), &[]);
}

#[test]
fn another_system_than_the_record_says_stands_at_another_angle() {
    check(VoltageSystem::Split120_240, &split(120.0, 120.0, 208.0), &[SupplySign::ThirdOfATurn]);
    check(VoltageSystem::Network208, &split(120.0, 120.0, 240.0), &[SupplySign::Opposite]);
    let two_opposite = three([120.0; 3], [240.0, 208.0, 208.0]);
    check(VoltageSystem::Wye208, &two_opposite, &[SupplySign::Opposite]);
    check(
        VoltageSystem::Delta120_240,
        &three([208.0, 120.0, 120.0], [240.0; 3]),
        &[SupplySign::HighLeg],
    );
}

#[test]
fn nothing_is_said_before_all_is_read() {
    let whole = split(96.0, 144.0, 240.0);
    for missing in 0..3 {
        let some: Vec<Read> = whole
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != missing)
            .map(|(_, read)| *read)
            .collect();
        check(VoltageSystem::Split120_240, &some, &[]);
    }
    check(VoltageSystem::Wye208, &whole, &[]);
}

#[test]
fn the_halves_of_a_split_phase_part_with_an_open_neutral() {
    let check = |one, other, wanted| {
        assert_eq!(neutral_sign(volts(one), volts(other), &RuleSheet::default()), wanted);
    };
    check(120.0, 121.0, NeutralSign::Balanced);
    check(117.0, 123.5, NeutralSign::Look);
    check(113.0, 115.0, NeutralSign::Look);
    check(96.0, 144.0, NeutralSign::Stop);
    check(109.0, 114.0, NeutralSign::Stop);
    check(f64::NAN, 120.0, NeutralSign::Stop);
}

/// A supply of any system as phasors: drops of legs, the neutral where it belongs.
fn healthy(system: VoltageSystem, drops: [f64; 3], turns: [f64; 3], off: [f64; 6]) -> Vec<Read> {
    let at = |leg: Conductor| {
        let (i, degrees) = match leg {
            L1 => (0, 0.0),
            L2 => (1, system.degrees_apart(Pair(L1, L2)).unwrap()),
            _ if system == VoltageSystem::Delta120_240 => (2, 90.0),
            _ => (2, 240.0),
        };
        let nominal = in_volts(system.expected(Pair(leg, N)).unwrap());
        let turn = (degrees + turns[i]).to_radians();
        let size = nominal * (1.0 - drops[i]);
        (size * turn.cos(), size * turn.sin())
    };
    let pairs = system.pairs_to_test().into_iter().filter(|pair| pair.1 != Conductor::G);
    pairs
        .enumerate()
        .map(|(k, pair)| {
            let (x, y) = at(pair.0);
            let (u, w) = if pair.1 == N { (0.0, 0.0) } else { at(pair.1) };
            let truth = (x - u).hypot(y - w);
            let shown = truth * (1.0 + 0.015 * off[k] / 1.1) + 0.4 * off[k];
            v(pair.0, pair.1, shown)
        })
        .collect()
}

fn wider(readings: &[Read], more: f64) -> Vec<Read> {
    let wider = |(pair, mut read): Read| {
        read.limit_of_error += volts(more);
        (pair, read)
    };
    readings.iter().copied().map(wider).collect()
}

proptest! {
    /// Legs with their drops and turned by a few degrees, read within the voltmeter's limit: nothing
    /// is ever said of a healthy supply.
    #[test]
    fn a_healthy_supply_is_never_suspected(
        which in 0_usize..8,
        drops in prop::array::uniform3(-0.03..0.03_f64),
        turns in prop::array::uniform3(-2.0..2.0_f64),
        off in prop::array::uniform6(-1.0..1.0_f64),
    ) {
        let system = VoltageSystem::ALL[which];
        let readings = healthy(system, drops, turns, off);
        prop_assert_eq!(supply_signs(&readings, system), vec![]);
    }

    #[test]
    fn more_error_never_adds_a_sign(
        to_neutral in prop::array::uniform3(0.0..160.0_f64),
        across in prop::array::uniform3(0.0..260.0_f64),
        more in 0.0..20.0_f64, which in 0_usize..4,
    ) {
        let system = VoltageSystem::ALL[which];
        let readings = three(to_neutral, across);
        let before = supply_signs(&readings, system);
        // Another angle may come to fit as well; a floating neutral or a weak leg never appears.
        for sign in supply_signs(&wider(&readings, more), system) {
            let by_angle = matches!(sign, SupplySign::ThirdOfATurn | SupplySign::Opposite);
            prop_assert!(before.contains(&sign) || by_angle || sign == SupplySign::HighLeg);
        }
    }

    #[test]
    fn names_of_legs_and_order_of_readings_say_nothing(
        a in 0.0..160.0_f64, b in 0.0..160.0_f64, c in 0.0..260.0_f64, turn in 0_usize..3,
        network: bool,
    ) {
        let system =
            if network { VoltageSystem::Network208 } else { VoltageSystem::Split120_240 };
        let mut turned = vec![v(N, L1, b), v(L2, L1, c), v(N, L2, a)];
        turned.rotate_left(turn);
        prop_assert_eq!(supply_signs(&split(a, b, c), system), supply_signs(&turned, system));
        // A wye is the same whichever leg is called L1.
        let (one, other) = (three([a, b, 120.0], [c, 208.0, 208.0]), three([b, 120.0, a], [208.0, 208.0, c]));
        let wye = VoltageSystem::Wye208;
        prop_assert_eq!(supply_signs(&one, wye), supply_signs(&other, wye));
    }
}
