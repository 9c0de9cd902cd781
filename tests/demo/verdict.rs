//! `judge` on the events that the demo leaves: job 1 is identified, job 2 is contradicted before
//! anything is opened.

use coldlug_tests::program;
use serde_json::Value;

use super::run;

/// The events of one job file, a value a line.
fn events(path: &str) -> Vec<Value> {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
    text.lines().map(|line| serde_json::from_str(line).expect("one event a line")).collect()
}

fn judge(events: &str, until: Option<&str>) -> Value {
    let map = run::one().named("map", 1).remove(0);
    let mut args = vec!["judge", "--map", &map, "--events", events];
    args.extend(until.iter().flat_map(|until| ["--until", until]));
    // `judge` may tell its verdict by exit status as well: the answer is what counts here.
    args.push("--json");
    let out = program::run(&args).unwrap_or_else(|why| panic!("{why}"));
    serde_json::from_slice(&out.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&out.stderr)))
}

/// The verdict on the set, wherever the form keeps its name.
fn verdict(judged: &Value) -> String {
    let verdict = &judged["verdict"];
    let name = verdict
        .as_str()
        .or_else(|| verdict["verdict"].as_str())
        .or_else(|| verdict["kind"].as_str());
    name.unwrap_or_else(|| panic!("no verdict: {judged:#}")).to_owned()
}

/// The events before anything is opened.
fn before_opening(path: &str) -> Vec<Value> {
    let mut events = events(path);
    let opened = events.iter().position(|event| event["kind"] == "operation");
    events.truncate(opened.expect("something is opened in the end"));
    events
}

fn id(event: &Value) -> &str {
    event["id"].as_str().expect("an id")
}

#[test]
fn job_1_is_identified_before_anything_is_opened_and_every_cause_is_answered() {
    let jobs = run::one().named("events", 2);
    let events = before_opening(&jobs[0]);
    let judged = judge(&jobs[0], events.last().map(id));
    assert_eq!(verdict(&judged), "identified", "{judged:#}");
    let causes = judged["still_excluded"].as_array().expect("a row for each cause");
    assert!(causes.len() > 5, "{judged:#}");
    for cause in causes {
        let by = cause["sightings"].as_array().map_or(0, Vec::len);
        assert!(by > 0, "nothing is left without {}", cause["cause"]);
    }
}

#[test]
fn job_2_is_contradicted_until_it_is_settled_and_nothing_was_opened_by_then() {
    let jobs = run::one().named("events", 2);
    let events = before_opening(&jobs[1]);
    let judged = |n: usize| judge(&jobs[1], Some(id(&events[n])));
    assert_eq!(verdict(&judged(events.len() - 1)), "identified", "before the first opening");
    let settled = (0..events.len())
        // A code that is opened settles what was read under it.
        .filter(|&n| events[n]["kind"] == "sighting" || events[n]["kind"] == "switching-run-ended")
        .find(|&n| verdict(&judged(n)) == "identified")
        .expect("something settles it");
    let before = judged(settled - 1);
    assert_eq!(verdict(&before), "contradicted", "at {}: {before:#}", id(&events[settled - 1]));
    let claims = before["contradicted"].as_array().map_or(&[][..], Vec::as_slice);
    assert!(!claims.is_empty(), "no claim is named: {before:#}");
    for claim in claims {
        assert!(claim["sightings"].as_array().is_some_and(|s| !s.is_empty()), "{claim:#}");
    }
}
