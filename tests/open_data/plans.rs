//! Twenty seeded plans of the program equal the best of all separating sets, worked out here from
//! the map sheet and the words of the default rule sheet alone.

use std::collections::BTreeSet;

use coldlug_tests::draw::Draw;
use coldlug_tests::program;
use serde_json::Value;

use super::brute;
use super::network::{Branch, Network};
use super::shapes::{id, of_kind, text};
use super::sheet;

/// Separating sets up to this size are tried.
const MOST_OPENINGS: usize = 5;

/// Weight of one operation on a branch by the default rule sheet: contact times voltage.
fn exposure(branch: &Branch) -> u64 {
    let (contact, operations) = match branch.device.as_deref() {
        Some("breaker" | "feeder-switch" | "main" | "source-disconnect") => (1, 1),
        Some("elbow" | "cut-out" | "bayonet-fuse") => (2, 1),
        Some("meter") => (4, 1),
        Some("lug-pair") => (4, 2),
        other => panic!("{}: nobody opens a {other:?}", branch.id),
    };
    let volts = branch.properties["volts_nominal"].as_f64().unwrap_or(240.0);
    let voltage = if volts <= 300.0 {
        1
    } else if volts <= 1000.0 {
        2
    } else {
        5
    };
    contact * voltage * operations
}

/// What a plan costs, in the order in which plans are compared.
type Price = (usize, u64, u64);

fn best(
    network: &Network,
    target: &str,
    zone: &[usize],
    sources: &[usize],
    may_open: &BTreeSet<usize>,
) -> Option<Price> {
    brute::separating_sets(network, zone, sources, may_open, MOST_OPENINGS)
        .into_iter()
        .map(|cut| {
            let out = brute::customers_out(network, target, &cut).len();
            let exposure = cut.iter().map(|&b| exposure(&network.branches[b])).sum();
            (out, exposure, cut.len() as u64)
        })
        .min()
}

fn numbers(plan: &Value) -> Price {
    let list = |key: &str| plan[key].as_array().map_or(0, Vec::len);
    let number = |key: &str| plan[key].as_u64().unwrap_or_else(|| panic!("no {key}: {plan:#}"));
    (list("customers_out"), number("exposure"), number("operations"))
}

#[test]
fn twenty_seeded_plans_are_the_best_there_are() {
    let sheet = sheet::sheet();
    let network = Network::of(sheet);
    let path = sheet::path().to_str().expect("text");
    let services = of_kind(sheet, "service");
    let mut draw = Draw::of(20, "plans");
    for _ in 0..20 {
        let service = *draw.one(&services);
        let node = network.place(text(service, "node"));
        let plan = program::json(&[
            "plan",
            "--map",
            path,
            "--service",
            id(service),
            "--scope",
            "base-line-side",
        ])
        .unwrap_or_else(|why| panic!("{why}"));
        let may_open =
            (0..network.branches.len()).filter(|&b| network.branches[b].device.is_some()).collect();
        let mut sources = network.feeders.clone();
        sources.extend(network.customer_sources.iter().map(|(_, at)| *at));
        let want = best(&network, id(service), &[node], &sources, &may_open);
        let got = plan["plans"].as_array().and_then(|plans| plans.first()).map(numbers);
        assert_eq!(got, want, "{}: {plan:#}", id(service));
    }
}
