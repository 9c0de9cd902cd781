//! Keys before the code: who may know it writes none.

use serde_json::{Value, json};

use super::{
    apart::{meet, signed, write},
    crew::{Crew, Desk, keys_of, run_begun, run_ended},
};
use crate::{
    gate::Rule,
    job::{State, fold},
    log::{self, Log},
    quantity::SightingId,
};

/// A crew with a run begun and the clamp on the target's set.
fn run_going(desk: &Desk) -> Crew<'_> {
    let mut crew = Crew::new(desk);
    crew.opens_job();
    crew.begins_stay();
    crew.places("pl-1", &json!({ "by": "position", "position": "2" }), "L1");
    crew.does("b", "switching-run-begun", run_begun(1));
    crew
}

fn keys(sighting: &str) -> Value {
    json!({ "sighting": sighting, "seen": keys_of(1) })
}

fn has_keys(state: &State) -> bool {
    let id = SightingId::new("s-keys").unwrap();
    state.evidence.as_ref().unwrap().sightings.contains_key(&id)
}

#[test]
fn nobody_writes_keys_after_the_code_was_opened() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    crew.does("a", "sighting", keys("s-keys"));
    crew.does("b", "switching-run-ended", run_ended(1));
    crew.refused("a", "sighting", keys("s-again"), Rule::KeysBeforeCodeOpens);
}

#[test]
fn who_switches_reads_no_keys() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    crew.refused("b", "sighting", keys("s-keys"), Rule::KeysBeforeCodeOpens);
    // Nor does another person on the phone that shows the code.
    let mut event = crew.event("a", "e99", "sighting", keys("s-keys"));
    event.device = crew.event("b", "e98", "closed", json!({ "summary": "" })).device;
    let outcome = fold(&mut crew.state, &crew.sheets, &event);
    assert!(matches!(outcome, crate::job::Outcome::Refused(why)
        if why.rule == Rule::KeysBeforeCodeOpens));
}

#[test]
fn an_opening_that_is_refused_tells_the_code_too() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    crew.does("b", "stay-ended", json!({ "stay": "st-1" }));
    let opening = crew.event("b", "e99", "switching-run-ended", run_ended(1));
    fold(&mut crew.state, &crew.sheets, &opening);
    assert_eq!(crew.state.refused.len(), 1);
    crew.refused("a", "sighting", keys("s-keys"), Rule::KeysBeforeCodeOpens);
}

#[test]
fn a_code_is_not_sealed_twice() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    crew.does("b", "switching-run-ended", run_ended(1));
    let mut again = run_begun(1);
    again["run"] = "r-2".into();
    crew.refused("b", "switching-run-begun", again, Rule::OneEventOneId);
}

#[test]
fn a_correction_takes_keys_out_and_never_writes_them_anew() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    let first = crew.does("a", "sighting", keys("s-keys"));
    let tag = crew.sees("a", "s-tag", json!({ "what": "set-count", "pad": "P1", "count": 3 }));
    let instead = |corrects: &str, body: Value| {
        json!({ "corrects": corrects, "reason": "slip of the thumb",
            "instead": { "kind": "sighting", "version": 1, "body": body } })
    };
    // Until the code is opened a slip is put right.
    crew.does("a", "correction", instead(&first, keys("s-keys")));
    crew.does("b", "switching-run-ended", run_ended(1));
    crew.refused("a", "correction", instead(&first, keys("s-keys")), Rule::KeysBeforeCodeOpens);
    crew.refused("a", "correction", instead(&tag, keys("s-tag")), Rule::KeysBeforeCodeOpens);
    crew.does("a", "correction", json!({ "corrects": first, "reason": "the clamp had slipped" }));
    assert!(!has_keys(&crew.state));
}

/// The house opens the code while the pad is out of reach; the pad then writes its keys, the wall
/// clock later. Whether they count is whether the pad's phone had seen the code, itself or by way of
/// another phone.
#[test]
fn what_the_writer_had_seen_decides_and_not_the_order() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    let before = signed(&crew.events);
    crew.wait(60);
    let opening = crew.event("b", "end", "switching-run-ended", run_ended(1));
    crew.wait(60);
    let noted = crew.event(
        "c",
        "note",
        "volts",
        json!({ "reading": {
        "place": { "at": "meter-base", "service": "P1V2", "side": "line" },
        "between": ["L1", "N"], "volts": "121.0", "instrument": "tester-3" } }),
    );
    crew.wait(60);
    let pad = crew.event("a", "keys", "sighting", keys("s-keys"));

    let mut house = before.clone();
    write(&mut house, opening);
    let merged = |mut pad_log: Log| {
        write(&mut pad_log, pad.clone());
        meet(&mut pad_log, &house);
        log::fold(&pad_log, &crew.sheets)
    };
    let unseen = merged(before.clone());
    assert!(has_keys(&unseen) && unseen.refused.is_empty());
    let seen = merged(house.clone());
    assert!(!has_keys(&seen));
    assert_eq!(seen.refused[0].refusal.rule, Rule::KeysBeforeCodeOpens);
    let mut third = house.clone();
    write(&mut third, noted);
    let by_way_of_another = merged(third);
    assert_eq!(by_way_of_another.refused[0].refusal.rule, Rule::KeysBeforeCodeOpens);
}

/// Folding on and folding anew say the same, whoever's entry it is.
#[test]
fn folding_on_is_folding_anew() {
    let desk = Desk::new();
    let mut crew = run_going(&desk);
    let before = signed(&crew.events);
    crew.wait(60);
    let opening = crew.event("b", "end", "switching-run-ended", run_ended(1));
    let pad = crew.event("a", "keys", "sighting", keys("s-keys"));
    let (mut house, mut other) = (before.clone(), before);
    write(&mut house, opening);
    write(&mut other, pad);
    let mut state = log::fold(&house, &crew.sheets);
    for entry in other.clone().in_order() {
        if house.admit(entry.clone()).unwrap() == log::Admitted::New {
            log::fold_next(&mut state, &crew.sheets, &house, entry);
        }
        assert_eq!(state, log::fold(&house, &crew.sheets));
    }
    assert!(has_keys(&state));
}
