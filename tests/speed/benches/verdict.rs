//! Time per verdict, on the demo's map sheet and on one of 50,000 pads.
//!
//!     cargo bench -p coldlug-speed --bench verdict
//!
//! Plays of the identification rule give the evidence, judged anew after every sighting as a phone
//! does it: verdict, ledger, settling tests, explanations, and where tags and fixes point to. A tag and
//! two fixes at the target's pad are added. The play's own pads stand on both sheets; the demo's town
//! lies beside them, once or in as many copies as make 50,000 pads. The goal is absolute: 99 of 100
//! verdicts on the large sheet within a millisecond.
#![allow(missing_docs, reason = "criterion's macros write functions without docs")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "a benchmark: it prints, and stops where it cannot go on"
)]

#[path = "../../identify/play/mod.rs"]
mod play;
mod sheet;
mod spread;

use std::{hint::black_box, time::Duration};

use coldlug_core::{
    plant::Plant,
    quantity::{Decimal, PersonId, SightingId},
    reconcile::judge,
    rule_sheet::RuleSheet,
    sighting::{Evidence, Seen, Sighting},
};
use criterion::{Criterion, criterion_group, criterion_main};
use play::{Fault, Manner, Play, Shape};
use spread::{Spread, timed};

/// Plays on each sheet.
const PLAYS: u64 = 150;
/// Plays on the large sheet: each needs a sheet of its own.
const LARGE_PLAYS: usize = 8;
const PADS: usize = 50_000;

/// A play with a fault in two of three, and what is seen at the target's pad.
fn drawn(seed: u64) -> Option<Play> {
    let manner = [Manner::Anyhow, Manner::Sweeping, Manner::Aiming][(seed % 3) as usize];
    let fault = Fault::ALL[seed as usize % Fault::ALL.len()];
    let faults = if seed.is_multiple_of(3) { Vec::new() } else { vec![fault] };
    let mut play = Play::draw(seed, Shape { faults: &faults, manner })?;
    look_at_pad(&play.plant, &mut play.evidence);
    Some(play)
}

/// A tag with a character that could not be read, and two fixes some metres off.
fn look_at_pad(plant: &Plant, evidence: &mut Evidence) {
    let pad = plant.feed_of(&evidence.target).ok().and_then(|feed| feed.pad);
    let Some(pad) = pad.and_then(|pad| plant.pads.get(&pad)) else { return };
    let Some(at) = evidence.sightings.values().next().map(|first| first.at.clone()) else { return };
    let degrees = |value: f64| Decimal::from_f64(value, 7).expect("a finite number");
    let fix = |off_deg: f64| Seen::Fix {
        pad: Some(pad.id.clone()),
        lon_deg: degrees(pad.at.lon_deg + off_deg),
        lat_deg: degrees(pad.at.lat_deg + off_deg),
        radius68_m: degrees(6.0),
    };
    let tag = pad.tags.first().map_or("", String::as_str);
    let last = tag.char_indices().next_back().map_or(0, |(at, _)| at);
    let pattern = format!("{}?", &tag[..last]);
    let tag = Seen::Tag { pad: Some(pad.id.clone()), pattern, maybe_upside_down: false };
    for (name, seen) in [("a-tag", tag), ("a-fix-1", fix(4e-5)), ("a-fix-2", fix(-2e-4))] {
        let id = SightingId::new(name).expect("a name");
        let who = PersonId::new("ana").expect("a name");
        evidence.sightings.insert(id.clone(), Sighting { id, who, at: at.clone(), seen });
    }
}

/// Times of the verdicts of one play, after every sighting.
fn judged(plant: &Plant, rules: &RuleSheet, evidence: &Evidence) -> Vec<Duration> {
    let mut so_far = evidence.clone();
    so_far.sightings.clear();
    let mut times = Vec::new();
    for (id, sighting) in &evidence.sightings {
        so_far.sightings.insert(id.clone(), sighting.clone());
        times.push(timed(|| black_box(judge(plant, rules, &so_far))).1);
    }
    times
}

fn verdicts(criterion: &mut Criterion) {
    let rules = RuleSheet::default();
    let town = sheet::demo_town();
    let mut small = Vec::new();
    for play in (0..PLAYS).filter_map(drawn) {
        let plant = sheet::with_towns(&play.plant, &town, 1);
        small.extend(judged(&plant, &rules, &play.evidence));
    }
    println!("demo's sheet, {} pads: {}", town.pads.len(), Spread::of(small).line());

    let copies = u32::try_from(PADS.div_ceil(town.pads.len())).expect("a few hundred");
    let (mut large, mut first, mut last) = (Vec::new(), Vec::new(), None);
    for play in (0..).filter_map(drawn).take(LARGE_PLAYS) {
        let plant = sheet::with_towns(&play.plant, &town, copies);
        assert!(plant.pads.len() >= PADS);
        // The first verdict on a sheet makes its indexes.
        first.push(timed(|| black_box(judge(&plant, &rules, &play.evidence))).1);
        for _ in 0..10 {
            large.extend(judged(&plant, &rules, &play.evidence));
        }
        last = Some((plant, play.evidence));
    }
    let large = Spread::of(large);
    let met = if large.of_1000(990).as_secs_f64() < 1e-3 { "met" } else { "MISSED" };
    println!("sheet of {PADS} pads: {}; goal, 99 % within 1000 us: {met}", large.line());
    println!("the first verdict on it, indexes made: {}", Spread::of(first).line());
    let (plant, evidence) = last.expect("a play");
    criterion.bench_function("verdict on a sheet of 50,000 pads", |bencher| {
        bencher.iter(|| judge(&plant, &rules, &evidence));
    });
}

criterion_group! {
    name = group;
    config = Criterion::default().sample_size(50);
    targets = verdicts
}
criterion_main!(group);
