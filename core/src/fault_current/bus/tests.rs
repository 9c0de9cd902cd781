//! Several units on one bus: against one unit that is as much, and by adding amps.

use proptest::prelude::*;

use super::*;
use crate::{
    fault_current::{Assumed, Faults, ServiceFaults, at_service},
    mapsheet::fixture,
    plant::{Cable, Device, Normally, Set, Source, Switch},
    quantity::{NodeId, in_amps, kilovolt_amps, metres, volts},
};

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

fn node(text: &str) -> NodeId {
    NodeId::new(text).unwrap()
}

/// The fixture, with more units like that of P3 on its bus.
fn with(more: &[&str]) -> Plant {
    let mut plant = fixture::plant_of(&fixture::features());
    let unit = plant.transformers[&id("P3-tx")].clone();
    for name in more {
        let unit = Transformer { id: id(name), ..unit.clone() };
        plant.transformers.insert(id(name), unit);
    }
    plant
}

/// The same on 208Y/120 V, each with its phase.
fn wye(units: &[(&str, Option<&str>)]) -> Plant {
    let more: Vec<&str> = units.iter().map(|(name, _)| *name).filter(|n| *n != "P3-tx").collect();
    let mut plant = with(&more);
    for (name, phase) in units {
        let unit = plant.transformers.get_mut(&id(name)).unwrap();
        unit.system = VoltageSystem::Wye208;
        unit.phase = phase.map(str::to_owned);
        unit.primary_voltage =
            volts(if phase.is_some_and(|p| p.len() == 1) { 7200.0 } else { 12_470.0 });
    }
    plant.services.get_mut(&id("P3V1")).unwrap().system = VoltageSystem::Wye208;
    plant
}

fn found(plant: &Plant) -> ServiceFaults {
    at_service(plant, &id("P3V1")).unwrap()
}

fn why(plant: &Plant) -> NotTogether {
    match at_service(plant, &id("P3V1")).unwrap_err() {
        PathError::NotTogether { why, .. } => why,
        other => panic!("{other}"),
    }
}

fn near(a: Faults, b: Faults, times: f64) {
    let all = |f: Faults| [f.line_to_line, f.line_to_neutral, f.three_phase.unwrap_or_default()];
    for (a, b) in all(a).map(in_amps).into_iter().zip(all(b).map(in_amps)) {
        assert!((a - b * times).abs() <= 1e-9 * b, "{a} is not {times} times {b}");
    }
}

fn cable(plant: &mut Plant, name: &str, from: &str, to: &str, length: f64) {
    let like = plant.cables[&id("C1")].clone();
    let (from, to, length) = (node(from), node(to), metres(length));
    plant.cables.insert(id(name), Cable { id: id(name), from, to, length, ..like });
}

#[test]
fn two_equal_units_are_one_of_twice_the_rating() {
    let together = found(&with(&["second"]));
    let mut plant = with(&[]);
    let alone = found(&plant);
    plant.transformers.get_mut(&id("P3-tx")).unwrap().rating = kilovolt_amps(100.0);
    let twice = found(&plant);
    near(together.largest.pad, twice.largest.pad, 1.0);
    near(together.largest.meter.unwrap(), twice.largest.meter.unwrap(), 1.0);
    assert_eq!(together.beside, [id("second")]);
    assert!(together.assumed.contains(&Assumed::UnitsTogether));
    // Any of them may be out: the fuse must clear what one alone gives.
    near(together.smallest.pad, alone.smallest.pad, 1.0);
    // They hang on the very same cables, whose amps are then those of one.
    assert_eq!(together.lateral, alone.lateral);
}

#[test]
fn each_has_its_own_way_behind_what_they_share() {
    let mut plant = with(&["second"]);
    for (unit, at) in [("P3-tx", "own:1"), ("second", "own:2")] {
        plant.transformers.get_mut(&id(unit)).unwrap().primary = node(at);
        cable(&mut plant, &at.replace(':', "-"), "P3:out", at, 400.0);
    }
    let together = found(&plant);
    let mut plant = with(&[]);
    let unit = plant.transformers.get_mut(&id("P3-tx")).unwrap();
    (unit.primary, unit.rating) = (node("own:1"), kilovolt_amps(100.0));
    cable(&mut plant, "own", "P3:out", "own:1", 200.0);
    let half = found(&plant);
    near(together.largest.pad, half.largest.pad, 1.0);
    // A fault on one of the two ways is fed back over the bus: no amps are told along it.
    assert!(together.lateral.is_empty() && !half.lateral.is_empty());
}

#[test]
fn units_of_two_feeders_add_their_amps() {
    let mut plant = with(&["second"]);
    let other = Source { id: id("SRC2"), node: node("src2"), ..plant.sources[&id("SRC")].clone() };
    plant.sources.insert(id("SRC2"), other);
    plant.transformers.get_mut(&id("P3-tx")).unwrap().primary = node("src");
    plant.transformers.get_mut(&id("second")).unwrap().primary = node("src2");
    let together = found(&plant);
    plant.transformers.remove(&id("second"));
    near(together.largest.pad, found(&plant).largest.pad, 2.0);
}

#[test]
fn a_switch_between_two_buses_counts_however_it_stands() {
    for normally in [Normally::Open, Normally::Closed] {
        let mut plant = with(&["second"]);
        plant.transformers.get_mut(&id("second")).unwrap().secondary = node("other");
        let tie = plant.switches[&id("P3-lug1")].clone();
        let (from, to) = (node("P3:sec"), node("other"));
        let tie = Switch { id: id("tie"), from, to, device: Device::Breaker, normally, ..tie };
        plant.switches.insert(id("tie"), tie);
        near(found(&plant).largest.pad, found(&with(&["second"])).largest.pad, 1.0);
    }
}

#[test]
fn units_that_cables_join_are_not_guessed() {
    let mut plant = with(&[]);
    let set = plant.sets[&id("P3-set1")].clone();
    let (from, to) = (node("P2:s1"), node("P3:s1"));
    plant.sets.insert(id("tie"), Set { id: id("tie"), from, to, pad: None, ..set });
    assert_eq!(why(&plant), NotTogether::ByCable);
}

#[test]
fn what_the_record_has_wrong_or_leaves_out_is_not_computed() {
    let changed = |change: fn(&mut Transformer)| {
        let mut plant = with(&["second"]);
        plant.transformers.get_mut(&id("P3-tx")).unwrap().phase = Some("A".to_owned());
        change(plant.transformers.get_mut(&id("second")).unwrap());
        plant
    };
    assert_eq!(why(&changed(|u| u.system = VoltageSystem::Wye208)), NotTogether::Systems);
    assert_eq!(why(&changed(|u| u.phase = Some("B".to_owned()))), NotTogether::Phases);
    assert_eq!(why(&changed(|u| u.primary_voltage = volts(7620.0))), NotTogether::Volts);
    assert!(found(&changed(|u| u.phase = Some("a".to_owned()))).beside == [id("second")]);
    let mut plant = wye(&[("P3-tx", None), ("second", None)]);
    for (unit, joined) in [("P3-tx", Connection::DeltaWye), ("second", Connection::WyeWye)] {
        plant.transformers.get_mut(&id(unit)).unwrap().windings.connection = Some(joined);
    }
    assert_eq!(why(&plant), NotTogether::Connections);
}

#[test]
fn two_units_of_three_phases_give_twice_and_a_bank_three_times() {
    let one = wye(&[("P3-tx", None)]);
    let of = |kva: f64| {
        let mut plant = one.clone();
        plant.transformers.get_mut(&id("P3-tx")).unwrap().rating = kilovolt_amps(kva);
        // 7200 V to ground are this between phases.
        plant.transformers.get_mut(&id("P3-tx")).unwrap().primary_voltage =
            volts(7200.0 * 3.0_f64.sqrt());
        found(&plant).largest.pad
    };
    for phase in [None, Some("ABC")] {
        let mut two = wye(&[("P3-tx", phase), ("second", phase)]);
        for unit in ["P3-tx", "second"] {
            let unit = two.transformers.get_mut(&id(unit)).unwrap();
            unit.primary_voltage = volts(7200.0 * 3.0_f64.sqrt());
        }
        near(found(&two).largest.pad, of(100.0), 1.0);
    }
    let bank = wye(&[("P3-tx", Some("B")), ("second", Some("A")), ("third", Some("C"))]);
    near(found(&bank).largest.pad, of(150.0), 1.0);
    assert_eq!(found(&bank).beside, [id("second"), id("third")]);
}

#[test]
fn a_bank_that_is_not_whole_or_not_alike_is_not_computed() {
    for units in [
        &[("P3-tx", Some("A"))][..],
        &[("P3-tx", Some("A")), ("second", Some("B"))],
        &[("P3-tx", Some("A")), ("second", Some("B")), ("third", Some("B"))],
        &[("P3-tx", Some("A")), ("second", Some("B")), ("third", None)],
        &[("P3-tx", Some("ABC")), ("second", Some("B"))],
        // Three units that do not say may be three phases of one.
        &[("P3-tx", None), ("second", None), ("third", None)],
    ] {
        assert_eq!(why(&wye(units)), NotTogether::Bank, "{units:?}");
    }
    let mut plant = wye(&[("P3-tx", Some("A")), ("second", Some("B")), ("third", Some("C"))]);
    plant.transformers.get_mut(&id("third")).unwrap().percent_z = 2.0;
    assert_eq!(why(&plant), NotTogether::Bank);
}

proptest! {
    /// One more unit on a bus never gives less at its terminals, nor more than the two alone.
    #[test]
    fn one_more_unit_adds_amps(kva in 10.0_f64..500.0, z in 1.0_f64..5.0, ratio in 0.5_f64..10.0) {
        let mut plant = with(&["second"]);
        let unit = plant.transformers.get_mut(&id("second")).unwrap();
        (unit.rating, unit.percent_z) = (kilovolt_amps(kva), z);
        unit.x_over_r = Some(ratio);
        let both = in_amps(found(&plant).largest.pad.line_to_neutral);
        let one = in_amps(found(&with(&[])).largest.pad.line_to_neutral);
        plant.transformers.remove(&id("P3-tx"));
        let other = in_amps(found(&plant).largest.pad.line_to_neutral);
        prop_assert!(both > one.max(other) * 0.999 && both < one + other, "{one} {other} {both}");
    }
}
