//! Tests of the search for boundaries.

use proptest::prelude::*;

use super::*;
use crate::isolate::graph::{Closing, Edge, Price};

const DEVICES: [Device; 4] = [Device::LugPair, Device::BayonetFuse, Device::Elbow, Device::Meter];

/// A random network: up to 12 edges that open, some open already, some of these loop points that may
/// be closed onto load, some edges that never open.
fn problems() -> impl Strategy<Value = Problem> {
    let opens = (0_usize..9, 0_usize..9, 0_u32..6, 1_u32..4, 0_usize..4, 0_u8..6);
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
            let bare = |one: usize, other: usize| Edge {
                ends: [one % nodes, other % nodes],
                price: None,
                open_now: false,
                closing: None,
                rated: None,
                carries: None,
            };
            let mut edges = Vec::new();
            for (one, other, exposure, operations, device, state) in opens {
                let open_now = state < 2;
                let price = Price {
                    exposure: if open_now { 0 } else { exposure },
                    operations: if open_now { 0 } else { operations },
                    device: DEVICES[device],
                };
                let closing = (state == 0).then_some(Closing {
                    exposure,
                    operations: 1,
                    last_resorts: u32::from(DEVICES[device] == Device::BayonetFuse),
                });
                edges.push(Edge { price: Some(price), open_now, closing, ..bare(one, other) });
            }
            edges.extend(fixed.into_iter().map(|(one, other)| bare(one, other)));
            let within = |list: Vec<usize>| list.into_iter().map(|n| n % nodes).collect();
            Problem {
                nodes,
                edges,
                zone: within(zone),
                feeders: within(feeders),
                other_sources: within(other_sources),
                customers: within(customers),
                loads: Vec::new(),
            }
        })
}

/// Nodes as bits: written apart from the search, so that one mistake is not in both.
struct Bits<'a> {
    problem: &'a Problem,
    feeders: u32,
    sources: u32,
    zone: u32,
}

impl<'a> Bits<'a> {
    fn of(problem: &'a Problem) -> Self {
        let bits = |nodes: &[usize]| nodes.iter().fold(0, |bits, &node| bits | 1 << node);
        let feeders = bits(&problem.feeders);
        let sources = feeders | bits(&problem.other_sources);
        Self { problem, feeders, sources, zone: bits(&problem.zone) }
    }

    /// What is reached over the edges whose bit is set.
    fn reach(&self, from: u32, closed: u32) -> u32 {
        let mut seen = from;
        loop {
            let before = seen;
            for (number, edge) in self.problem.edges.iter().enumerate() {
                let ends = 1_u32 << edge.ends[0] | 1 << edge.ends[1];
                if closed & (1 << number) != 0 && seen & ends != 0 {
                    seen |= ends;
                }
            }
            if seen == before {
                return seen;
            }
        }
    }

    fn supplied(&self, closed: u32) -> Vec<bool> {
        let reached = self.reach(self.feeders, closed);
        self.problem.customers.iter().map(|&node| reached & (1 << node) != 0).collect()
    }

    /// The best price of these openings over every order of closing loop points, each closed between
    /// what a feeder supplies and what none does.
    fn price(&self, open: u32) -> Cost {
        let edges = &self.problem.edges;
        let bit = |pick: fn(&Edge) -> bool| {
            let numbered = edges.iter().enumerate().filter(|(_, edge)| pick(edge));
            numbered.fold(0_u32, |bits, (number, _)| bits | 1 << number)
        };
        let closed = bit(|e| !e.open_now);
        let before = self.supplied(closed);
        let loops = bit(|e| e.open_now && e.closing.is_some()) & !open;
        let opened = (0..edges.len()).filter(|n| open & (1 << n) != 0);
        let prices: Vec<Price> = opened.filter_map(|n| edges[n].price).collect();
        let fuses: Vec<Price> =
            prices.iter().filter(|p| p.device == Device::BayonetFuse).copied().collect();
        let mut best: Option<Cost> = None;
        let mut waiting = vec![(closed & !open, 0, 0, 0)];
        while let Some((closed, resorts, exposure, operations)) = waiting.pop() {
            let now = self.supplied(closed);
            let cost = Cost {
                customers_out: before.iter().zip(&now).filter(|&(&b, &n)| b && !n).count(),
                last_resorts: resorts + fuses.iter().map(|p| p.operations).sum::<u32>(),
                exposure: exposure + prices.iter().map(|p| p.exposure).sum::<u32>(),
                operations: operations + prices.iter().map(|p| p.operations).sum::<u32>(),
            };
            best = Some(best.map_or(cost, |b| b.min(cost)));
            let fed = self.reach(self.feeders, closed);
            for (number, edge) in edges.iter().enumerate() {
                let ends = edge.ends.map(|end| fed & (1 << end) != 0);
                let (true, Some(closing)) = (loops & (1 << number) != 0, edge.closing) else {
                    continue;
                };
                if closed & (1 << number) == 0 && ends[0] != ends[1] {
                    let closed = closed | 1 << number;
                    let exposure = exposure + closing.exposure;
                    let resorts = resorts + closing.last_resorts;
                    waiting.push((closed, resorts, exposure, operations + closing.operations));
                }
            }
        }
        best.unwrap()
    }

    /// The cheapest of all subsets of what opens, and the fewest openings of any that separates.
    fn by_trying_all(&self) -> Option<(Cost, usize)> {
        let edges = &self.problem.edges;
        let opens: Vec<usize> = (0..edges.len()).filter(|&e| edges[e].price.is_some()).collect();
        let mut best: Option<Cost> = None;
        let mut fewest = usize::MAX;
        for chosen in 0..1_u32 << opens.len() {
            let open = (0..opens.len())
                .filter(|i| chosen & (1 << i) != 0)
                .fold(0, |bits, i| bits | 1 << opens[i]);
            if self.reach(self.zone, !open) & self.sources == 0 {
                let cost = self.price(open);
                best = Some(best.map_or(cost, |b| b.min(cost)));
                fewest = fewest.min(open.count_ones() as usize);
            }
        }
        best.map(|cost| (cost, fewest))
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn the_first_boundary_is_the_cheapest_of_all_subsets(problem in problems()) {
        let found = boundaries(&problem, &BTreeSet::new());
        let expected = Bits::of(&problem).by_trying_all();
        prop_assert!(found.complete);
        prop_assert_eq!(found.proof, Proof::Optimal);
        prop_assert_eq!(found.boundaries.first().map(|b| b.cost), expected.map(|(cost, _)| cost));
        prop_assert_eq!(fewest(&problem).map(|cut| cut.len()), expected.map(|(_, fewest)| fewest));
    }

    #[test]
    fn every_boundary_separates_and_needs_every_opening(problem in problems()) {
        let meeting = problem.meeting();
        let before = problem.supplied(&meeting, &[]);
        for boundary in boundaries(&problem, &BTreeSet::new()).boundaries {
            prop_assert!(problem.separates(&meeting, &boundary.edges));
            prop_assert_eq!(problem.cost(&meeting, &before, &boundary.edges), (boundary.cost, true));
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
            boundaries(p, &BTreeSet::new()).boundaries.into_iter().map(|b| (b.means, b.cost)).collect::<Vec<_>>()
        };
        let first = |p: &Problem| costs(p).first().map(|(_, cost)| *cost);
        prop_assert_eq!(first(&problem), first(&turned));
    }
}
