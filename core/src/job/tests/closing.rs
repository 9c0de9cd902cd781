//! Nothing closes on people: whatever sequence of acts, in whatever order, on whichever phone.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::{
    apart::{key, signed},
    crew::{Crew, Desk},
};
use crate::{
    event::{Body, Event, Operation},
    job::{Outcome, State, fold},
    quantity::EventId,
};

/// Events that put voltage or load where somebody may be at work, or take off what protects them.
fn closes(event: &Event) -> bool {
    match &event.body {
        Body::MeterSet(_) | Body::Closed(_) => true,
        Body::Operation(done) => matches!(
            done.operation,
            Operation::LegLanded { .. }
                | Operation::SwitchClosed { .. }
                | Operation::MainClosed { .. }
                | Operation::SourcesOn { .. }
                | Operation::ShortRemoved { .. }
                | Operation::GroundRemoved { .. }
                | Operation::LockRemoved { .. }
                | Operation::TagRemoved { .. }
        ),
        _ => false,
    }
}

fn acts(crew: &Crew<'_>, readings: &[String]) -> Vec<(&'static str, Value)> {
    let op = |op: &str, more: Value, safe: bool| {
        let mut body = crew.operation(op, more);
        body["making_safe"] = safe.into();
        ("operation", body)
    };
    let end = |leg: &str| json!({ "pad": "P1", "position": "2", "leg": leg });
    let set = json!({ "pad": "P1", "position": "2" });
    let clearance = |id: &str, act: Value| ("clearance", json!({ "clearance": id, "act": act }));
    let offer = |by_link: bool| {
        json!({ "op": "offered", "to": "lw-c", "proof": "pr-dead",
            "record_sha256": "0".repeat(64), "by_link": by_link })
    };
    let own = json!({ "op": "accepted", "test": { "by": "readings", "readings": readings } });
    let gone = json!({ "op": "abandoned", "second_person": "lw-b", "reason": "not reached",
        "attempts": ["rang at nine", "rang at ten", "knocked"], "looked_for_people": true,
        "seen_clear": true, "base_closed": true });
    vec![
        op("leg-landed", end("L1"), false),
        op("leg-landed", end("L2"), true),
        op("switch-closed", json!({ "switch": "P1-in" }), true),
        op("switch-opened", json!({ "switch": "P1-in" }), true),
        op("main-closed", json!({ "service": "P1V2" }), false),
        op("sources-on", json!({ "service": "P1V2" }), true),
        op("set-shorted", set.clone(), true),
        op("short-removed", set.clone(), true),
        op("grounded", json!({ "node": "P1:sec" }), true),
        op("ground-removed", json!({ "node": "P1:sec" }), false),
        op("neutral-verified", set, false),
        op("inspected", json!({ "service": "P1V2", "findings": "", "released": true }), false),
        ("meter-set", json!({ "deed": "d-2", "stay": "st-1" })),
        ("closed", json!({ "summary": "done" })),
        ("stopped", json!({ "reason": "rain", "made_safe": [] })),
        ("resumed", json!({ "stage": "opened", "checks": ["gone over"] })),
        (
            "deviation",
            json!({ "rule": "insulation-compared-before-landing", "step": "next",
            "reason": "storm", "second_person": "lw-b" }),
        ),
        clearance("c-1", json!({ "op": "released" })),
        clearance("c-1", gone),
        clearance("c-2", offer(true)),
        clearance("c-2", own.clone()),
        clearance("c-2", json!({ "op": "released" })),
        clearance("c-2", json!({ "op": "link-ended" })),
        clearance("c-2", json!({ "op": "refused", "reason": "not ready" })),
        clearance("c-3", offer(false)),
        clearance("c-3", own),
        clearance("c-3", json!({ "op": "released" })),
    ]
}

/// How one closing act was judged while somebody might be at work.
fn judged(state: &mut State, crew: &Crew<'_>, event: &Event) {
    let blocked = !state.clearances.blocks_closing().is_empty();
    let physical = state.physical.clone();
    let outcome = fold(state, &crew.sheets, event);
    if blocked && closes(event) {
        assert!(matches!(outcome, Outcome::Refused(_)), "closed on people: {event:?}");
        assert_eq!(state.physical, physical);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn no_sequence_closes_in_with_a_clearance_held(
        picks in proptest::collection::vec((0_usize..27, 0_usize..4), 1..60),
        held: bool,
    ) {
        let desk = Desk::new();
        let mut crew = Crew::new(&desk);
        crew.ready_to_lift();
        crew.opens_and_proves();
        let readings = crew.reads_dead("c");
        if held {
            let offer = crew.offers();
            crew.does("b", "clearance", offer);
            crew.does("c", "clearance", json!({ "clearance": "c-1", "act": { "op": "accepted",
                "test": { "by": "readings", "readings": readings } } }));
        }
        let acts = acts(&crew, &readings);
        let mut state = crew.state.clone();
        for (n, (pick, who)) in picks.into_iter().enumerate() {
            crew.now_s += 1;
            let (kind, mut body) = acts[pick].clone();
            if kind == "deviation" {
                body["step"] = format!("x{}", n + 1).into();
            }
            let event = crew.event(["a", "b", "c", "d"][who], &format!("x{n}"), kind, body);
            judged(&mut state, &crew, &event);
        }
    }
}

#[test]
fn an_offer_by_link_closes_every_closing_gate_until_the_desk_ends_it() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    let mut offer = crew.offers();
    offer["act"]["by_link"] = true.into();
    crew.does("b", "clearance", offer);
    let land = || json!({ "pad": "P1", "position": "2", "leg": "L1" });
    let body = crew.operation("leg-landed", land());
    crew.refused("a", "operation", body, crate::gate::Rule::NoLinkOfferBeforeClosing);
    let end = json!({ "clearance": "c-1", "act": { "op": "link-ended" } });
    crew.refused("b", "clearance", end.clone(), crate::gate::Rule::CrewOnly);
    crew.does("d", "clearance", end);
    assert!(crew.state.clearances.blocks_closing().is_empty());
    // The proof of dead still stands, the leg may be landed once the rest holds.
    let body = crew.operation("leg-landed", land());
    let refusal = crew.tries("a", "operation", body).unwrap_err();
    assert_eq!(refusal.rule, crate::gate::Rule::InsulationComparedBeforeLanding);
}

#[test]
fn two_phones_apart_meet_in_one_state() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    let whole = signed(&crew.events);
    // Then the two phones write apart: both lift what they should not, and meet.
    let (mut one, mut other) = (whole.clone(), whole.clone());
    let landed = |id: &str, who: &str| {
        let body =
            crew.operation("leg-landed", json!({ "pad": "P1", "position": "2", "leg": "L1" }));
        crew.event(who, id, "operation", body)
    };
    let offer = crew.event("b", "offer-b", "clearance", crew_offer());
    let from_a = one.append(landed("land-a", "a"), &key("phone-a")).unwrap();
    let from_b = other.append(offer, &key("phone-b")).unwrap();
    one.admit(from_b).unwrap();
    other.admit(from_a).unwrap();
    let folded = |log: &crate::log::Log| crate::log::fold(log, &crew.sheets);
    assert_eq!(folded(&one), folded(&other));
    // The landing is refused, and while nobody has settled it nothing is offered either.
    let both = ["land-a", "offer-b"].map(|id| EventId::new(id).unwrap());
    assert_eq!(folded(&one).open_conflicts(), both);
}

fn crew_offer() -> Value {
    json!({ "clearance": "c-1", "act": { "op": "offered", "to": "lw-c", "proof": "pr-dead",
        "record_sha256": "0".repeat(64), "by_link": false } })
}
