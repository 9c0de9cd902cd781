//! Plans on networks that nobody here drew, against outside engines: the least number of openings
//! against minimum cuts, who goes out against a power-flow program's own search.
//!
//! `cases.py` writes the sheets and the questions with their answers; without them nothing is asked,
//! and the test says so by failing.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use std::path::{Path, PathBuf};

use coldlug_core::isolate::{Isolation, Request, isolate};
use coldlug_core::mapsheet;
use coldlug_core::plant::Plant;
use coldlug_core::quantity::{AssetId, amps, in_metres};
use coldlug_core::rule_sheet::RuleSheet;
use coldlug_store::import::import;
use coldlug_tests::places;
use serde_json::Value;

fn folder() -> PathBuf {
    std::env::var_os("COLDLUG_FEEDERS")
        .map_or_else(|| places::scratch().join("feeders"), PathBuf::from)
}

fn read(path: &Path) -> Vec<u8> {
    let text = std::fs::read(path);
    text.unwrap_or_else(|e| panic!("{}: {e}: run `cargo verify feeders`", path.display()))
}

/// The network of that name, and what is asked of it.
fn network(name: &str) -> (Plant, Vec<Value>) {
    let sheet = read(&folder().join(format!("{name}.geojson")));
    let sheet = mapsheet::read(&sheet).unwrap_or_else(|refused| panic!("{name}: {refused:?}"));
    let asked = read(&folder().join(format!("{name}.json")));
    (sheet.plant, serde_json::from_slice(&asked).expect("questions"))
}

fn id(text: &str) -> AssetId {
    AssetId::new(text).expect("a name")
}

fn answer(plant: &Plant, question: &Value) -> Isolation {
    let text = |key: &str| question[key].as_str().expect("text");
    let request = Request::new(id(text("service")), text("scope").parse().expect("a scope"));
    isolate(plant, &request, &RuleSheet::default()).expect("an answer")
}

/// The least number of openings equals the minimum cut, whatever the plan then is.
fn cuts(name: &str, count: usize) {
    let (plant, questions) = network(name);
    assert_eq!(questions.len(), count);
    let (mut proven, mut most) = (0, 0);
    for question in &questions {
        let found = answer(&plant, question);
        let want = question["fewest"].as_u64().map(|n| usize::try_from(n).expect("small"));
        assert_eq!(found.fewest_openings, want, "{name}: {question}");
        assert_eq!(found.plans.is_empty(), want.is_none(), "{name}: {question}");
        assert!(found.withdrawn.is_empty(), "{name}: {question}: {:?}", found.withdrawn);
        let least = found.plans.iter().map(|plan| plan.openings.len()).min();
        assert!(least >= want, "{name}: {question}");
        proven += usize::from(found.proof == coldlug_core::isolate::Proof::Optimal);
        most = most.max(want.unwrap_or(0));
    }
    println!("{name}: {count} zones, at most {most} openings, {proven} plans proven the best");
}

#[test]
fn openings_on_the_ieee_9500_node_feeder_are_the_minimum_cut() {
    cuts("ieee9500", 200);
}

#[test]
fn openings_on_simbench_grids_are_the_minimum_cut() {
    for grid in ["MV1.101", "MV2.101", "MV3.101", "MV4.101"] {
        cuts(&format!("simbench-{grid}"), 50);
    }
}

/// With one switch alone to be opened, exactly those go out whom the other program finds dark.
#[test]
fn who_goes_out_in_schutterwald_is_who_is_without_supply() {
    let (plant, questions) = network("schutterwald");
    let (mut dark, mut most) = (0, 0);
    for question in &questions {
        let mut plant = plant.clone();
        let only = id(question["only"].as_str().expect("a switch"));
        plant.switches.get_mut(&only).expect("on the sheet").load_break = amps(20_000.0);
        let found = answer(&plant, question);
        let want: Vec<&str> =
            question["out"].as_array().expect("names").iter().filter_map(Value::as_str).collect();
        let Some(plan) = found.plans.first() else {
            assert_eq!(want, [""; 0], "{question}: no plan");
            continue;
        };
        // What stands open already is only held so.
        let opened = plan.openings.iter().filter(|opening| !opening.hold);
        let opened: Vec<&AssetId> = opened.map(|opening| &opening.branch).collect();
        assert_eq!(opened, [&only], "{question}");
        let mut out: Vec<&str> =
            plan.customers_out.iter().map(|out| out.service.as_str()).collect();
        out.sort_unstable();
        assert_eq!(out, want, "{question}");
        dark += usize::from(!out.is_empty());
        most = most.max(out.len());
    }
    println!("{} switches, {dark} leave somebody dark, at most {most}", questions.len());
    assert!(dark > 250);
}

/// CIGRE's medium-voltage benchmark as another program wrote it in CIM is the benchmark as pandapower
/// has it: what joins what, how long it is, and the impedance of its transformers. What the model
/// lacks (places, conductors) is invented by `cigre.py` and `cigre.toml`.
#[test]
fn a_cim_model_of_another_program_is_the_benchmark_it_says_it_is() {
    let files = ["cigre-equipment.xml", "cigre-topology.xml", "cigre-places.xml"];
    let files = files.map(|name| folder().join(name));
    let mapping = places::root().join("tests/feeders/cigre.toml");
    let imported = import(&files, Some(&mapping), &mut ()).expect("run `cargo verify feeders`");
    let plant = imported.sheet.unwrap_or_else(|| panic!("{:#?}", imported.findings.kept));
    let is = read(&folder().join("cigre.json"));
    let is: Value = serde_json::from_slice(&is).expect("what is in it");
    let ends = |of: &Value| {
        let mut ends = [0, 1].map(|end| of["ends"][end].as_str().expect("a node").to_owned());
        ends.sort();
        ends
    };
    let near = |found: f64, want: &Value| {
        let want = want.as_f64().expect("a number");
        assert!((found - want).abs() <= 1e-9 * want, "{found} for {want}");
    };
    assert_eq!(plant.cables.len(), 12);
    for (name, cable) in &plant.cables {
        let want = &is["lines"][name.as_str()];
        let mut found = [cable.from.to_string(), cable.to.to_string()];
        found.sort();
        assert_eq!(found, ends(want), "{name}");
        near(in_metres(cable.length), &want["length_m"]);
    }
    assert_eq!(plant.transformers.len(), 2);
    for (name, unit) in &plant.transformers {
        let want = &is["units"][name.as_str()];
        assert_eq!([unit.primary.to_string(), unit.secondary.to_string()], ends(want), "{name}");
        near(unit.percent_z, &want["percent_z"]);
        near(unit.x_over_r.expect("said"), &want["x_over_r"]);
    }
    let source = plant.sources.values().next().expect("a source");
    assert_eq!(source.node.to_string(), "N0");
    println!("{} cables and {} transformers of a CIM model", plant.cables.len(), 2);
}
