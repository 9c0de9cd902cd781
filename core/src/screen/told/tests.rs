//! Every event has its sentence, with every fact in its place.

#![allow(clippy::needless_pass_by_value, reason = "a test reads better with the JSON in place")]

use serde_json::{Value, json};

use super::*;
use crate::event::{Event, KINDS, examples, parse_events};

fn told(event: &Event) -> Sentence {
    let words = Words::english().unwrap();
    let said = event_sentence(&event.body, &words);
    assert!(words.has(&said.id), "no sentence for {}", said.id);
    // An id that has no sentence is said as it is; a place without a fact keeps its braces.
    assert!(!said.text.contains('{') && !said.text.contains("told-"), "{said}");
    said
}

#[test]
fn every_kind_is_told() {
    let mut told_kinds: Vec<String> = Vec::new();
    for event in parse_events(examples().as_bytes()).unwrap() {
        told(&event);
        told_kinds.push(event.body.kind().to_owned());
    }
    for kind in KINDS {
        assert!(told_kinds.iter().any(|told| told == kind), "{kind} has no example");
    }
}

fn event(kind: &str, body: Value) -> Event {
    let at = json!({ "wall_ms": 1_790_000_000_000_i64, "boot": "p/1", "mono_ms": 1 });
    Event::from_value(json!({ "id": "e1", "kind": kind, "version": 1, "at": at,
        "device": "phone-a", "person": "lw-a", "body": body }))
    .unwrap()
}

/// Each operation is told by a sentence of its own.
#[test]
fn every_operation_is_told() {
    let end = || json!({ "pad": "P1", "position": "2", "leg": "L1" });
    let set = || json!({ "pad": "P1", "position": "2" });
    let service = || json!({ "service": "V1" });
    let what = || json!({ "what": "S1" });
    let operations = [
        ("leg-capped", end()),
        ("leg-restrained", end()),
        ("leg-tagged", end()),
        ("leg-landed", end()),
        ("set-shorted", set()),
        ("short-removed", set()),
        ("neutral-verified", set()),
        ("pressure-relieved", json!({ "pad": "P1" })),
        ("switch-opened", json!({ "switch": "S1" })),
        ("switch-closed", json!({ "switch": "S1" })),
        ("loop-point-measured", json!({ "switch": "S1", "across_volts": "3" })),
        ("locked", what()),
        ("lock-removed", what()),
        ("tagged", what()),
        ("tag-removed", what()),
        ("grounded", json!({ "node": "n1" })),
        ("ground-removed", json!({ "node": "n1" })),
        ("main-opened", service()),
        ("main-closed", service()),
        ("sources-off", service()),
        ("sources-on", service()),
        ("work-done", json!({ "service": "V1", "findings": "new base" })),
        ("inspected", json!({ "service": "V1", "findings": "fine", "released": true })),
        ("inspected", json!({ "service": "V1", "findings": "loose", "released": false })),
        (
            "leg-lifted",
            json!({ "pad": "P1", "leg": "L1", "runs": 1, "loosened_amps": "0.2",
            "handle": { "by": "mark", "marks": "m-1", "mark": "B" } }),
        ),
    ];
    for (op, mut operation) in operations {
        operation["op"] = op.into();
        told(&event("operation", json!({ "operation": operation, "making_safe": true })));
        let said = told(&event("operation", json!({ "operation": operation })));
        assert!(said.id.starts_with(&format!("event-operation-{op}")), "{}", said.id);
    }
}

/// Each act on a clearance, and each proof.
#[test]
fn every_handover_is_told() {
    let set = || json!({ "pad": "P1", "position": "2" });
    let service = || json!({ "service": "V1" });
    let test = json!({ "by": "witnessed", "proof": "pr-1" });
    let own = json!({ "by": "readings", "readings": ["e1"] });
    let clearances = [
        (
            "offered",
            json!({ "to": "el-c", "proof": "pr-1", "by_link": true,
            "record_sha256": "0".repeat(64) }),
        ),
        ("accepted", json!({ "test": test })),
        ("refused", json!({ "reason": "not ready" })),
        ("released", json!({})),
        (
            "abandoned",
            json!({ "second_person": "lw-b", "reason": "gone home", "attempts": [],
            "looked_for_people": true, "seen_clear": true, "base_closed": true }),
        ),
        ("transferred", json!({ "to": "el-d", "test": own })),
        ("link-ended", json!({})),
    ];
    for (op, mut act) in clearances {
        act["op"] = op.into();
        let said = told(&event("clearance", json!({ "clearance": "c-1", "act": act })));
        assert!(said.id.starts_with(&format!("event-clearance-{op}")), "{}", said.id);
    }
    let proofs = [
        ("dead", service()),
        ("live", service()),
        ("bus-dead", json!({ "pad": "P1" })),
        ("lifted", set()),
        ("opening", json!({ "service": "V1", "pad": "P1", "position": "2" })),
    ];
    for (of, mut proof) in proofs {
        proof["of"] = of.into();
        told(&event("proof", json!({ "proof": "pr-1", "of": proof, "readings": [] })));
    }
}

#[test]
fn every_sighting_is_told() {
    let at = json!({ "wall_ms": 1, "boot": "p/1", "mono_ms": 1 });
    let handle = json!({ "by": "position", "position": "2" });
    let sightings = [
        ("address-plate", json!({ "stay": "st", "plate": "2", "service": null })),
        (
            "meter-photo",
            json!({ "stay": "st", "taken_by": "lw-b", "taken_at": at,
            "photo": "0".repeat(64), "number": "48" }),
        ),
        (
            "meter-photo",
            json!({ "stay": "st", "taken_by": "lw-b", "taken_at": at, "run": "r-1",
            "photo": "0".repeat(64), "number": "48" }),
        ),
        ("word", json!({ "stay": "st", "speaker": "customer", "service": "V1" })),
        (
            "word",
            json!({ "stay": "st", "speaker": "electrician", "service": "V1", "run": "r-1",
            "from_link": true }),
        ),
        (
            "load-step",
            json!({ "run": "r-1", "placement": "pl-1", "load_off_amps": "2.1",
            "slots": [{ "key": "rose" }, { "key": "same" }] }),
        ),
        ("amps", json!({ "placement": "pl-1", "amps": "0.2", "deed": "d-1" })),
        ("amps", json!({ "placement": "pl-1", "amps": "0.2" })),
        ("conductor", json!({ "end": { "end": "base", "stay": "st" }, "metal": "al" })),
        (
            "conductor",
            json!({ "end": { "end": "lug", "pad": "P1", "handle": handle },
            "metal": "cu", "size": "4/0" }),
        ),
        ("sources-off", json!({ "stay": "st" })),
        ("tag", json!({ "pad": null, "pattern": "47?1" })),
        ("tag", json!({ "pad": "P1", "pattern": "47?1", "maybe_upside_down": true })),
        ("fix", json!({ "pad": "P1", "lon_deg": "1", "lat_deg": "2", "radius68_m": "5" })),
        ("set-count", json!({ "pad": "P1", "count": 3 })),
    ];
    for (seen, mut body) in sightings {
        body["what"] = seen.into();
        let said = told(&event("sighting", json!({ "sighting": "s-1", "seen": body })));
        assert!(said.id.starts_with(&format!("event-sighting-{seen}")), "{}", said.id);
    }
}

/// Who could read the code here would not need to see the sticker again.
#[test]
fn a_stickers_code_is_told_to_nobody() {
    let at = json!({ "wall_ms": 1, "boot": "p/1", "mono_ms": 1 });
    for run in [None, Some("r-1")] {
        let seen = json!({ "what": "sticker", "stay": "st", "taken_by": "lw-b", "taken_at": at,
            "photo": "0".repeat(64), "code": "Q7-KEEP", "run": run });
        let said = told(&event("sighting", json!({ "sighting": "s-1", "seen": seen })));
        assert!(said.id.starts_with("event-sighting-sticker"), "{}", said.id);
        assert!(!said.text.contains("Q7-KEEP"), "{}", said.text);
    }
}

#[test]
fn every_place_of_a_reading_is_told() {
    let places = [
        json!({ "at": "meter-base", "service": "V1", "side": "load" }),
        json!({ "at": "meter-base", "service": "V1", "side": "across-jaws" }),
        json!({ "at": "pad-bus", "pad": "P1" }),
        json!({ "at": "lifted-legs", "pad": "P1", "position": "2" }),
        json!({ "at": "known-source", "what": "truck inverter" }),
    ];
    for place in places {
        told(&event(
            "volts",
            json!({ "reading": { "place": place, "between": ["L1", "N"],
            "volts": "0.4", "instrument": "t-1" } }),
        ));
    }
}

#[test]
fn every_break_is_told() {
    for by in ["break", "shift-change", "source-doubt"] {
        told(&event("interrupted", json!({ "by": by })));
    }
    told(&event("job-hummed", json!({})));
}

#[test]
fn several_runs_in_the_jaws_are_told() {
    let placement = |runs: u8| {
        let handle = json!({ "by": "position", "position": "2" });
        told(&event(
            "placement",
            json!({ "placement": "pl-1", "pad": "P1", "handle": handle, "leg": "L1",
                "runs_in_jaws": runs, "instrument": "clamp-1" }),
        ))
    };
    assert_eq!(placement(1).id, "event-placement");
    let two = placement(2);
    assert!(two.text.starts_with("clamp-1 round 2 parallel runs of L1 at P1"), "{two}");
}
