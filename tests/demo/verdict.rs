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

#[test]
fn job_1_is_identified_and_every_cause_is_answered() {
    let jobs = run::one().named("events", 2);
    let judged = judge(&jobs[0], None);
    assert_eq!(verdict(&judged), "identified", "{judged:#}");
}

#[test]
fn job_2_is_contradicted_before_anything_is_opened() {
    let jobs = run::one().named("events", 2);
    let events = events(&jobs[1]);
    let id = |event: &Value| event["id"].as_str().expect("an id").to_owned();
    let opened = events
        .iter()
        .position(|event| event["kind"] == "operation")
        .expect("something is opened in the end");
    let mut verdicts = Vec::new();
    for event in &events[..opened] {
        verdicts.push((id(event), verdict(&judge(&jobs[1], Some(&id(event))))));
    }
    assert!(
        verdicts.iter().any(|(_, verdict)| verdict == "contradicted"),
        "never contradicted before the first opening: {verdicts:?}"
    );
    assert_eq!(verdict(&judge(&jobs[1], None)), "identified");
}
