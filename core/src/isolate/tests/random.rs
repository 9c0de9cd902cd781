//! Isolation plans on random networks.

use proptest::prelude::*;
use serde_json::{Value, json};

use std::collections::BTreeSet;

use super::{id, with};
use crate::isolate::*;
use crate::mapsheet::fixture::{cable, pad, sheet};
use crate::plant::{Device, SwitchState, derived};
use crate::quantity::{AssetId, NodeId};

/// A row of pads with customers' sources here and there, perhaps closed to a ring.
fn rows() -> impl Strategy<Value = Vec<Value>> {
    let pads = proptest::collection::vec((1_u8..4, any::<[bool; 3]>()), 1..4);
    (pads, any::<bool>()).prop_map(|(pads, ring)| {
        let mut all = vec![json!({"type": "Feature",
            "geometry": {"type": "Point", "coordinates": [-30.2, 41.6]},
            "properties": {"kind": "source", "id": "S", "node": "n0",
                "volts_line_to_line": 12470}})];
        for (i, &(sets, own)) in pads.iter().enumerate() {
            let name = format!("P{i}");
            pad(&mut all, &name, sets);
            for k in 1..=sets {
                if own[usize::from(k) - 1] {
                    let service = format!("{name}V{k}");
                    let sources = json!([{"type": "battery", "kw": 5, "transfer_switch": true}]);
                    all = with(all, &service, "customer_sources", sources);
                }
            }
            let from = if i == 0 { "n0".to_owned() } else { format!("P{}:out", i - 1) };
            cable(&mut all, &format!("C{i}"), &from, &format!("P{i}:in"));
        }
        if ring {
            let last = format!("P{}:out", pads.len() - 1);
            cable(&mut all, "CR", &last, "n0");
        }
        all
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// On the record itself, walked anew: after each plan no source reaches the zone, every opening
    /// is needed, and exactly those go out who are said to.
    #[test]
    fn every_plan_parts_the_zone_from_every_source(
        all in rows(), scope in 0_usize..5, open in any::<bool>(),
    ) {
        let scopes =
            ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary", "cable:n0:P0::in"];
        let plant = crate::mapsheet::read(sheet(&all).to_string().as_bytes()).unwrap().plant;
        let mut request = Request::new(id("P0V1"), scopes[scope].parse().unwrap());
        if open {
            request.states.insert(id("P0-out"), SwitchState::Open);
        }
        let found = isolate(&plant, &request, &RuleSheet::default()).unwrap();
        prop_assert_eq!(found.plans.is_empty(), found.infeasible.is_some());
        let network = Network::of(&plant).unwrap();
        let live = |open: &BTreeSet<AssetId>| {
            let reached = network.reach(&found.zone, |b| !open.contains(&b.id));
            found.sources.iter().any(|s| reached.contains(&s.node))
        };
        prop_assert_eq!(&found.withdrawn, &[]);
        for plan in found.plans.iter().chain(&found.dearer) {
            let all_open: BTreeSet<AssetId> =
                plan.openings.iter().map(|o| o.branch.clone()).collect();
            prop_assert!(!live(&all_open));
            for one in &all_open {
                let mut without = all_open.clone();
                without.remove(one);
                prop_assert!(live(&without), "{} is needless", one);
                prop_assert!(found.may_open.contains(one));
            }
            let fed = |open: &BTreeSet<AssetId>| {
                let starts: Vec<NodeId> = plant.sources.values().map(|s| s.node.clone()).collect();
                network.reach(&starts, |b| !open.contains(&b.id) && !b.is_open(&request.states))
            };
            let (before, after) = (fed(&BTreeSet::new()), fed(&all_open));
            let out: Vec<AssetId> = plant.services.keys()
                .filter(|s| **s != request.service)
                .filter(|s| {
                    let house = derived::house_node(s).unwrap();
                    before.contains(&house) && !after.contains(&house)
                })
                .cloned()
                .collect();
            let mut told: Vec<AssetId> =
                plan.customers_out.iter().map(|out| out.service.clone()).collect();
            told.sort();
            prop_assert_eq!(&told, &out);
            prop_assert!(plan.openings.iter().all(|o| o.device != Device::BayonetFuse));
            prop_assert!(plan.openings.len() >= found.fewest_openings.unwrap());
        }
    }
}
