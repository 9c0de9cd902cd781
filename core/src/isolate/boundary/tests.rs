//! Tests of the search for boundaries.

use proptest::prelude::*;

use super::*;
use crate::isolate::graph::{Edge, Price};

const DEVICES: [Device; 4] = [Device::LugPair, Device::BayonetFuse, Device::Elbow, Device::Meter];

/// A random network: up to 12 edges that open, some open already, some that never do.
fn problems() -> impl Strategy<Value = Problem> {
    let opens = (0_usize..9, 0_usize..9, 0_u32..6, 1_u32..4, 0_usize..4, 0_u8..5);
    let fixed = (0_usize..9, 0_usize..9);
    (
        2_usize..9,
        proptest::collection::vec(opens, 1..=12),
        proptest::collection::vec(fixed, 0..4),
        proptest::collection::vec(0_usize..9, 1..3),
        proptest::collection::vec(0_usize..9, 0..3),
        proptest::collection::vec(0_usize..9, 0..4),
        proptest::collection::vec(0_usize..9, 0..6),
    )
        .prop_map(|(nodes, opens, fixed, zone, feeders, other_sources, customers)| {
            let mut edges = Vec::new();
            for (one, other, exposure, operations, device, state) in opens {
                let open_now = state == 0;
                let price = Price {
                    exposure: if open_now { 0 } else { exposure },
                    operations: if open_now { 0 } else { operations },
                    device: DEVICES[device],
                };
                let ends = [one % nodes, other % nodes];
                edges.push(Edge { ends, price: Some(price), open_now });
            }
            for (one, other) in fixed {
                let ends = [one % nodes, other % nodes];
                edges.push(Edge { ends, price: None, open_now: false });
            }
            let within = |list: Vec<usize>| list.into_iter().map(|n| n % nodes).collect();
            Problem {
                nodes,
                edges,
                zone: within(zone),
                feeders: within(feeders),
                other_sources: within(other_sources),
                customers: within(customers),
            }
        })
}

/// The cheapest of all subsets of what opens, and the fewest openings of any that separates.
fn by_trying_all(problem: &Problem) -> Option<(Cost, usize)> {
    let meeting = problem.meeting();
    let opens: Vec<usize> =
        (0..problem.edges.len()).filter(|&e| problem.edges[e].price.is_some()).collect();
    let mut best: Option<Cost> = None;
    let mut fewest = usize::MAX;
    for chosen in 0..1_u32 << opens.len() {
        let subset: Vec<usize> =
            (0..opens.len()).filter(|i| chosen & (1 << i) != 0).map(|i| opens[i]).collect();
        if problem.separates(&meeting, &subset) {
            let cost = problem.cost(&meeting, &subset);
            best = Some(best.map_or(cost, |b| b.min(cost)));
            fewest = fewest.min(subset.len());
        }
    }
    best.map(|cost| (cost, fewest))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn the_first_boundary_is_the_cheapest_of_all_subsets(problem in problems()) {
        let found = boundaries(&problem);
        let expected = by_trying_all(&problem);
        prop_assert!(found.complete);
        prop_assert_eq!(found.boundaries.first().map(|b| b.cost), expected.map(|(cost, _)| cost));
        prop_assert_eq!(fewest_openings(&problem), expected.map(|(_, fewest)| fewest));
    }

    #[test]
    fn every_boundary_separates_and_needs_every_opening(problem in problems()) {
        let meeting = problem.meeting();
        for boundary in boundaries(&problem).boundaries {
            prop_assert!(problem.separates(&meeting, &boundary.edges));
            prop_assert_eq!(problem.cost(&meeting, &boundary.edges), boundary.cost);
            for &edge in &boundary.edges {
                prop_assert!(problem.edges[edge].price.is_some());
                let without: Vec<usize> =
                    boundary.edges.iter().copied().filter(|&e| e != edge).collect();
                prop_assert!(!problem.separates(&meeting, &without), "needless {}", edge);
            }
        }
    }

    /// The order of the edges in the record does not change the price.
    #[test]
    fn the_price_does_not_hang_on_the_order(problem in problems()) {
        let mut turned = problem.clone();
        turned.edges.reverse();
        let costs = |p: &Problem| {
            boundaries(p).boundaries.into_iter().map(|b| (b.means, b.cost)).collect::<Vec<_>>()
        };
        let first = |p: &Problem| costs(p).first().map(|(_, cost)| *cost);
        prop_assert_eq!(first(&problem), first(&turned));
    }
}
