//! Expected amps by hand, and what is beyond a branch against a walk without it.

use std::collections::BTreeSet;

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::mapsheet::fixture::{cable, changed, features, pad, plant_of};
use crate::plant::SwitchState;
use crate::quantity::in_amps;

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

fn expected(all: &[Value], branch: &str, states: &SwitchStates) -> Expected {
    expected_amps(&plant_of(all), &id(branch), states).unwrap().unwrap()
}

fn near(found: Current, amps: f64) {
    assert!((in_amps(found) - amps).abs() < 1e-6 * amps.max(1.0), "{found:?} is not {amps} A");
}

fn set(all: &mut [Value], of: &str, field: &str, value: Value) {
    let feature = all.iter_mut().find(|f| f["properties"]["id"] == of).unwrap();
    feature["properties"][field] = value;
}

/// Three pads in a row on one phase, 50 kVA at 7200 V each, with 3, 2 and 1 customers.
#[test]
fn by_nameplates_along_the_row() {
    let all = features();
    let normal = SwitchStates::new();
    // The fuse of the last pad: one customer, who fills it.
    let last = expected(&all, "P3-fuse", &normal);
    near(last.most, 50e3 / 7200.0);
    near(last.likely.unwrap(), 50e3 / 7200.0);
    assert_eq!((last.basis, last.customers), (Basis::Nameplate, 1));
    // The first elbow: six customers; their own peaks are 50 x 1.8 / 3, 50 x 1.6 / 2 and 50 kVA.
    let first = expected(&all, "P1-in", &normal);
    near(first.most, 150e3 / 7200.0);
    near(first.likely.unwrap(), (90.0 + 80.0 + 50.0) / 2.30 * 1e3 / 7200.0);
    assert_eq!(first.customers, 6);
    // A lug: the share of a customer on both legs, and the rating of the base.
    let lug = expected(&all, "P1-lug2", &normal);
    near(lug.likely.unwrap(), 30e3 / 240.0);
    near(lug.most, 200.0);
    // What stands open carries nothing; what lies beyond an opening is not reached.
    near(expected(&all, "CO2", &normal).most, 0.0);
    let opened = SwitchStates::from([(id("P2-in"), SwitchState::Open)]);
    near(expected(&all, "P1-in", &opened).most, 50e3 / 7200.0);
    assert_eq!(expected_amps(&plant_of(&all), &id("P3-fuse"), &opened).unwrap(), None);
    assert_eq!(expected_amps(&plant_of(&all), &id("nowhere"), &opened).unwrap(), None);
}

#[test]
fn by_recorded_peaks() {
    let mut all = changed("P2V1", "peak_kva", json!(12));
    let normal = SwitchStates::new();
    assert_eq!(expected(&all, "P2-fuse", &normal).basis, Basis::Nameplate);
    set(&mut all, "P2V2", "peak_kva", json!(20));
    let both = expected(&all, "P2-fuse", &normal);
    near(both.likely.unwrap(), 32.0 / 1.6 * 1e3 / 7200.0);
    near(both.most, 50e3 / 7200.0);
    assert_eq!((both.basis, both.customers), (Basis::Recorded, 2));
    near(expected(&all, "P2-lug2", &normal).likely.unwrap(), 20e3 / 240.0);
    // A unit that is overloaded by the record carries what the record says.
    set(&mut all, "P2V2", "peak_kva", json!(200));
    near(expected(&all, "P2-fuse", &normal).most, 212.0 / 1.6 * 1e3 / 7200.0);
}

#[test]
fn phases_are_told_apart_where_the_record_has_them() {
    let mut all = features();
    let normal = SwitchStates::new();
    for (unit, phase) in [("P1-tx", "A"), ("P2-tx", "B"), ("P3-tx", "B")] {
        set(&mut all, unit, "phase", json!(phase));
    }
    let first = expected(&all, "P1-in", &normal);
    near(first.most, 100e3 / 7200.0);
    assert_eq!(first.customers, 6);
    // A three-phase unit loads every phase with a third of itself.
    set(&mut all, "P3-tx", "system", json!("208y/120"));
    set(&mut all, "P3-tx", "primary_volts", json!(12470));
    set(&mut all, "P3V1", "system", json!("208y/120"));
    let third = expected(&all, "P3-fuse", &normal);
    near(third.most, 50e3 / 3.0 / 7200.0);
    near(expected(&all, "P3-lug1", &normal).likely.unwrap(), 50e3 / (208.0 * 3.0_f64.sqrt()));
    near(expected(&all, "P1-in", &normal).most, (50.0 + 50.0 / 3.0) * 1e3 / 7200.0);
}

/// A second unit on the same secondary is full too, whatever the peaks on the record say.
#[test]
fn units_side_by_side_are_full_together() {
    let mut all = changed("P3V1", "peak_kva", json!(20));
    let mut beside = all.iter().find(|f| f["properties"]["id"] == "P3-tx").unwrap().clone();
    beside["properties"]["id"] = json!("P3-tx2");
    all.push(beside);
    let pad = all.iter_mut().find(|f| f["properties"]["id"] == "P3").unwrap();
    pad["properties"]["contains"].as_array_mut().unwrap().push(json!("P3-tx2"));
    let fuse = expected(&all, "P3-fuse", &SwitchStates::new());
    near(fuse.likely.unwrap(), 20e3 / 7200.0);
    near(fuse.most, 100e3 / 7200.0);
}

#[test]
fn what_feeds_back_counts() {
    let source = json!([{"type": "pv", "kw": 90, "transfer_switch": false},
        {"type": "generator", "kw": 500, "transfer_switch": true}]);
    let all = changed("P3V1", "customer_sources", source);
    let normal = SwitchStates::new();
    near(expected(&all, "P3-fuse", &normal).most, 90e3 / 7200.0);
    near(expected(&all, "P3-lug1", &normal).most, 90e3 / 240.0);
}

#[test]
fn a_closed_loop_has_no_likely_share() {
    let all = features();
    let closed = SwitchStates::from([(id("CO2"), SwitchState::Closed)]);
    let round = expected(&all, "P2-in", &closed);
    assert_eq!(round.likely, None);
    near(round.most, 150e3 / 7200.0);
    assert_eq!(round.customers, 6);
    // The fuse of a pad is no part of the loop.
    near(expected(&all, "P2-fuse", &closed).likely.unwrap(), 50e3 / 7200.0);
}

#[test]
fn diversity_grows_and_never_takes_more_than_its_share() {
    let mut before = 1.0;
    for n in 1..200_u32 {
        let factor = diversity_factor(n);
        assert!(factor >= before && factor <= 3.2, "{n}: {factor}");
        // Together N draw no less than fewer of them do.
        assert!(f64::from(n + 1) / diversity_factor(n + 1) > f64::from(n) / factor, "{n}");
        before = factor;
    }
    assert!((diversity_factor(0) - 1.0).abs() < f64::EPSILON);
    assert!((diversity_factor(12) - 2.71).abs() < 1e-9);
    assert!((diversity_factor(1_000_000) - 3.2).abs() < 1e-9);
}

/// Pads joined by cables anyhow, and some switches opened.
fn joined() -> impl Strategy<Value = (Vec<Value>, Vec<(usize, bool)>)> {
    let pads = prop::collection::vec(0_u8..3, 1..5);
    let cables = prop::collection::vec((0_usize..12, 0_usize..12), 0..6);
    let states = prop::collection::vec((0_usize..60, any::<bool>()), 0..5);
    (pads, cables, states).prop_map(|(pads, cables, states)| {
        let mut all = features();
        all.retain(|f| {
            let name = f["properties"]["id"].as_str().unwrap();
            ["SRC", "CO1"].contains(&name)
        });
        let mut ends = vec!["tap1".to_owned()];
        for (i, &sets) in pads.iter().enumerate() {
            pad(&mut all, &format!("P{i}"), sets);
            let from = ends.last().unwrap().clone();
            cable(&mut all, &format!("C{i}"), &from, &format!("P{i}:in"));
            ends.extend([format!("P{i}:in"), format!("P{i}:out")]);
        }
        for (i, (from, to)) in cables.into_iter().enumerate() {
            let (from, to) = (&ends[from % ends.len()], &ends[to % ends.len()]);
            if from != to {
                cable(&mut all, &format!("X{i}"), from, to);
            }
        }
        (all, states)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A branch that is in no mesh carries exactly the customers who go out when it alone opens.
    #[test]
    fn beyond_a_branch_is_who_goes_out_without_it((all, turned) in joined()) {
        let plant = plant_of(&all);
        let network = Network::of(&plant).unwrap();
        let openable: Vec<AssetId> =
            network.branches().filter(|b| b.device().is_some()).map(|b| b.id.clone()).collect();
        let mut states = SwitchStates::new();
        for (at, open) in turned {
            let state = if open { SwitchState::Open } else { SwitchState::Closed };
            states.insert(openable[at % openable.len()].clone(), state);
        }
        let loading = ExpectedAmps::of(&plant, &network, &states).unwrap();
        let supplied = |states: &SwitchStates| -> BTreeSet<NodeId> {
            network.reach(plant.sources.values().map(|s| &s.node), |b| !b.is_open(states))
        };
        let before = supplied(&states);
        let homes = |nodes: &BTreeSet<NodeId>| plant.services.keys()
            .filter(|id| nodes.contains(&derived::house_node(id).unwrap())).count();
        for branch in network.branches().filter(|b| b.device().is_some()) {
            let found = loading.through(&branch.id);
            if branch.is_open(&states) {
                prop_assert_eq!(found.unwrap().most, amps(0.0));
                continue;
            }
            if !before.contains(&branch.from) {
                prop_assert_eq!(found, None);
                continue;
            }
            let found = found.unwrap();
            let mut without = states.clone();
            without.insert(branch.id.clone(), SwitchState::Open);
            let after = supplied(&without);
            let meshed = after == before;
            prop_assert_eq!(found.likely.is_none(), meshed, "{}", &branch.id);
            if !meshed && !branch.id.as_str().contains('/') {
                let out = homes(&before) - homes(&after);
                // A transformer without a known customer counts as one.
                let empty = plant.transformers.values().filter(|t| {
                    before.contains(&t.secondary) && !after.contains(&t.secondary)
                        && plant.services.keys().all(|id| {
                            let house = derived::house_node(id).unwrap();
                            !network.reach([&t.secondary], |b| {
                                b.kind != BranchKind::Transformer && !b.is_open(&states)
                            }).contains(&house)
                        })
                }).count();
                prop_assert_eq!(found.customers as usize, out + empty, "{}", &branch.id);
                prop_assert!(found.likely.unwrap() <= found.most);
            }
        }
    }
}
