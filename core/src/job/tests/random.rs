//! Whatever events come, in whatever order: no panic, nothing refused is applied, decide and fold
//! agree.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::crew::{Crew, Desk};
use crate::{
    event::{Body, Event, parse_events},
    gate::Rule,
    job::{Outcome, State, decide, fold},
};

/// Bodies that could matter to each other, by number.
fn bodies(crew: &Crew<'_>) -> Vec<(&'static str, Value)> {
    let op = |op: &str, more: Value| ("operation", crew.operation(op, more));
    let end = || json!({ "pad": "P1", "position": "2", "leg": "L1" });
    let set = || json!({ "pad": "P1", "position": "2" });
    let volts = |side: &str, one: &str, two: &str, volts: &str| {
        (
            "volts",
            json!({ "reading": {
            "place": { "at": "meter-base", "service": "P1V2", "side": side },
            "between": [one, two], "volts": volts, "instrument": "tester-2" } }),
        )
    };
    let clearance = |act: Value| ("clearance", json!({ "clearance": "c-1", "act": act }));
    vec![
        ("job-opened", crew.job_opened("base-line-side")),
        ("stay-begun", json!({ "stay": "st-2" })),
        ("stay-ended", json!({ "stay": "st-2" })),
        ("stay-withdrawn", json!({ "stay": "st-2", "reason": "wrong gate" })),
        (
            "sighting",
            json!({ "sighting": "s-9", "seen": {
            "what": "meter-number", "stay": "st-2", "number": "MP12" } }),
        ),
        (
            "meter-pulled",
            json!({ "deed": "d-1", "stay": "st-2", "number_in_hand": "MP12",
            "form": "2S", "bypass": "none", "main_open": true, "own_sources": "none-found",
            "damage_or_heat": false, "metering": "self-contained" }),
        ),
        ("meter-set", json!({ "deed": "d-2", "stay": "st-2" })),
        op(
            "leg-lifted",
            json!({ "pad": "P1", "handle": { "by": "position", "position": "2" },
            "leg": "L1", "runs": 1, "loosened_amps": "0.05" }),
        ),
        op("leg-capped", end()),
        op("leg-restrained", end()),
        op("leg-tagged", end()),
        op("leg-landed", end()),
        op("set-shorted", set()),
        op("short-removed", set()),
        op("neutral-verified", set()),
        op("switch-opened", json!({ "switch": "P1-in" })),
        op("switch-closed", json!({ "switch": "P1-in" })),
        op("grounded", json!({ "node": "P1:sec" })),
        op("ground-removed", json!({ "node": "P1:sec" })),
        op("main-closed", json!({ "service": "P1V2" })),
        op("inspected", json!({ "service": "P1V2", "findings": "fine", "released": true })),
        volts("line", "L1", "N", "121.0"),
        volts("line", "L1", "N", "0.2"),
        (
            "amps",
            json!({ "branch": "P1-in", "reading": {
            "conductor": "L1", "amps": "12.5", "instrument": "clamp-1" } }),
        ),
        (
            "proof",
            json!({ "proof": "pr-1", "of": { "of": "dead", "service": "P1V2" },
            "readings": [] }),
        ),
        clearance(json!({ "op": "offered", "to": "lw-c", "proof": "pr-1",
            "record_sha256": "0".repeat(64), "by_link": false })),
        clearance(json!({ "op": "accepted", "test": { "by": "witnessed", "proof": "pr-1" } })),
        clearance(json!({ "op": "released" })),
        ("interrupted", json!({ "by": "break" })),
        ("stopped", json!({ "reason": "rain", "made_safe": [] })),
        ("resumed", json!({ "stage": "briefed", "checks": ["gone over"] })),
        ("correction", json!({ "corrects": "e12", "reason": "typo" })),
        ("conflict-settled", json!({ "refused": "e13", "stands": true, "finding": "seen" })),
        (
            "deviation",
            json!({ "rule": "switch-order", "step": "e30", "reason": "storm",
            "second_person": "lw-a" }),
        ),
        ("closed", json!({ "summary": "done" })),
        ("job-hummed", json!({ "anything": 1 })),
    ]
}

/// The state without what a refusal adds to it.
fn without_refusals(mut state: State) -> State {
    state.refused.clear();
    state.conflicts.clear();
    state.ids.clear();
    state
}

fn check(crew: &mut Crew<'_>, event: &Event) {
    let before = crew.state.clone();
    let decided = decide(&crew.state, &crew.sheets, event.clone());
    let outcome = fold(&mut crew.state, &crew.sheets, event);
    match outcome {
        Outcome::Applied { .. } => assert_eq!(decided, Ok(vec![event.clone()])),
        Outcome::Refused(refusal) => {
            assert_eq!(decided, Err(refusal.clone()));
            assert_eq!(crew.state.refused.last().map(|kept| &kept.refusal), Some(&refusal));
            assert_eq!(
                without_refusals(crew.state.clone()),
                without_refusals(before),
                "a refused event was applied"
            );
        }
        Outcome::Unknown => {
            assert_eq!(decided.map_err(|refusal| refusal.rule), Err(Rule::UnknownKindReadOnly));
            assert!(crew.state.is_read_only());
        }
    }
    assert!(
        crew.state.clearances.blocks_closing().is_empty()
            || !matches!(crew.state.stage, crate::gate::Stage::Closed),
        "closed while a clearance stands"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn any_order_of_events_folds(
        picks in proptest::collection::vec((0_usize..35, 0_usize..4, 0_i64..400), 0..60),
        opened: bool, unknown in 0_usize..40,
    ) {
        let desk = Desk::new();
        let mut crew = Crew::new(&desk);
        if opened {
            crew.opens_job();
        }
        let bodies = bodies(&crew);
        for (n, (pick, who, wait)) in picks.into_iter().enumerate() {
            crew.now_s += wait;
            let pick = if n == unknown { 35 } else { pick };
            let (kind, body) = bodies[pick].clone();
            let who = ["a", "b", "c", "d"][who];
            let event = crew.event(who, &format!("e{}", 10 + n % 45), kind, body);
            check(&mut crew, &event);
        }
    }

    #[test]
    fn the_examples_in_any_order_fold(order in proptest::collection::vec(0_usize..33, 0..40)) {
        let desk = Desk::new();
        let mut crew = Crew::new(&desk);
        crew.opens_job();
        let examples = parse_events(crate::event::examples().as_bytes()).unwrap();
        for (n, pick) in order.into_iter().enumerate() {
            let mut event = examples[pick].clone();
            event.id = crate::quantity::EventId::new(format!("x{n}")).unwrap();
            check(&mut crew, &event);
        }
    }
}

#[test]
fn an_unknown_kind_makes_the_job_read_only_and_never_stops_a_stop() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    let event = crew.event("a", "u1", "job-hummed", json!({ "n": 1 }));
    assert!(matches!(event.body, Body::Unknown { .. }));
    assert_eq!(fold(&mut crew.state, &crew.sheets, &event), Outcome::Unknown);
    crew.refused("b", "stay-begun", json!({ "stay": "st-1" }), Rule::UnknownKindReadOnly);
    crew.does("b", "stopped", json!({ "reason": "cannot read", "made_safe": [] }));
    assert!(crew.state.stopped.is_some());
}
