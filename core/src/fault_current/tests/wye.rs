//! Three-phase units: by hand, and what the three faults are to each other.

use super::*;
use crate::quantity::Current;

fn wye(volts_: WyeVolts, source: Option<(f64, f64)>, connection: WyeConnection) -> Wye {
    Wye {
        volts: volts_,
        primary: source.map(|(fault, x_over_r)| ThreePhasePrimary {
            line_to_line: volts(12_470.0),
            source: Some(SourceStrength { fault: amps(fault), x_over_r }),
            lateral: Vec::new(),
        }),
        unit: plate(300.0, 2.0, 1.5),
        zero_over_positive: 1.0,
        connection,
        beside: Vec::new(),
        shared: None,
        cables: vec![triplex("4/0", 100.0)],
        meter_legs: MeterLegs::Three,
    }
}

fn found(of: &Wye, at: f64) -> FaultCurrents {
    Circuit::Wye(of.clone()).fault_currents(celsius(at)).unwrap()
}

fn near(found: Current, expected: f64, within: f64) {
    let found = in_amps(found);
    assert!((found / expected - 1.0).abs() < within, "{found} is not {expected}");
}

const WYE_WYE: WyeConnection = WyeConnection::WyeWye { source_zero_over_positive: 1.0 };

/// 300 kVA, 2 % less its tolerance, 208 V: full load 833 A, 46 273 A at the terminals (a
/// plan-review handbook's sheet). It rounds full load to a whole amp first.
#[test]
fn a_handbook_s_three_phase_terminals() {
    let unit = plate(300.0, 1.8, 3.0);
    let at_terminals =
        Wye { unit, cables: Vec::new(), ..wye(WyeVolts::Y208, None, WyeConnection::DeltaWye) };
    let FaultCurrents { pad, meter } = found(&at_terminals, 25.0);
    near(pad.three_phase.unwrap(), 46_273.0, 5e-4);
    near(pad.line_to_line, 46_273.0 * 3.0_f64.sqrt() / 2.0, 5e-4);
    near(pad.line_to_neutral, 46_273.0, 5e-4);
    assert_eq!(meter, None);
}

#[test]
fn at_the_terminals_two_legs_give_root_three_halves_of_three() {
    for level in [WyeVolts::Y208, WyeVolts::Y480, WyeVolts::Y600] {
        let FaultCurrents { pad, meter } = found(&wye(level, Some((5000.0, 6.0)), WYE_WYE), 25.0);
        for faults in [pad, meter.unwrap()] {
            let share = faults.line_to_line / faults.three_phase.unwrap();
            let share = f64::from(share);
            assert!((share - 3.0_f64.sqrt() / 2.0).abs() < 1e-12, "{share}");
        }
        // Zero sequence as the positive one: a leg to neutral as all three.
        near(pad.line_to_neutral, in_amps(pad.three_phase.unwrap()), 1e-12);
    }
}

/// A delta keeps the supply's zero sequence out: the fault to neutral is then the largest of all.
#[test]
fn a_delta_lets_the_fault_to_neutral_be_the_largest() {
    let source = Some((2000.0, 6.0));
    let delta = found(&wye(WyeVolts::Y208, source, WyeConnection::DeltaWye), 25.0);
    let star = found(&wye(WyeVolts::Y208, source, WYE_WYE), 25.0);
    assert!(delta.pad.line_to_neutral > delta.pad.three_phase.unwrap());
    assert!(delta.pad.line_to_neutral > star.pad.line_to_neutral);
    assert_eq!(delta.pad.three_phase, star.pad.three_phase);
    assert_eq!(delta.pad.largest(), delta.pad.line_to_neutral);
    // At the base of a long run it is not any more.
    let base = delta.meter.unwrap();
    assert!(base.largest() == base.three_phase.unwrap());
}

#[test]
fn two_legs_of_three_have_no_three_phase_fault_at_the_meter() {
    let two =
        Wye { meter_legs: MeterLegs::Two, ..wye(WyeVolts::Y208, None, WyeConnection::DeltaWye) };
    let found = found(&two, 25.0);
    assert!(found.pad.three_phase.is_some());
    assert_eq!(found.meter.unwrap().three_phase, None);
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let good = wye(WyeVolts::Y480, Some((2000.0, 4.0)), WyeConnection::DeltaWye);
    let check = |bad: Wye, what: &str| {
        let refused = Circuit::Wye(bad).fault_currents(celsius(25.0)).unwrap_err();
        assert_eq!(refused.what, what);
    };
    check(Wye { zero_over_positive: 0.0, ..good.clone() }, "the transformer's zero over positive");
    let connection = WyeConnection::WyeWye { source_zero_over_positive: f64::NAN };
    check(Wye { connection, ..good.clone() }, "the source's zero over positive");
    check(Wye { unit: plate(300.0, -2.0, 1.5), ..good }, "the transformer's percent impedance");
}

/// A run of primary cable in the way of a unit.
fn lateral(feet: f64, back: ReturnPath) -> PrimaryRun {
    PrimaryRun {
        metal: Metal::Al,
        size: ConductorSize::named("1/0").unwrap(),
        class: volts(15_000.0),
        back,
        length: metres(feet * 0.3048),
    }
}

proptest! {
    /// Every impedance on the way moves every fault the same way, whatever is joined how.
    #[test]
    fn every_impedance_on_the_way_lowers_the_current(
        z in 1.0_f64..6.0, fault in 500.0_f64..20_000.0, x_over_r in 0.1_f64..20.0,
        feet in 1.0_f64..400.0, cold in -20.0_f64..60.0, hotter in 0.1_f64..60.0,
        zero in 0.3_f64..3.0, source_zero in 0.5_f64..4.0, delta in any::<bool>(),
        level in prop::sample::select(vec![WyeVolts::Y208, WyeVolts::Y480, WyeVolts::Y600]),
    ) {
        let connection = if delta { WyeConnection::DeltaWye } else {
            WyeConnection::WyeWye { source_zero_over_positive: source_zero }
        };
        let base = Wye {
            unit: plate(300.0, z, 3.0),
            zero_over_positive: zero,
            cables: vec![triplex("2/0", feet)],
            ..wye(level, Some((fault, x_over_r)), connection)
        };
        let all = |of: &Wye, at: f64| {
            let FaultCurrents { pad, meter } = found(of, at);
            [pad, meter.unwrap()].map(|f| [f.three_phase.unwrap(), f.line_to_line, f.line_to_neutral])
                .concat()
        };
        let now = all(&base, cold);
        let primary = base.primary.clone().unwrap();
        let with_lateral = |feet, back| Wye {
            primary: Some(ThreePhasePrimary { lateral: vec![lateral(feet, back)], ..primary.clone() }),
            ..base.clone()
        };
        let near_by = with_lateral(300.0, ReturnPath::Nothing);
        let third = ReturnPath::Concentric(crate::plant::ConcentricNeutral::Third);
        let lower = [
            (Wye { cables: vec![triplex("2/0", feet + 1.0)], ..base.clone() }, cold),
            (Wye { unit: plate(300.0, z + 0.1, 3.0), ..base.clone() }, cold),
            (Wye { unit: plate(299.0, z, 3.0), ..base.clone() }, cold),
            (Wye { zero_over_positive: zero + 0.1, ..base.clone() }, cold),
            (near_by.clone(), cold),
            (base.clone(), cold + hotter),
        ];
        for (less, at) in &lower {
            for (less, now) in all(less, *at).iter().zip(&now) {
                prop_assert!(less <= now, "{less:?} above {now:?}");
            }
        }
        for (less, now) in all(&with_lateral(300.0, third), cold).iter().zip(all(&near_by, cold)) {
            prop_assert!(*less <= now);
        }
        for (more, now) in all(&Wye { primary: None, ..base.clone() }, cold).iter().zip(&now) {
            prop_assert!(more > now || (more == now && delta));
        }
    }

    /// Legs are alike: whichever unit of length or of volts the numbers came in, the amps are the
    /// same; and of equal conductors a leg sees another as it sees the neutral.
    #[test]
    fn legs_are_alike_and_units_do_not_count(feet in 1.0_f64..400.0, kva in 10.0_f64..200.0) {
        let run = triplex("4/0", feet);
        let same = CableRun { length: metres(feet * 12.0 * 0.0254), ..run };
        let of = |run| {
            let one = one_phase(Some((2000.0, 4.0)), plate(kva, 1.6, 1.5), vec![run]);
            Circuit::SplitPhase(one).fault_currents(celsius(25.0)).unwrap()
        };
        let (one, other) = (of(run).meter.unwrap(), of(same).meter.unwrap());
        near(one.line_to_line, in_amps(other.line_to_line), 1e-12);
        near(one.line_to_neutral, in_amps(other.line_to_neutral), 1e-12);
        // Two runs of half the conductors' length each are one of the whole.
        let half = CableRun { length: metres(feet * 0.1524), ..run };
        let twice = one_phase(Some((2000.0, 4.0)), plate(kva, 1.6, 1.5), vec![half, half]);
        let twice = Circuit::SplitPhase(twice).fault_currents(celsius(25.0)).unwrap();
        near(twice.meter.unwrap().line_to_line, in_amps(one.line_to_line), 1e-12);
    }
}
