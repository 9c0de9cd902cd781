//! Plans on random networks: equal to the best of all sets of openings, tried one by one on the map
//! sheet alone, and played step by step.
//!
//! `COLDLUG_NETWORKS` says how many networks of at most 12 openable branches there are (default
//! 300); for every fifty of them there is one of at most 18.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "a network that cannot be set up is to stop the test, and small counts are cast"
)]

mod brute;
mod expect;
mod made;
mod replay;
mod world;

use std::collections::BTreeMap;

use brute::{FUSE, Price, Question};
use coldlug_core::isolate::{
    Isolation, Plan, Proof, ReadAmps, Request, SourceKind, StepAct, WhyNot, isolate,
};
use coldlug_core::mapsheet;
use coldlug_core::plant::SwitchState;
use coldlug_core::quantity::{AssetId, NodeId, amps};
use coldlug_core::rule_sheet::RuleSheet;
use expect::Verdict;
use world::World;

fn networks() -> u64 {
    std::env::var("COLDLUG_NETWORKS").ok().and_then(|n| n.parse().ok()).unwrap_or(300)
}

/// What came of many networks.
#[derive(Default)]
struct Tally {
    networks: u64,
    plans: u64,
    feasible: u64,
    picked_up: u64,
    overloaded: u64,
    refused: u64,
    read_first: u64,
    several_feeders: u64,
    tied: u64,
    by_opens: BTreeMap<usize, u64>,
}

fn price_of(plan: &Plan, world: &World) -> Price {
    let fuse = |id: &AssetId| world.branches[world.branch(id.as_str())].device == FUSE;
    let drawn = plan.openings.iter().filter(|o| !o.hold && fuse(&o.branch)).count();
    let put_in = plan.pick_ups.iter().filter(|p| fuse(&p.close)).count();
    let fuses = (drawn + put_in) as u64;
    (plan.still_out, fuses, plan.exposure.into(), plan.operations.into())
}

/// One network: drawn, asked, tried and played.
fn check(seed: u64, most: usize, tally: &mut Tally) {
    let (sheet, services, mut made) = made::sheet(seed, most);
    let what = |say: &str| format!("seed {seed}, at most {most}: {say}");
    let Some(target) = made.one_of(&services) else { return };
    // A cable that leads nowhere is refused: another network is drawn.
    let Ok(mapsheet) = mapsheet::read(sheet.to_string().as_bytes()) else { return };
    let plant = mapsheet.plant;
    let scope = match if made.row { 2 + made.below(4) } else { made.below(6) } {
        0 | 1 => "base-line-side".to_owned(),
        2 => "base-both-sides".to_owned(),
        3 => "pad-secondary".to_owned(),
        4 => "pad-primary".to_owned(),
        _ => made.cable_scope().unwrap_or_else(|| "base-line-side".to_owned()),
    };
    let mut request = Request::new(AssetId::new(&*target).unwrap(), scope.parse().unwrap());
    let mut turned = Vec::new();
    if made.below(5) == 0 {
        let closed = made.closed.clone();
        turned.extend(made.one_of(&closed));
    }
    for id in &turned {
        request.states.insert(AssetId::new(&**id).unwrap(), SwitchState::Open);
    }
    let mut loads = Vec::new();
    if made.below(3) == 0 {
        let closed = made.closed.clone();
        let ma = 1000 * (1 + made.below(12) as u64);
        loads.extend(made.one_of(&closed).map(|id| (id, ma)));
    }
    for (id, ma) in &loads {
        request
            .loads
            .insert(AssetId::new(&**id).unwrap(), ReadAmps::exactly(amps(*ma as f64 / 1e3)));
    }
    for id in &services {
        if made.below(2) == 0 {
            request.sources_ruled_out.insert(AssetId::new(&**id).unwrap());
        }
    }
    let rules = RuleSheet {
        allow_opening_without_visible_break: made.below(3) == 0,
        allow_paralleling: made.below(8) == 0,
        ..RuleSheet::default()
    };
    let found =
        isolate(&plant, &request, &rules).unwrap_or_else(|e| panic!("{}", what(&e.to_string())));
    let world = World::of(&sheet, &turned, &loads);
    let opens = world.branches.iter().filter(|b| !b.device.is_empty()).count();
    assert!(opens <= most, "{}", what(&format!("{opens} branches open")));
    *tally.by_opens.entry(opens).or_default() += 1;
    tally.networks += 1;
    tally.several_feeders += u64::from(world.feeders.len() > 1);
    tally.tied += u64::from(made.ties > 0);
    let question = Question {
        world: &world,
        target: &target,
        zone: world.bits(found.zone.iter().map(NodeId::as_str)),
        sources: world.bits(found.sources.iter().map(|s| s.node.as_str())),
        may_open: found.may_open.iter().map(|id| world.branch(id.as_str())).collect(),
    };
    sources_are_all(&found, &question);
    tally.refused += loads_are_judged(&found, &question, rules.allow_paralleling)
        .unwrap_or_else(|why| panic!("{}", what(&why)));
    let best = question.best();
    assert_eq!(
        found.plans.first().map(|plan| price_of(plan, &world)),
        best.map(|(p, _)| p),
        "{}",
        what("the best plan")
    );
    assert_eq!(found.fewest_openings, best.map(|(_, fewest)| fewest), "{}", what("fewest"));
    assert_eq!(found.proof, Proof::Optimal, "{}", what("proof"));
    assert!(found.complete && found.withdrawn.is_empty(), "{}", what("withdrawn"));
    assert_eq!(found.plans.is_empty(), found.infeasible.is_some(), "{}", what("infeasible"));
    tally.feasible += u64::from(!found.plans.is_empty());
    for plan in found.plans.iter().chain(&found.dearer) {
        tally.plans += 1;
        tally.picked_up += u64::from(!plan.pick_ups.is_empty());
        tally.overloaded += u64::from(!plan.not_picked_up.is_empty());
        tally.read_first += u64::from(plan.steps.iter().any(|s| s.act == StepAct::ReadAmps));
        loads_are_told(plan, &world, rules.allow_paralleling)
            .and_then(|()| whole(&found, plan, &question, rules.allow_paralleling))
            .and_then(|()| {
                let (zone, sources) = (question.zone, question.sources);
                replay::play(&world, plan, &target, zone, sources, rules.allow_paralleling)
            })
            .unwrap_or_else(|why| panic!("{}\n{plan:#?}", what(&why)));
    }
}

/// Whatever a switch is likely to carry, it is refused for that or not, as the sheet says; gives how
/// many are.
fn loads_are_judged(
    found: &Isolation,
    question: &Question<'_>,
    may_tie: bool,
) -> Result<u64, String> {
    let world = question.world;
    let why_not = |id: &str| found.not_allowed.iter().find(|n| n.branch.as_str() == id);
    let mut refused = 0;
    for (n, branch) in world.branches.iter().enumerate() {
        if branch.breaks_ma == 0 && branch.rated_ma == u64::MAX || branch.device == "lug-pair" {
            continue;
        }
        let ends = branch.ends.iter().all(|end| question.zone & end != 0);
        let want = match expect::verdict(world, n, may_tie) {
            _ if ends => Some(WhyNot::InZone),
            _ if branch.open => None,
            Verdict::NotMadeForIt => Some(WhyNot::NotLoadBreak),
            Verdict::TooMuch => Some(WhyNot::OverLoadBreak),
            Verdict::LikelyTooMuch => Some(WhyNot::LikelyOverLoadBreak),
            Verdict::Fine | Verdict::ReadFirst => None,
        };
        let not = why_not(&branch.id);
        let told = not.map(|n| n.rule).filter(|&rule| rule != WhyNot::NoVisibleBreak);
        if told != want {
            return Err(format!("{}: refused as {told:?}, not {want:?}", branch.id));
        }
        if let Some(load) = not.and_then(|not| not.expected.as_ref()) {
            refused += 1;
            if !expect::agrees(world, n, may_tie, load) {
                return Err(format!("{}: {load:?}", branch.id));
            }
        }
    }
    Ok(refused)
}

/// Each opening says what it is to break, and what it may not meet is read first.
fn loads_are_told(plan: &Plan, world: &World, may_tie: bool) -> Result<(), String> {
    for opening in plan.openings.iter().filter(|o| !o.hold) {
        let n = world.branch(opening.branch.as_str());
        let Some(load) = &opening.expected else { return Err("says no load".to_owned()) };
        if load.load_break_amps.is_none() {
            continue;
        }
        let reads = |s: &coldlug_core::isolate::Step| {
            s.act == StepAct::ReadAmps && s.branch.as_ref() == Some(&opening.branch)
        };
        let first = expect::verdict(world, n, may_tie) == Verdict::ReadFirst;
        let told = [load.read_first, plan.steps.iter().any(reads)];
        if told != [first; 2] || !expect::agrees(world, n, may_tie, load) {
            return Err(format!("{}: {load:?}, read first {first}", opening.branch));
        }
    }
    Ok(())
}

/// The answer leaves out no source: feeders, own ones, and houses for which nobody has ruled one out.
fn sources_are_all(found: &Isolation, question: &Question<'_>) {
    for feeder in &question.world.feeders {
        assert_ne!(question.sources & feeder, 0);
    }
    let possible = |s: &&coldlug_core::isolate::SourceRef| s.kind == SourceKind::PossibleCustomer;
    let at_base = found.scope.to_string().starts_with("base-");
    assert!(at_base || found.sources.iter().filter(possible).count() == 0);
}

/// A plan keeps its word: it separates, needs every opening, costs what it says, tells who goes out,
/// and is not worse than another in everything.
fn whole(
    found: &Isolation,
    plan: &Plan,
    question: &Question<'_>,
    may_tie: bool,
) -> Result<(), String> {
    let world = question.world;
    let places = plan.openings.iter().map(|o| world.branch(o.branch.as_str()));
    let opened = places.fold(0_u64, |bits, n| bits | 1 << n);
    if !question.separates(opened) {
        return Err("a source reaches the zone".to_owned());
    }
    if let Some(n) = question.needless(opened) {
        return Err(format!("{} is opened needlessly", world.branches[n].id));
    }
    let price = question.price(opened);
    if price != price_of(plan, world) {
        return Err(format!("costs {price:?}"));
    }
    let mut told: Vec<String> = plan.customers_out.iter().map(|o| o.service.to_string()).collect();
    told.sort();
    let mut out = question.out(opened);
    if may_tie {
        let kept: Vec<&str> = plan
            .pick_ups
            .iter()
            .flat_map(|p| p.customers_back.iter().map(AssetId::as_str))
            .collect();
        out.retain(|id| !kept.contains(&id.as_str()));
    }
    if told != out {
        return Err(format!("{out:?} go out"));
    }
    let urgent =
        |critical: bool| plan.customers_out.iter().rposition(|o| o.critical.is_some() == critical);
    if urgent(true) > plan.customers_out.iter().position(|o| o.critical.is_none())
        && plan.customers_out.iter().any(|o| o.critical.is_none())
    {
        return Err("a critical customer is named after another".to_owned());
    }
    let worse = |other: &Plan| {
        let (a, b) = (price_of(other, world), price_of(plan, world));
        a != b && a.0 <= b.0 && a.1 <= b.1 && a.2 <= b.2 && a.3 <= b.3
    };
    let is_dearer = found.dearer.contains(plan);
    let beaten = found.plans.iter().chain(&found.dearer).any(worse);
    if beaten == is_dearer { Ok(()) } else { Err("stands in the wrong list".to_owned()) }
}

/// This many networks, drawn from this seed on.
fn check_all(count: u64, from: u64, most: usize) -> Tally {
    let mut tally = Tally::default();
    for seed in from..from + 2 * count {
        if tally.networks < count {
            check(seed, most, &mut tally);
        }
    }
    assert_eq!(tally.networks, count, "too many sheets were refused");
    tally
}

fn told(tally: &Tally) {
    println!(
        "{} networks ({} with several feeders, {} with pads tied by their secondaries), {} with a plan; {} plans, {} with a pick-up, {} with \
         one refused; {} openings refused for their load, {} plans that read amps first; by branches \
         that open: {:?}",
        tally.networks,
        tally.several_feeders,
        tally.tied,
        tally.feasible,
        tally.plans,
        tally.picked_up,
        tally.overloaded,
        tally.refused,
        tally.read_first,
        tally.by_opens
    );
}

#[test]
fn the_plan_is_the_best_of_all_on_networks_of_at_most_12() {
    let tally = check_all(networks(), 0, 12);
    told(&tally);
    assert!(tally.feasible * 2 > tally.networks, "few have a plan");
    assert!(tally.tied * 20 > tally.networks, "few tie pads");
    assert!(tally.picked_up * 20 > tally.networks, "few pick anybody up");
    assert!(tally.overloaded * 200 > tally.networks, "few loop points are too small");
    assert!(tally.refused * 20 > tally.networks, "few switches break too little");
    assert!(tally.read_first * 50 > tally.networks, "few plans ask for a reading");
}

#[test]
fn the_plan_is_the_best_of_all_on_networks_of_at_most_18() {
    let tally = check_all(networks().div_ceil(50), 1_000_000, 18);
    told(&tally);
    let large: u64 = tally.by_opens.range(14..).map(|(_, count)| count).sum();
    assert!(large * 2 > tally.networks, "few are large: {:?}", tally.by_opens);
}
