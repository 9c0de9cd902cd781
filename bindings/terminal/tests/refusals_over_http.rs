//! The three refusals of the demo, from a phone that does not ask its own gate: what it signs and
//! sends over HTTP is kept as it must be, and is refused at the desk by the same rule, stands as a
//! conflict for a person to settle, and changes nothing in the physical state.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use std::{
    fs,
    net::{Ipv4Addr, SocketAddr},
    path::{Path, PathBuf},
    process::Command,
    sync::{Arc, OnceLock},
};

use coldlug_core::{
    event::{Body, ClearanceOp, Event, Operation},
    exchange::{Head, Message, Offer, OfferAnswer, Outcome, counts, seal, write_entries},
    gate::Rule,
    job::{Sheets, State},
    log::{DeviceKey, Log, fold, verify},
    mapsheet,
    quantity::{DeviceId, EventId, Instant, JobId},
    rule_sheet::RuleSheet,
};
use coldlug_desk::{Desk, Settings, Strength, Surroundings};
use coldlug_store::Store;
use rusqlite::Connection;

const JOB: &str = "J-0001";
/// Above every number that the demo's phones have used.
const NUMBER: u64 = 1_000_000;

/// A finished demo, played once for all tests here.
fn demo() -> &'static Path {
    static DIR: OnceLock<PathBuf> = OnceLock::new();
    DIR.get_or_init(|| {
        let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join("refusals-demo");
        let _ = fs::remove_dir_all(&dir);
        let played = Command::new(env!("CARGO_BIN_EXE_coldlug"))
            .args(["demo", "--once", "--seed", "1", "--out"])
            .arg(&dir)
            .output()
            .unwrap();
        assert!(played.status.success(), "{}", String::from_utf8_lossy(&played.stderr));
        dir
    })
}

#[derive(Debug)]
struct Still(Instant);

impl Surroundings for Still {
    fn now(&self) -> Instant {
        self.0.clone()
    }

    fn random(&self, bytes: &mut [u8]) -> std::io::Result<()> {
        bytes.fill(7);
        Ok(())
    }
}

/// A copy of the demo's desk as it stood right after the entry of an event.
fn desk_after(name: &str, event: &EventId) -> PathBuf {
    let copy = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("refusals-{name}"));
    let _ = fs::remove_dir_all(&copy);
    fs::create_dir_all(&copy).unwrap();
    for file in ["desk.sqlite", "jobs.sqlite"] {
        fs::copy(demo().join("desk").join(file), copy.join(file)).unwrap();
    }
    let store = Store::open(&copy.join("jobs.sqlite")).unwrap();
    let log = store.load(&job()).unwrap();
    let last = log.in_order().into_iter().find(|entry| entry.event().id == *event).unwrap().hash();
    store.close().unwrap();
    let sql = Connection::open(copy.join("jobs.sqlite")).unwrap();
    let cut = "DELETE FROM entries WHERE job = ?1 AND arrival > \
               (SELECT arrival FROM entries WHERE job = ?1 AND hash = ?2)";
    let gone = sql.execute(cut, rusqlite::params![JOB, last.0]).unwrap();
    assert!(gone > 0, "nothing came after {event}");
    copy
}

fn job() -> JobId {
    JobId::new(JOB).unwrap()
}

fn key_of(device: &str) -> DeviceKey {
    let seed = fs::read(demo().join(device).join("key.bin")).unwrap();
    DeviceKey::from_seed(&seed.try_into().unwrap())
}

/// The whole record of the job, as the desk gave it.
fn whole() -> Log {
    verify(&fs::read(demo().join("job-1-record.jsonl")).unwrap()).unwrap().log
}

fn folded(log: &Log) -> State {
    let map = fs::read(demo().join("map-sheet.geojson")).unwrap();
    let plant = mapsheet::read(&map).unwrap().plant;
    let rules = RuleSheet::default();
    fold(log, &Sheets::new(&plant, &rules))
}

/// Sends what a phone signs at a point of the job without asking its gate, and holds the desk to its
/// answer: kept, refused by the `wanted` rule, physical state and stage as before, to be settled.
fn sent(
    name: &str,
    after: impl Fn(&Body) -> bool,
    device: &str,
    deed: impl Fn(&Body) -> bool,
    wanted: Rule,
) {
    let log = whole();
    let entries = log.in_order();
    let last = entries.iter().find(|entry| after(&entry.event().body)).unwrap().event().id.clone();
    let deed = entries.iter().find(|entry| deed(&entry.event().body)).unwrap().event().clone();
    let folder = desk_after(name, &last);
    let store = Store::open(&folder.join("jobs.sqlite")).unwrap();
    let mut log = store.load(&job()).unwrap();
    store.close().unwrap();
    let before = folded(&log);
    let (device, key) = (DeviceId::new(device).unwrap(), key_of(device));
    let at = log.chain(&device).last().unwrap().event().at.clone();
    let now = Instant { wall_ms: at.wall_ms + 1000, mono_ms: at.mono_ms + 1000, ..at };
    let id = EventId::new("rogue-1").unwrap();
    let rogue = Event { id: id.clone(), at: now.clone(), device: device.clone(), ..deed };
    let entry = log.append(rogue, &key).unwrap();

    let settings = Settings {
        data: folder.clone(),
        bind: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
        public_url: None,
        surroundings: Arc::new(Still(now)),
        strength: Strength::PLAY,
    };
    let desk = Desk::start(settings).unwrap();
    let have = [(job(), counts(&log))].into();
    let head = Head { from: device, number: NUMBER, answers: None, body: Offer { have } };
    let bytes = seal(&head, &write_entries([&entry]).unwrap(), &key).unwrap();
    let url = format!("http://{}/exchange/offer", desk.address());
    let mut answer = ureq::post(url).send(&bytes[..]).unwrap();
    let body = answer.body_mut().read_to_vec().unwrap();
    let message = Message::read(&body, usize::MAX).unwrap();
    let answer: OfferAnswer = message.unchecked().unwrap();
    assert_eq!(answer.receipts.len(), 1);
    assert_eq!(answer.receipts[0].outcome, Outcome::Kept, "what was done is never dropped");
    desk.stop();

    let store = Store::open(&folder.join("jobs.sqlite")).unwrap();
    let state = folded(&store.load(&job()).unwrap());
    let refused = state.refused.iter().find(|refused| refused.event.id == id);
    assert_eq!(refused.map(|refused| refused.refusal.rule), Some(wanted));
    assert_eq!(state.physical, before.physical);
    assert_eq!(state.stage, before.stage);
    assert!(state.open_conflicts().contains(&id), "somebody has to settle it");
}

fn operation(body: &Body, is: impl Fn(&Operation) -> bool) -> bool {
    matches!(body, Body::Operation(done) if is(&done.operation))
}

#[test]
fn amps_fresh_before_lift_holds_over_http() {
    sent(
        "lift",
        |body| matches!(body, Body::MeterPulled(_)),
        "phone-pad",
        |body| operation(body, |done| matches!(done, Operation::LegLifted { .. })),
        Rule::AmpsFreshBeforeLift,
    );
}

#[test]
fn dead_proven_before_handover_holds_over_http() {
    // The first leg is down and checked; nothing is proven dead yet.
    sent(
        "hand-over",
        |body| matches!(body, Body::Proof(_)),
        "phone-house",
        |body| matches!(body, Body::Clearance(act) if matches!(act.act, ClearanceOp::Offered { .. })),
        Rule::DeadProvenBeforeHandover,
    );
}

#[test]
fn no_clearance_held_before_closing_holds_over_http() {
    sent(
        "close",
        |body| matches!(body, Body::Clearance(act) if matches!(act.act, ClearanceOp::Accepted { .. })),
        "phone-pad",
        |body| operation(body, |done| matches!(done, Operation::LegLanded { .. })),
        Rule::NoClearanceHeldBeforeClosing,
    );
}
