//! The timeline of a job: every entry once, in fold order, with what became of it.

use serde_json::json;

use super::{
    apart::{signed, write},
    crew::{Crew, Desk},
};
use crate::{gate::Rule, screen::timeline, words::Words};

#[test]
fn tells_every_entry_and_what_became_of_it() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    crew.begins_stay();
    crew.identifies();
    let wrong = crew.sees("a", "s-count", json!({ "what": "set-count", "pad": "P1", "count": 4 }));
    let by = crew.does("a", "correction", json!({ "corrects": wrong, "reason": "three of them" }));
    let mut log = signed(&crew.events);
    let land = crew.operation("leg-landed", json!({ "pad": "P1", "position": "2", "leg": "L1" }));
    write(&mut log, crew.event("a", "land", "operation", land));
    let mut late = crew.event("b", "late", "stopped", json!({ "reason": "rain", "made_safe": [] }));
    late.late_wall_ms = Some(late.at.wall_ms - 60_000);
    write(&mut log, late);
    let words = Words::english().unwrap();
    let lines = timeline(&log, &crew.sheets, &words);

    let order: Vec<_> = log.in_order().iter().map(|entry| entry.hash()).collect();
    assert_eq!(lines.iter().map(|line| line.entry).collect::<Vec<_>>(), order);
    assert!(lines.iter().all(|line| words.has(&line.sentence.id)), "a line is silent");
    let line = |id: &str| lines.iter().find(|line| line.event.as_str() == id).unwrap();
    assert_eq!(line(&wrong).corrected_by.as_ref().map(ToString::to_string), Some(by));
    assert_eq!(line("land").refused.as_ref().unwrap().id, Rule::LiftedFirst.id());
    assert!(line("late").late && line("late").refused.is_none());
    let refused = lines.iter().filter(|line| line.refused.is_some()).count();
    assert_eq!(refused, 1);
}
