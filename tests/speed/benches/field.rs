//! How long the made-up field takes: a simulated job draws one case and asks its pads some hundred times.
//!
//!     cargo bench -p coldlug-speed --bench field
//!
//! The goal is absolute: the state of a pad of six sets within 2 us. Asking the world by names, which makes
//! the pad ready anew each time, is measured beside it.
#![allow(missing_docs, reason = "criterion's macros write functions without docs")]
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a benchmark: it prints, and stops where it cannot go on"
)]

mod spread;

use std::hint::black_box;

use coldlug_field::{
    case::Case,
    flow::Bench,
    neighbourhood::neighbourhood,
    solvable::{Wanted, solvable},
    switching::Switching,
    world::World,
};
use criterion::{Criterion, criterion_group, criterion_main};
use spread::{Spread, timed};

const GOAL_US: f64 = 2.0;
/// States a round, and rounds.
const STATES: u32 = 1_000;
const ROUNDS: usize = 200;
/// What the gates ask, by the default rule sheet.
const WANTED: Wanted = Wanted {
    step_amps: 12.5,
    least_share: 0.6,
    most_share: 1.15,
    ways_without_step: 2,
    no_load_amps: 1.0,
    dead_volts: 5.0,
};

/// The first neighbourhood with a pad of six sets, each with a house alone, and that pad.
fn six_houses() -> (World, String) {
    let found = (0..1_000).map(neighbourhood).find_map(|world| {
        let pad = world.pads.values().find(|pad| {
            let alone = |set: &String| world.customers_on(set).is_ok_and(|all| all.len() == 1);
            pad.sets.len() == 6 && pad.sets.iter().all(alone)
        });
        let id = pad?.id.clone();
        Some((world, id))
    });
    found.expect("a pad of six sets")
}

fn states(bench: &Bench, switching: &Switching, round: usize) {
    for k in 0..STATES {
        let t_s = f64::from(k) * 7.0 + f64::from(u32::try_from(round).unwrap_or_default());
        black_box(bench.state(t_s, switching).expect("a state"));
    }
}

fn flows(criterion: &mut Criterion) {
    let (world, pad) = six_houses();
    let bench = Bench::of(&world, &pad).expect("a sound pad");
    let switching = world.as_found();
    let rounds = (0..ROUNDS).map(|round| timed(|| states(&bench, &switching, round)).1);
    let spread = Spread::of(rounds.collect());
    println!("a thousand states of a pad of six sets, {}", spread.line());
    let us = spread.of_1000(500).as_secs_f64() * 1e6 / f64::from(STATES);
    let met = if us <= GOAL_US { "met" } else { "missed" };
    println!("one of them: {us:.2} us; goal, {GOAL_US} us: {met}");
    criterion.bench_function("state of a pad of six sets", |b| {
        b.iter(|| black_box(bench.state(60.0, &switching)));
    });
    criterion.bench_function("the same asked of the world by names", |b| {
        b.iter(|| black_box(world.flow(&pad, 60.0, &switching)));
    });
}

fn cases(criterion: &mut Criterion) {
    let mut seeds = 0..;
    let mut next = || seeds.next().expect("seeds without end");
    criterion.bench_function("a case, its map wrong", |b| {
        b.iter(|| black_box(Case::draw(next(), &[], true)));
    });
    let case = Case::draw(1, &[], false).expect("a case");
    criterion.bench_function("features of its record", |b| {
        b.iter(|| black_box(case.record.features(&case.world)));
    });
    criterion.bench_function("its map sheet as text", |b| {
        b.iter(|| black_box(case.record.map_sheet(&case.world).to_string()));
    });
    criterion.bench_function("whether it is solvable", |b| {
        b.iter(|| black_box(solvable(&case.world, &case.record, &case.kit, &case.target, &WANTED)));
    });
}

criterion_group!(group, flows, cases);
criterion_main!(group);
