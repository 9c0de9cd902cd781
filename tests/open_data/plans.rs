//! Twenty seeded plans of the program equal the best of all separating sets, worked out from the
//! map sheet and the words of the default rule sheet alone.

use std::collections::BTreeSet;

use coldlug_tests::draw::Draw;
use coldlug_tests::program;
use serde_json::Value;

use super::brute::{Question, customers_out};
use super::network::Network;
use super::scope::{price, question};
use super::shapes::{id, of_kind, text};
use super::sheet;

/// What plans are compared by: customers out, exposure, operations.
type Price = (usize, u64, u64);

fn price_of(question: &Question<'_>, target: &str, opened: &BTreeSet<usize>) -> Price {
    let network = question.network;
    let (operations, exposure) = opened
        .iter()
        .map(|&b| price(network, &network.branches[b]))
        .fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    (customers_out(network, target, opened).len(), exposure, operations)
}

/// Twenty pairs of service and scope.
fn asked<'a>(services: &[&'a Value], cables: &[&'a Value]) -> Vec<(&'a Value, String)> {
    let mut draw = Draw::of(20, "plans");
    let mut scopes = vec!["base-line-side"; 7];
    scopes.extend(["base-both-sides"; 5]);
    scopes.extend(["pad-secondary"; 3]);
    scopes.extend(["pad-primary"; 2]);
    let mut all: Vec<(&Value, String)> =
        scopes.into_iter().map(|scope| (*draw.one(services), scope.to_owned())).collect();
    for _ in 0..3 {
        let cable = *draw.one(cables);
        let end = |key: &str| text(cable, key).replace(':', "::");
        all.push((*draw.one(services), format!("cable:{}:{}", end("from"), end("to"))));
    }
    all
}

#[test]
fn twenty_seeded_plans_are_the_best_there_are() {
    let sheet = sheet::sheet();
    let network = Network::of(sheet);
    let path = sheet::path().to_str().expect("text");
    let asked = asked(&of_kind(sheet, "service"), &of_kind(sheet, "cable"));
    assert_eq!(asked.len(), 20);
    let mut feasible = 0;
    for (service, scope) in asked {
        let target = id(service);
        let what = format!("{target}, {scope}");
        let question = question(&network, sheet, service, &scope);
        let want = question.cheapest(|opened| price_of(&question, target, opened));
        let plan = ask(path, target, &scope);
        let first = plan["plans"].as_array().and_then(|plans| plans.first());
        let (Some((want, _)), Some(first)) = (&want, first) else {
            assert!(want.is_none() && first.is_none(), "{what}: {want:?}, and {plan:#}");
            continue;
        };
        feasible += 1;
        let openings: BTreeSet<usize> = first["openings"]
            .as_array()
            .expect("openings")
            .iter()
            .map(|opening| {
                let name = opening["branch"].as_str().expect("a branch");
                network.branches.iter().position(|b| b.id == name).expect("a branch of the sheet")
            })
            .collect();
        // The plan keeps its word: it separates, opens what may be opened, and costs what it says.
        assert_eq!(question.way(&openings), None, "{what}: a way is left: {first:#}");
        assert!(openings.is_subset(&question.may_open), "{what}: {first:#}");
        let stated = (
            first["still_out"].as_u64().and_then(|n| usize::try_from(n).ok()).expect("a number"),
            first["exposure"].as_u64().expect("a number"),
            first["operations"].as_u64().expect("a number"),
        );
        assert_eq!(price_of(&question, target, &openings), stated, "{what}: {first:#}");
        // And none is better.
        assert_eq!(&stated, want, "{what}: {plan:#}");
        let fewest = question.cheapest(BTreeSet::len).map(|(count, _)| count as u64);
        assert_eq!(plan["fewest_openings"].as_u64(), fewest, "{what}");
    }
    assert!(feasible >= 12, "only {feasible} of 20 have a plan at all");
}

/// A plan; `plan` answers with status 1 where there is none.
fn ask(map: &str, service: &str, scope: &str) -> Value {
    let args = ["plan", "--map", map, "--service", service, "--scope", scope, "--json"];
    let out = program::run(&args).unwrap_or_else(|why| panic!("{why}"));
    assert!(
        matches!(out.status.code(), Some(0 | 1)),
        "{service}, {scope}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    serde_json::from_slice(&out.stdout).expect("JSON")
}

/// The search itself, timed by the test's patience: every question has an answer.
#[test]
fn every_question_is_answered_by_trying() {
    let sheet = sheet::sheet();
    let network = Network::of(sheet);
    let mut sizes = BTreeSet::new();
    for (service, scope) in asked(&of_kind(sheet, "service"), &of_kind(sheet, "cable")) {
        let question = question(&network, sheet, service, &scope);
        if let Some((_, cut)) = question.cheapest(|cut| price_of(&question, id(service), cut)) {
            sizes.insert(cut.len());
        }
    }
    // One opening never does, and a network with several sources asks for more than two.
    assert!(sizes.len() >= 2, "{sizes:?}");
}
