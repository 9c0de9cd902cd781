//! By the record: the path, what it lacks, the lateral, withstand.

use serde_json::{Value, json};

use super::*;
use crate::mapsheet::fixture;
use crate::plant::VoltageSystem;
use crate::quantity::{AssetId, in_metres};

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

fn of(all: &[Value], service: &str) -> ServiceFaults {
    at_service(&fixture::plant_of(all), &id(service)).unwrap()
}

fn set(all: &mut [Value], of: &str, field: &str, value: Value) {
    let feature = all.iter_mut().find(|f| f["properties"]["id"] == of).unwrap();
    feature["properties"][field] = value;
}

fn near(a: Faults, b: Faults) {
    for (a, b) in [(a.line_to_line, b.line_to_line), (a.line_to_neutral, b.line_to_neutral)] {
        assert!((in_amps(a) / in_amps(b) - 1.0).abs() < 1e-9, "{a:?} {b:?}");
    }
}

/// 120 m of 1/0 aluminium, 15 kV class.
fn lateral(back: ReturnPath) -> PrimaryRun {
    PrimaryRun {
        metal: Metal::Al,
        size: ConductorSize::named("1/0").unwrap(),
        class: volts(15_000.0),
        back,
        length: metres(120.0),
    }
}

fn by_hand(lateral: Vec<PrimaryRun>) -> Circuit {
    let mut one =
        one_phase(Some((2000.0, 4.0)), plate(50.0, 1.8, 1.5), vec![triplex("2/0", 100.0)]);
    if let Some(primary) = one.primary.as_mut() {
        primary.lateral = lateral;
    }
    Circuit::SplitPhase(one)
}

#[test]
fn by_the_record_s_path() {
    let found = of(&fixture::features(), "P1V1");
    let cold = by_hand(vec![lateral(ReturnPath::Nothing)]).fault_currents(celsius(25.0)).unwrap();
    near(found.largest.meter.unwrap(), cold.meter.unwrap());
    near(found.largest.pad, cold.pad);
    let hot = by_hand(vec![lateral(ReturnPath::Nothing)]).fault_currents(celsius(75.0)).unwrap();
    near(found.smallest.meter.unwrap(), hot.meter.unwrap());
    assert_eq!(found.source, Some(id("SRC")));
    assert_eq!(found.without_neutral, [id("C1")]);
    assert_eq!(found.assumed, [Assumed::UnitXOverR, Assumed::HalfWinding, Assumed::CableNeutral]);
    assert!(found.smallest.meter.unwrap().largest() < found.largest.meter.unwrap().largest());
    // Third pad of the row: three cables on the way.
    let far = of(&fixture::features(), "P3V1");
    let three = vec![lateral(ReturnPath::Nothing); 3];
    near(far.largest.pad, by_hand(three).fault_currents(celsius(25.0)).unwrap().pad);
}

#[test]
fn what_the_record_has_is_not_taken() {
    let mut all = fixture::features();
    set(&mut all, "C1", "neutral", json!("full"));
    set(&mut all, "P1-tx", "x_over_r", json!(2.5));
    set(&mut all, "P1-tx", "half_winding_r", json!(1.44));
    set(&mut all, "P1-tx", "half_winding_x", json!(1.1));
    let found = of(&all, "P1V1");
    assert_eq!(found.assumed, []);
    let Circuit::SplitPhase(one) = &found.hot_circuit else { panic!("{:?}", found.hot_circuit) };
    assert_eq!(one.half, HalfWinding { r: 1.44, x: 1.1 });
    let full = ReturnPath::Concentric(crate::plant::ConcentricNeutral::Full);
    assert_eq!(one.primary.as_ref().unwrap().lateral, [lateral(full)]);
    assert!(
        found.smallest.pad.line_to_line
            < of(&fixture::features(), "P1V1").smallest.pad.line_to_line
    );
    // Half windings told apart from the whole one move the fault to neutral alone.
    let told = found.largest.pad;
    set(&mut all, "P1-tx", "half_winding_r", json!(1.5));
    let usual = of(&all, "P1V1").largest.pad;
    assert_eq!(told.line_to_line, usual.line_to_line);
    assert!(told.line_to_neutral > usual.line_to_neutral);
}

#[test]
fn fault_current_falls_along_the_lateral() {
    let found = of(&fixture::features(), "P3V1");
    let at: Vec<_> =
        found.lateral.iter().map(|p| (p.cable.to_string(), p.node.to_string())).collect();
    let wanted = [("C1", "P1:in"), ("C2", "P2:in"), ("C3", "P3:in")];
    assert_eq!(at, wanted.map(|(cable, node)| (cable.to_owned(), node.to_owned())));
    let pads: Vec<_> = found.lateral.iter().map(|p| p.pad.clone().unwrap().to_string()).collect();
    assert_eq!(pads, ["P1", "P2", "P3"]);
    assert!((in_metres(found.lateral[2].distance) - 360.0).abs() < 1e-9);
    // Aluminium 1/0: 0.16753 ohm/kft cold, ring at 0.438 in, GMR at 0.140988 in, 7200 V, 3.6 ohm.
    let (r, x) = (0.16753, 0.022_981 * (0.438_f64 / 0.140_988).ln());
    let angle = 4.0_f64.atan();
    let kft = 0.12 / 0.3048;
    let ohms = (3.6 * angle.cos() + r * kft).hypot(3.6 * angle.sin() + x * kft);
    let first = in_amps(found.lateral[0].largest.line_to_ground);
    assert!((first / (7200.0 / ohms) - 1.0).abs() < 1e-4, "{first} {}", 7200.0 / ohms);
    let amps: Vec<f64> = found.lateral.iter().map(|p| in_amps(p.largest.line_to_ground)).collect();
    assert!(2000.0 > amps[0] && amps[0] > amps[1] && amps[1] > amps[2], "{amps:?}");
    for point in &found.lateral {
        assert!(point.smallest.line_to_ground < point.largest.line_to_ground);
        assert_eq!(point.largest.three_phase, None);
    }
}

#[test]
fn a_closed_loop_is_told_and_its_cables_not_counted_in_the_largest() {
    let mut all = fixture::features();
    set(&mut all, "CO2", "normally", json!("closed"));
    let found = of(&all, "P2V1");
    assert!(found.assumed.contains(&Assumed::LoopClosed));
    near(found.largest.pad, by_hand(Vec::new()).fault_currents(celsius(25.0)).unwrap().pad);
    let two = vec![lateral(ReturnPath::Nothing); 2];
    near(found.smallest.pad, by_hand(two).fault_currents(celsius(75.0)).unwrap().pad);
}

#[test]
fn without_a_source_s_figure_the_supply_is_stiff_and_told() {
    let found = of(&fixture::changed("SRC", "fault_amps", Value::Null), "P1V1");
    assert_eq!(found.source, None);
    assert_eq!(found.lateral, []);
    assert!(found.assumed.contains(&Assumed::SupplyStiff));
    assert!(
        found.largest.pad.line_to_line > of(&fixture::features(), "P1V1").largest.pad.line_to_line
    );
}

#[test]
fn gear_that_withstands_too_little_is_told() {
    for (withstand, holds) in [(5000, Holds::Over), (22_000, Holds::Within)] {
        let mut all = fixture::changed("P1V1", "withstand_amps", json!(withstand));
        let sources = json!([{"type": "pv", "kw": 4, "transfer_switch": false},
            {"type": "generator", "kw": 9, "transfer_switch": true, "switch_withstand_amps": 10_000},
            {"type": "battery", "kw": 9, "transfer_switch": true}]);
        set(&mut all, "P1V1", "customer_sources", sources);
        let told: Vec<_> = of(&all, "P1V1").withstand.iter().map(|w| (w.gear, w.holds())).collect();
        let wanted = [
            (Gear::MeterBase, holds),
            (Gear::TransferSwitch(2), Holds::Within),
            (Gear::TransferSwitch(3), Holds::NotKnown),
        ];
        assert_eq!(told, wanted);
    }
}

/// The fixture with one unit and its services of another system.
fn three_phase(system: &str) -> Vec<Value> {
    let mut all = fixture::features();
    set(&mut all, "P3-tx", "system", json!(system));
    set(&mut all, "P3-tx", "primary_volts", json!(12_470));
    set(&mut all, "P3-tx", "x_over_r", json!(1.5));
    set(&mut all, "P3V1", "system", json!(system));
    all
}

#[test]
fn three_phase_services_are_computed() {
    for (system, level) in
        [("208y/120", WyeVolts::Y208), ("480y/277", WyeVolts::Y480), ("600y/347", WyeVolts::Y600)]
    {
        let mut all = three_phase(system);
        let found = of(&all, "P3V1");
        let Circuit::Wye(wye) = &found.circuit else { panic!("{:?}", found.circuit) };
        assert_eq!((wye.volts, wye.connection), (level, WyeConnection::DeltaWye));
        let meter = found.largest.meter.unwrap();
        assert!(meter.three_phase.unwrap() > meter.line_to_line);
        assert!(found.lateral.iter().all(|p| p.largest.three_phase > p.largest.line_to_line));
        // Not told how the windings are joined: the smallest is that of two wyes.
        assert!(found.assumed.contains(&Assumed::Connection));
        assert!(found.assumed.contains(&Assumed::SourceZero));
        let Circuit::Wye(hot) = &found.hot_circuit else { panic!("{:?}", found.hot_circuit) };
        assert!(matches!(hot.connection, WyeConnection::WyeWye { .. }));
        set(&mut all, "P3-tx", "connection", json!("delta-wye"));
        set(&mut all, "P3-tx", "zero_over_positive", json!(0.85));
        let told = of(&all, "P3V1");
        assert_eq!(told.assumed, [Assumed::CableNeutral]);
        assert!(told.largest.pad.line_to_neutral > found.largest.pad.line_to_neutral);
        assert_eq!(told.largest.pad.three_phase, found.largest.pad.three_phase);
    }
    let mut all = three_phase("208y/120");
    set(&mut all, "P3V1", "system", json!("208y/120-network"));
    assert_eq!(of(&all, "P3V1").largest.meter.unwrap().three_phase, None);
}

#[test]
fn other_systems_are_not_guessed() {
    let refused = |all: &[Value]| at_service(&fixture::plant_of(all), &id("P3V1")).unwrap_err();
    for (name, system) in
        [("120/240-delta-4w", VoltageSystem::Delta120_240), ("230/400", VoltageSystem::Wye400)]
    {
        let why = refused(&three_phase(name));
        assert!(matches!(why, PathError::NotComputed { system: of, .. } if of == system), "{why}");
    }
    // A map sheet that says so is refused before it gets here.
    let mut mixed = fixture::plant_of(&three_phase("208y/120"));
    mixed.services.get_mut(&id("P3V1")).unwrap().system = VoltageSystem::Wye480;
    let why = at_service(&mixed, &id("P3V1")).unwrap_err();
    assert!(matches!(why, PathError::Mixed { .. }), "{why}");
}
