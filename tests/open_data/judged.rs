//! `judge` on the published network: with nothing seen nothing is named, and what is seen at a
//! neighbour's house never names a set.

use coldlug_core::{gate, mapsheet, rule_sheet::RuleSheet};
use coldlug_tests::draw::Draw;
use coldlug_tests::{places, program};
use serde_json::{Value, json};

use super::shapes::{id, of_kind, text};
use super::sheet;

/// Split-phase services with their first meter numbers.
fn services() -> Vec<(&'static str, &'static str)> {
    of_kind(sheet::sheet(), "service")
        .into_iter()
        .filter(|service| text(service, "system") == "120/240-split-phase")
        .map(|service| (id(service), service["properties"]["meters"][0].as_str().expect("a meter")))
        .collect()
}

/// Events of a job, a minute apart, all from one phone.
struct Job {
    lines: Vec<Value>,
}

impl Job {
    fn open(service: &str) -> Self {
        let sheet = std::fs::read(sheet::path()).expect("the sheet");
        let map = mapsheet::read(&sheet).expect("a good sheet").hash;
        let mut job = Self { lines: Vec::new() };
        job.push(
            "job-opened",
            &json!({"job": "J-1", "service": service, "scope": "base-line-side",
                   "work": "replace the meter base", "map_sheet_sha256": map,
                   "rule_sheet_sha256": RuleSheet::default().hash(), "rules_edition": gate::EDITION,
                   "crew": [{"person": "lw-a", "role": "lineworker", "device": "phone-a"},
                            {"person": "lw-b", "role": "lineworker", "device": "phone-a"}]}),
        );
        job
    }

    fn push(&mut self, kind: &str, body: &Value) -> &mut Self {
        let number = self.lines.len() + 1;
        self.lines.push(json!({
            "id": format!("e{number:02}"), "kind": kind, "version": 1, "device": "phone-a",
            "person": "lw-a", "body": body,
            "at": {"wall_ms": 1_790_000_000_000_u64 + number as u64 * 60_000, "boot": "phone-a/1",
                   "mono_ms": number * 60_000},
        }));
        self
    }

    /// What `judge` says, and by which exit status.
    fn judge(&self, name: &str) -> (i32, Value) {
        let path = places::scratch().join("open-data").join(format!("{name}.jsonl"));
        let text: String =
            self.lines.iter().flat_map(|line| [line.to_string(), "\n".into()]).collect();
        std::fs::write(&path, text).expect("written");
        let map = sheet::path().to_str().expect("text");
        let args = ["judge", "--map", map, "--events", path.to_str().expect("text"), "--json"];
        let out = program::run(&args).unwrap_or_else(|why| panic!("{why}"));
        let status = out.status.code().expect("it was not killed");
        let said = String::from_utf8_lossy(&out.stdout);
        let judged = serde_json::from_str(&said)
            .unwrap_or_else(|e| panic!("{e}: {said}{}", String::from_utf8_lossy(&out.stderr)));
        (status, judged)
    }
}

fn verdict(judged: &Value) -> &str {
    let verdict = &judged["verdict"];
    verdict.as_str().or_else(|| verdict["verdict"].as_str()).unwrap_or_else(|| panic!("{judged:#}"))
}

#[test]
fn with_nothing_seen_nothing_is_settled() {
    for (service, _) in services() {
        let (status, judged) = Job::open(service).judge("nothing-seen");
        assert_eq!(verdict(&judged), "unsettled", "{service}: {judged:#}");
        assert_eq!(status, 1, "{service}");
    }
}

#[test]
fn the_right_meter_read_settles_no_set() {
    for (service, meter) in services() {
        let mut job = Job::open(service);
        job.push("stay-begun", &json!({"stay": "st-1"}));
        let seen = json!({"what": "meter-number", "stay": "st-1", "number": meter});
        job.push("sighting", &json!({"sighting": "s-1", "seen": seen}));
        let (_, judged) = job.judge("right-meter");
        assert_eq!(verdict(&judged), "unsettled", "{service}: {judged:#}");
    }
}

#[test]
fn a_neighbours_meter_never_identifies() {
    let services = services();
    let mut draw = Draw::of(5, "neighbours");
    for &(service, _) in &services {
        let (_, other) = *draw.one(&services);
        let mut job = Job::open(service);
        job.push("stay-begun", &json!({"stay": "st-1"}));
        let seen = json!({"what": "meter-number", "stay": "st-1", "number": other});
        job.push("sighting", &json!({"sighting": "s-1", "seen": seen}));
        let (_, judged) = job.judge("neighbour");
        assert_ne!(verdict(&judged), "identified", "{service}: {judged:#}");
    }
}
