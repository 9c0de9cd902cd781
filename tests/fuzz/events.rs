//! Event files, entries and whole records.

use std::sync::LazyLock;

use coldlug_core::{
    event::{Event, examples, parse_events},
    job::{Sheets, State, fold},
    log::{DeviceKey, Entry, Log, verify, write_record},
    mapsheet,
    plant::Plant,
    quantity::{DeviceId, JobId},
    rule_sheet::RuleSheet,
};

use super::{
    INPUTS,
    damage::{Drawn, damaged},
    reach::Reach,
    sheets::small_map,
};

static PLANT: LazyLock<Plant> =
    LazyLock::new(|| mapsheet::read(&small_map()).expect("a good map sheet").plant);
static RULES: LazyLock<RuleSheet> = LazyLock::new(RuleSheet::default);
static SHEETS: LazyLock<Sheets<'static>> = LazyLock::new(|| Sheets::new(&PLANT, &RULES));

/// One event of each kind, of a job that is pinned to these sheets.
static GOOD: LazyLock<String> = LazyLock::new(|| {
    let service = PLANT.services.keys().next().expect("a service").to_string();
    examples()
        .replace(&"1".repeat(64), SHEETS.map_hash())
        .replace(&"2".repeat(64), SHEETS.rules_hash())
        .replace("V014", &service)
});

fn folded(events: &[Event]) -> State {
    let mut state = State::default();
    for event in events {
        fold(&mut state, &SHEETS, event);
    }
    state
}

/// Damaged event files are refused with their line, or read: then each event is written as it was
/// read, the job is folded whatever it says, and no event is lost.
#[test]
fn event_files() {
    let good = parse_events(GOOD.as_bytes()).expect("good events");
    assert!(folded(&good).evidence.is_some(), "the good file opens no job, and nothing is tried");
    let reach = Reach::default();
    bolero::check!().with_iterations(INPUTS).with_type::<Vec<Drawn>>().for_each(|damages| {
        reach.tries();
        let Ok(events) = parse_events(&damaged(GOOD.as_bytes(), damages)) else { return };
        reach.takes();
        for event in &events {
            let line = event.to_line().expect("an event is written");
            assert_eq!(parse_events(line.as_bytes()).as_deref(), Ok(std::slice::from_ref(event)));
        }
        let state = folded(&events);
        assert_eq!(state.applied.len() + state.refused.len() + state.unknown.len(), events.len());
    });
    reach.says("event files");
}

/// One line each, so that a damage far down is reached: most of a file's damages end it early.
#[test]
fn event_lines() {
    let lines: Vec<&str> = GOOD.lines().collect();
    let opened = parse_events(lines.first().expect("a line").as_bytes()).expect("good");
    let reach = Reach::default();
    bolero::check!().with_iterations(INPUTS).with_type::<(u8, Vec<Drawn>)>().for_each(
        |(which, damages)| {
            reach.tries();
            let line = lines.get(usize::from(*which) % lines.len()).copied().unwrap_or_default();
            let Ok(events) = parse_events(&damaged(line.as_bytes(), damages)) else { return };
            reach.takes();
            let mut all = opened.clone();
            all.extend(events);
            let state = folded(&all);
            if let Some(evidence) = &state.evidence {
                SHEETS.judge(evidence);
            }
        },
    );
    reach.says("event lines");
}

/// A record of two events and its lines, as they go from phone to desk.
fn record() -> Vec<u8> {
    let (key, device) = (DeviceKey::from_seed(&[7; 32]), DeviceId::new("phone-a").expect("a name"));
    let mut log = Log::new(JobId::new("J-0417").expect("a name"));
    log.enrol(device.clone(), key.public()).expect("enrolled");
    for event in parse_events(GOOD.as_bytes()).expect("good events").into_iter().take(2) {
        log.append(event, &key).expect("appended");
    }
    write_record(&log, &device, &key).expect("a record")
}

/// A record verifies only untouched, and so does an entry: one that is read is written to the same
/// bytes.
#[test]
fn records_and_entries() {
    let good = record();
    verify(&good).expect("a good record");
    let lines: Vec<Vec<u8>> = good.split(|&b| b == b'\n').map(<[u8]>::to_vec).collect();
    bolero::check!().with_iterations(INPUTS).with_type::<(u8, Vec<Drawn>)>().for_each(
        |(which, damages)| {
            let bytes = damaged(&good, damages);
            assert!(verify(&bytes).is_err() || bytes == good);
            let line = lines.get(usize::from(*which) % lines.len()).expect("a line");
            let bytes = damaged(line, damages);
            if let Ok(entry) = Entry::from_bytes(&bytes) {
                assert_eq!(entry.to_bytes().expect("bytes"), bytes);
            }
        },
    );
}
