//! What is old, and what an instrument that failed has read, opens and proves nothing.

use serde_json::json;

use super::{
    crew::{Crew, Desk},
    whole::{answers, lift},
};
use crate::gate::Rule;

#[test]
fn what_was_identified_yesterday_opens_nothing_this_morning() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    crew.begins_stay();
    crew.does("a", "answers", answers());
    crew.identifies();
    crew.wait(i64::from(desk.rules.sighting_fresh_s) + 1);
    // Nobody has written anything since: the first entry of the day is the lift itself.
    let l1 = crew.operation("leg-lifted", lift("L1"));
    crew.refused("a", "operation", l1, Rule::IdentifiedBeforeOpening);
}

#[test]
fn a_tester_that_read_too_low_proves_nothing_until_it_is_held_to_something_known_again() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.lifts("L1");
    crew.checks_first_leg();
    crew.lifts("L2");
    let held = |shown: &str| {
        json!({ "instrument": "tester-2", "known": "truck inverter",
            "known_tolerance_percent": "2",
            "shown": { "unit": "volts", "shown_volts": shown, "expected_volts": "120" } })
    };
    crew.does("b", "instrument-proven", held("76.0"));
    // It still shows that the known source is live, by far too little.
    crew.reads_dead("b");
    let proof = json!({ "proof": "pr-dead", "of": { "of": "dead", "service": "P1V2" },
        "readings": [] });
    crew.refused("b", "proof", proof.clone(), Rule::TesterProvenAroundProof);
    // What it read before it was held to something known counts no more.
    crew.does("b", "instrument-proven", held("119.6"));
    crew.refused("b", "proof", proof.clone(), Rule::TesterProvenAroundProof);
    crew.reads_dead("b");
    crew.does("b", "proof", proof);
}
