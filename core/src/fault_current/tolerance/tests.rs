//! What a rating is held against, beside what is told.

use proptest::prelude::*;

use super::*;
use crate::{
    fault_current::{
        Gear, HalfWinding, Holds, MeterLegs, Most, OnePhasePrimary, Withstand, WyeVolts,
    },
    quantity::{in_amps, kilovolt_amps, volts},
};

fn unit(kva: f64, percent_z: f64, source: Option<f64>) -> Circuit {
    let unit = TransformerPlate { rating: kilovolt_amps(kva), percent_z, x_over_r: 1.5 };
    let primary = source.map(|fault| OnePhasePrimary {
        to_ground: volts(7200.0),
        source: Some(SourceStrength { fault: amps(fault), x_over_r: 4.0 }),
        lateral: Vec::new(),
    });
    let (half, beside, cables) = (HalfWinding::INTERLACED, Vec::new(), Vec::new());
    Circuit::SplitPhase(SplitPhase { primary, unit, half, beside, shared: None, cables })
}

fn wye(percent_z: f64) -> Circuit {
    Circuit::Wye(Wye {
        volts: WyeVolts::Y208,
        primary: None,
        unit: TransformerPlate { rating: kilovolt_amps(500.0), percent_z, x_over_r: 5.0 },
        zero_over_positive: 1.0,
        connection: WyeConnection::DeltaWye,
        beside: Vec::new(),
        shared: None,
        cables: Vec::new(),
        meter_legs: MeterLegs::Three,
    })
}

fn most(circuit: &Circuit, assumed: &[Assumed]) -> Most {
    let largest = circuit.fault_currents(celsius(COLD_CELSIUS)).unwrap();
    Most::of(circuit, &largest, assumed).unwrap()
}

fn share(circuit: &Circuit, assumed: &[Assumed]) -> f64 {
    let Most { by_plate, at_worst } = most(circuit, assumed);
    in_amps(by_plate) / in_amps(at_worst)
}

/// On a stiff supply and at the terminals the amps are as the impedance.
#[test]
fn the_tolerance_goes_by_the_plate_s_percent() {
    for (percent_z, left) in [(1.6, 0.9), (2.5, 0.9), (2.51, 0.925), (5.75, 0.925)] {
        assert!((share(&unit(50.0, percent_z, None), &[]) - left).abs() < 1e-12, "{percent_z}");
        assert!((share(&wye(percent_z), &[]) - left).abs() < 1e-12, "{percent_z}");
    }
    let Most { by_plate, .. } = most(&wye(5.0), &[]);
    assert!((in_amps(by_plate) / 27_757.4 - 1.0).abs() < 1e-4, "the plate's own: {by_plate:?}");
}

#[test]
fn every_unit_of_a_bus_may_be_off() {
    let Circuit::Wye(one) = wye(5.0) else { panic!("three phases") };
    let two = Circuit::Wye(Wye { beside: vec![one.clone()], ..one });
    assert!((share(&two, &[]) - 0.925).abs() < 1e-12);
}

#[test]
fn what_was_taken_is_held_at_its_worst() {
    let told = share(&unit(50.0, 2.0, Some(2000.0)), &[]);
    for taken in [Assumed::UnitXOverR, Assumed::SourceXOverR, Assumed::HalfWinding] {
        assert!(share(&unit(50.0, 2.0, Some(2000.0)), &[taken]) < told, "{taken:?}");
    }
    assert!(share(&wye(5.0), &[Assumed::UnitZero]) < share(&wye(5.0), &[]));
    // A half winding of 1.5 R and 1.2 X has its largest current where all of it is reactance.
    let at = [Assumed::UnitXOverR];
    let all_x = 417.0 / 0.018 / (1.5_f64.hypot(1.2 * 20.0) / 1.0_f64.hypot(20.0));
    let found = in_amps(most(&unit(50.04, 2.0, None), &at).at_worst);
    assert!((found / all_x - 1.0).abs() < 1e-9, "{found} {all_x}");
}

#[test]
fn withstands_is_said_only_with_the_tolerance_off() {
    let most = most(&wye(5.0), &[]);
    let holds =
        |rated: f64| Withstand { gear: Gear::MeterBase, rated: Some(amps(rated)), most }.holds();
    let (plate, worst) = (in_amps(most.by_plate), in_amps(most.at_worst));
    assert_eq!(holds(plate - 1.0), Holds::Over);
    assert_eq!(holds(plate + 1.0), Holds::Undecided);
    assert_eq!(holds(worst - 1.0), Holds::Undecided);
    assert_eq!(holds(worst + 1.0), Holds::Within);
    assert_eq!(holds(f64::NAN), Holds::Undecided);
    assert_eq!(Withstand { gear: Gear::MeterBase, rated: None, most }.holds(), Holds::NotKnown);
}

proptest! {
    /// The worst is never less than the plate gives, and no X/R that may be gives more.
    #[test]
    fn no_plausible_x_over_r_gives_more(
        z in 1.0_f64..6.0, kva in 10.0_f64..500.0, fault in 500.0_f64..20_000.0,
        ratio in 0.5_f64..20.0, of_source in 1.0_f64..30.0,
    ) {
        let taken = [Assumed::UnitXOverR, Assumed::SourceXOverR];
        let base = unit(kva, z, Some(fault));
        let Most { by_plate, at_worst } = most(&base, &taken);
        prop_assert!(at_worst > by_plate);
        let mut other = base;
        plates(&mut other, |plate| plate.x_over_r = ratio);
        sources(&mut other, |source| source.x_over_r = of_source);
        let other = in_amps(most(&other, &[]).at_worst);
        prop_assert!(other <= in_amps(at_worst) * 1.005, "{other} above {at_worst:?}");
    }
}
