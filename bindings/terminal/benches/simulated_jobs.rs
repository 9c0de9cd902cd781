//! Simulated jobs a second, on one thread, the start of the program included.
//!
//! The goal is 500 jobs a second and processor (`coldlug`). `map_only` plays the same fields with a
//! crew that asks no rule: what is between the two is what evidence, gates and proofs cost.
#![allow(
    clippy::expect_used,
    missing_docs,
    reason = "a bench: an expectation that fails ends it, and criterion's macro writes main"
)]

use std::hint::black_box;
use std::process::{Command, Output};

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};

const JOBS: u64 = 500;

fn simulated(policy: &str) -> Output {
    let jobs = JOBS.to_string();
    let args = ["simulate", "--jobs", &jobs, "--threads", "1", "--policies", policy, "--json"];
    let out = Command::new(env!("CARGO_BIN_EXE_coldlug")).args(args).output();
    out.expect("the program starts")
}

fn jobs(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("simulated jobs");
    group.sample_size(10).throughput(Throughput::Elements(JOBS));
    for policy in ["coldlug", "map_only"] {
        group.bench_function(BenchmarkId::from_parameter(policy), |bencher| {
            bencher.iter(|| black_box(simulated(policy)));
        });
    }
    group.finish();
}

criterion_group!(benches, jobs);
criterion_main!(benches);
