//! Isolation plans on invented networks of 10^3 to 10^6 nodes, beside petgraph's and SciPy's maximum
//! flow on the same network in the same run.
//!
//!     cargo bench -p coldlug-speed --bench plan
//!
//! A plan is the whole answer: openings, who goes out, who is picked up, steps there and back, played
//! step by step, and all that is made of the record for it. The flow is the least number of openings
//! alone, with and without the making of its graph. `COLDLUG_MOST_NODES` ends sooner. SciPy runs in the
//! Python that `COLDLUG_PYTHON` names (`python3` without it); where that has no SciPy, its lines say so.
#![allow(missing_docs, reason = "criterion's macros write functions without docs")]
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a benchmark: it prints, and stops where it cannot go on"
)]

mod network;
mod scipy;
#[allow(dead_code, reason = "its clock alone is used here")]
mod spread;

use std::collections::BTreeMap;
use std::hint::black_box;

use coldlug_core::{
    isolate::{Request, isolate},
    plant::{Network, Plant},
    quantity::AssetId,
    rule_sheet::RuleSheet,
};
use criterion::{Criterion, criterion_group, criterion_main};
use petgraph::{
    algo::dinics,
    graph::{DiGraph, NodeIndex},
};
use spread::timed;

const UNCUT: u32 = 1 << 20;

/// The same network for petgraph: every branch both ways, one for what may be opened.
fn graph(
    plant: &Plant,
    found: &coldlug_core::isolate::Isolation,
) -> (DiGraph<(), u32>, [NodeIndex; 2]) {
    let network = Network::of(plant).expect("names are short");
    let mut graph = DiGraph::new();
    let nodes: BTreeMap<_, _> = network.nodes().map(|node| (node, graph.add_node(()))).collect();
    let may_open: std::collections::BTreeSet<&AssetId> = found.may_open.iter().collect();
    for branch in network.branches() {
        let capacity = if may_open.contains(&branch.id) { 1 } else { UNCUT };
        let ends = [&branch.from, &branch.to].map(|end| nodes.get(end).copied());
        if let [Some(one), Some(other)] = ends {
            graph.add_edge(one, other, capacity);
            graph.add_edge(other, one, capacity);
        }
    }
    let (start, goal) = (graph.add_node(()), graph.add_node(()));
    for source in &found.sources {
        if let Some(&node) = nodes.get(&source.node) {
            graph.add_edge(start, node, UNCUT);
        }
    }
    for node in found.zone.iter().filter_map(|node| nodes.get(node)) {
        graph.add_edge(*node, goal, UNCUT);
    }
    (graph, [start, goal])
}

fn plans(criterion: &mut Criterion) {
    let most = std::env::var("COLDLUG_MOST_NODES").ok().and_then(|n| n.parse().ok());
    let most: usize = most.unwrap_or(1_000_000);
    let rules = RuleSheet::default();
    println!(
        "{:>9} {:<14} {:>10} {:>14} {:>7} {:>12} {:>7}  proof",
        "nodes", "scope", "plan", "graph and flow", "ratio", "flow alone", "ratio"
    );
    for nodes in [1_000, 10_000, 100_000, 1_000_000].into_iter().filter(|&nodes| nodes <= most) {
        let (plant, service) = network::of(nodes);
        for scope in ["base-line-side", "pad-primary"] {
            let request = Request::new(service.clone(), scope.parse().expect("a scope"));
            let ask = || isolate(&plant, &request, &rules).expect("an answer");
            let (found, took) = timed(|| black_box(ask()));
            let ((graph, [start, goal]), made) = timed(|| graph(&plant, &found));
            let ((flow, _), alone) = timed(|| black_box(dinics(&graph, start, goal)));
            assert_eq!(found.fewest_openings, usize::try_from(flow).ok(), "{nodes}, {scope}");
            let [took, made, alone] = [took, made, alone].map(|time| time.as_secs_f64() * 1e3);
            println!(
                "{:>9} {scope:<14} {took:>7.1} ms {:>11.1} ms {:>7.1} {alone:>9.1} ms {:>7.1}  {:?}",
                Network::of(&plant).expect("names are short").nodes().count(),
                made + alone,
                took / (made + alone),
                took / alone,
                found.proof,
            );
            match scipy::flow(&graph, [start, goal]) {
                Ok(told) => {
                    assert_eq!(found.fewest_openings, Some(told.value), "{nodes}, {scope}: scipy");
                    let whole = told.graph_ms + told.flow_ms;
                    println!(
                        "{:>9} {:<14} {:>13} {whole:>11.1} ms {:>7.1} {:>9.1} ms {:>7.1}",
                        "",
                        "  scipy",
                        "",
                        took / whole,
                        told.flow_ms,
                        took / told.flow_ms,
                    );
                }
                Err(why) => println!("{:>9}   scipy: NOT MEASURED: {why}", ""),
            }
        }
    }
    let (plant, service) = network::of(10_000);
    let request = Request::new(service, "pad-primary".parse().expect("a scope"));
    criterion.bench_function("a plan among 10^4 nodes", |bencher| {
        bencher.iter(|| isolate(&plant, &request, &rules).map(|found| found.plans.len()));
    });
}

criterion_group! {
    name = group;
    config = Criterion::default().sample_size(10);
    targets = plans
}
criterion_main!(group);
