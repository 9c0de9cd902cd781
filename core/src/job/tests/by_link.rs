//! An acceptance by link and an offline phone that wants to close in: safe in every order.
//!
//! Three holders of one job: the desk, which signs for the electrician; the phone at the premises,
//! which offered by link; the phone at the pad, which may not have heard of the offer. Each judges
//! with what it has. They meet the desk at any time, or not for long.

use std::collections::BTreeSet;

use proptest::prelude::*;
use serde_json::{Value, json};

use super::{
    apart::{meet, signed, write},
    crew::{Crew, Desk},
};
use crate::{
    event::Event,
    job::{State, decide},
    log::{self, Log},
    plant::VoltageSystem,
    proof::Zone,
    quantity::{AssetId, DeviceId},
};

/// What can happen next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Move {
    /// The phone at the premises offers by link.
    Offer,
    /// The electrician tests and accepts on the page.
    Accept,
    /// The electrician releases on the page.
    Release,
    /// The dispatcher ends the link.
    EndLink,
    /// The phone at the premises inspects and releases the work.
    Inspect,
    /// The phone at the premises takes a break on record: dead must be proven again.
    Break,
    /// A phone tries everything that closes in.
    Close(usize),
    /// A phone and the desk meet.
    Meet(usize),
}

const PAD: usize = 0;
const PREMISES: usize = 1;
const DESK: usize = 2;

/// One holder: its entries and what it makes of them.
#[derive(Clone)]
struct Holder {
    log: Log,
    state: State,
}

impl Holder {
    fn has(&self, id: &str) -> bool {
        let chains = self.log.keys().keys().map(|device| self.log.chain(device));
        chains.flatten().any(|entry| entry.event().id.as_str() == id)
    }
}

/// The three of them in the middle of a job: opened, proven dead, nothing but people before landing.
#[derive(Clone)]
struct Apart<'a> {
    crew: &'a Crew<'a>,
    holders: [Holder; 3],
    now_s: i64,
    written: usize,
    /// A leg was landed: the base is live, whatever anybody has on record.
    landed: bool,
    /// Hands are in the base: accepted on the page, and not released.
    at_work: bool,
    /// A phone that had not heard of the offer closed in while hands were in.
    unaware: bool,
}

impl<'a> Apart<'a> {
    fn new(crew: &'a Crew<'a>) -> Self {
        let log = signed(&crew.events);
        let holder = Holder { state: log::fold(&log, &crew.sheets), log };
        let holders = [holder.clone(), holder.clone(), holder];
        Self {
            crew,
            holders,
            now_s: crew.now_s,
            written: 0,
            landed: false,
            at_work: false,
            unaware: false,
        }
    }

    /// Writes it where its writer's device holds the job, unless that device refuses.
    fn writes(&mut self, on: usize, who: &str, id: &str, kind: &str, body: Value) -> bool {
        self.now_s += 1;
        self.written += 1;
        let event = self.event(on, who, id, kind, body);
        let holder = &mut self.holders[on];
        if decide(&holder.state, &self.crew.sheets, event.clone()).is_err() {
            return false;
        }
        let device = event.device.clone();
        write(&mut holder.log, event);
        let entry = holder.log.chain(&device).last().unwrap();
        log::fold_next(&mut holder.state, &self.crew.sheets, &holder.log, entry);
        true
    }

    fn event(&self, on: usize, who: &str, id: &str, kind: &str, body: Value) -> Event {
        let mut event = self.crew.event(who, id, kind, body);
        event.device = DeviceId::new(["phone-a", "phone-b", "phone-d"][on]).unwrap();
        event.at.boot = format!("{}/1", event.device);
        event.at.wall_ms += (self.now_s - self.crew.now_s) * 1000;
        event.at.mono_ms = self.now_s * 1000;
        event
    }

    fn clearance(&mut self, on: usize, who: &str, id: &str, act: &Value) -> bool {
        self.writes(on, who, id, "clearance", json!({ "clearance": "c-1", "act": act }))
    }

    fn go(&mut self, next: Move) {
        match next {
            Move::Offer => {
                let mut offer = json!({ "op": "offered", "to": "lw-c", "proof": "pr-dead",
                    "by_link": true });
                offer["record_sha256"] = "0".repeat(64).into();
                self.clearance(PREMISES, "b", "offer", &offer);
            }
            Move::Accept => self.accept(),
            Move::Release => {
                if self.clearance(DESK, "c", "release", &json!({ "op": "released" })) {
                    self.at_work = false;
                }
            }
            Move::EndLink => {
                self.clearance(DESK, "d", "end-link", &json!({ "op": "link-ended" }));
            }
            Move::Inspect => {
                let operation = json!({ "op": "inspected", "service": "P1V2", "findings": "fine",
                    "released": true });
                let id = format!("inspect-{}", self.written);
                self.writes(PREMISES, "b", &id, "operation", json!({ "operation": operation }));
            }
            Move::Break => {
                let id = format!("break-{}", self.written);
                self.writes(PREMISES, "b", &id, "interrupted", json!({ "by": "break" }));
            }
            Move::Close(on) => self.close(on),
            Move::Meet(with) => self.meet(with),
        }
    }

    fn accept(&mut self) {
        if self.holders[DESK].state.clearances.blocks_closing().is_empty() || self.at_work {
            return;
        }
        let known = json!({ "at": "known-source", "what": "truck" });
        let service = AssetId::new("P1V2").unwrap();
        let points = Zone::MeterBase { service }.points(VoltageSystem::Split120_240);
        let mut readings = vec![(known.clone(), "L1".to_owned(), "N".to_owned(), "120.4")];
        readings.extend(points.into_iter().map(|point| {
            let place = serde_json::to_value(&point.place).unwrap();
            let volts = if self.landed { "120.1" } else { "0.2" };
            (place, point.between.0.to_string(), point.between.1.to_string(), volts)
        }));
        readings.push((known, "L1".into(), "N".into(), "120.4"));
        let mut named = Vec::new();
        for (place, one, two, volts) in readings {
            let id = format!("own-{}", self.written);
            let reading = json!({ "place": place, "between": [one, two], "volts": volts,
                "instrument": "tester-3" });
            self.writes(DESK, "c", &id, "volts", json!({ "reading": reading }));
            if volts != "120.4" {
                named.push(id);
            }
        }
        let test = json!({ "by": "readings", "readings": named });
        if self.clearance(DESK, "c", "accept", &json!({ "op": "accepted", "test": test })) {
            self.at_work = true;
        }
    }

    /// A phone tries everything that closes in. What it lets through is done.
    fn close(&mut self, on: usize) {
        let who = ["a", "b", "d"][on];
        for (kind, body) in closings() {
            let holder = &self.holders[on];
            let ended = holder.has("release") || holder.has("end-link");
            let may_be_at_work = holder.has("offer") && !ended;
            let id = format!("close-{}", self.written);
            let lands = body["operation"]["op"] == "leg-landed";
            if self.writes(on, who, &id, kind, body) {
                assert!(!may_be_at_work, "closed in on an offer by link");
                assert!(!(self.at_work && on == PREMISES), "who offered closed in");
                self.unaware |= self.at_work;
                self.landed |= lands;
            }
        }
    }

    fn meet(&mut self, with: usize) {
        let (phone, desk) = (self.holders[with].log.clone(), self.holders[DESK].log.clone());
        for (on, other) in [(with, &desk), (DESK, &phone)] {
            let holder = &mut self.holders[on];
            meet(&mut holder.log, other);
            holder.state = log::fold(&holder.log, &self.crew.sheets);
        }
    }

    /// All meet at last: one state, and nothing in it closes in on hands that may be in.
    fn ends_safe(mut self, moves: &[Move]) {
        for with in [PAD, PREMISES, PAD] {
            self.meet(with);
        }
        let [pad, premises, desk] = &self.holders;
        assert_eq!(pad.state, desk.state, "{moves:?}");
        assert_eq!(premises.state, desk.state, "{moves:?}");
        if self.unaware {
            assert!(!desk.state.open_conflicts().is_empty(), "nobody is told: {moves:?}");
        }
        if self.at_work || self.unaware {
            let mut probe = self.clone();
            for on in [PAD, PREMISES, DESK] {
                for (n, (kind, body)) in closings().into_iter().enumerate() {
                    let id = format!("probe-{on}-{n}");
                    let through = probe.writes(on, ["a", "b", "d"][on], &id, kind, body);
                    assert!(!through, "{kind} passes in the end: {moves:?}");
                }
            }
        }
    }
}

/// Everything that closes in here, or takes off what protects.
fn closings() -> Vec<(&'static str, Value)> {
    let op = |operation: Value| ("operation", json!({ "operation": operation }));
    let leg = |leg: &str| json!({ "op": "leg-landed", "pad": "P1", "position": "2", "leg": leg });
    vec![
        op(json!({ "op": "short-removed", "pad": "P1", "position": "2" })),
        op(leg("L1")),
        op(leg("L2")),
        op(json!({ "op": "main-closed", "service": "P1V2" })),
        ("meter-set", json!({ "deed": "d-2", "stay": "st-1" })),
        ("closed", json!({ "summary": "done" })),
    ]
}

fn opened(desk: &Desk) -> Crew<'_> {
    let mut crew = Crew::new(desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    crew.readies_landing();
    crew
}

fn play(from: &Apart<'_>, moves: &[Move]) {
    let mut apart = from.clone();
    for next in moves {
        apart.go(*next);
    }
    apart.ends_safe(moves);
}

/// Every order of offer, acceptance, the end of the link and closing in, with the meetings between.
#[test]
fn every_order_of_arrival_ends_safe() {
    let desk = Desk::new();
    let crew = opened(&desk);
    let apart = Apart::new(&crew);
    let meetings = [Move::Meet(PREMISES), Move::Meet(PREMISES)];
    for others in [
        [Move::Accept, Move::Close(PREMISES), Move::Close(PREMISES)],
        [Move::Accept, Move::EndLink, Move::Close(PREMISES)],
        [Move::Accept, Move::Close(PAD), Move::Close(PREMISES)],
        [Move::Accept, Move::Release, Move::Close(PREMISES)],
        [Move::Accept, Move::Close(PAD), Move::Meet(PAD)],
    ] {
        let moves: Vec<Move> = meetings.into_iter().chain(others).collect();
        for order in orders(&moves) {
            let all: Vec<Move> = [Move::Offer].into_iter().chain(order).collect();
            play(&apart, &all);
        }
    }
}

/// Every order of a few moves, each once.
fn orders(moves: &[Move]) -> Vec<Vec<Move>> {
    if moves.is_empty() {
        return vec![Vec::new()];
    }
    let mut all: Vec<Vec<Move>> = Vec::new();
    let mut first = Vec::new();
    for (n, next) in moves.iter().enumerate() {
        if first.contains(next) {
            continue;
        }
        first.push(*next);
        let mut rest = moves.to_vec();
        rest.remove(n);
        all.extend(orders(&rest).into_iter().map(|mut order| {
            order.insert(0, *next);
            order
        }));
    }
    all
}

fn any_move() -> impl Strategy<Value = Move> {
    prop_oneof![
        2 => Just(Move::Offer),
        3 => Just(Move::Accept),
        1 => Just(Move::Release),
        1 => Just(Move::EndLink),
        1 => Just(Move::Inspect),
        1 => Just(Move::Break),
        2 => (0_usize..3).prop_map(Move::Close),
        4 => (0_usize..2).prop_map(Move::Meet),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn any_course_ends_safe(moves in proptest::collection::vec(any_move(), 1..14)) {
        let desk = Desk::new();
        let crew = opened(&desk);
        play(&Apart::new(&crew), &moves);
    }
}

/// The model is not empty: hands come in, a phone that has not heard closes in, and it shows.
#[test]
fn a_phone_that_has_not_heard_is_told_of_the_conflict() {
    let desk = Desk::new();
    let crew = opened(&desk);
    let mut apart = Apart::new(&crew);
    for next in [Move::Offer, Move::Meet(PREMISES), Move::Accept] {
        apart.go(next);
    }
    assert!(apart.at_work);
    apart.go(Move::Close(PREMISES));
    assert!(!apart.unaware);
    apart.go(Move::Close(PAD));
    assert!(apart.unaware, "the pad had not heard of the offer");
    apart.go(Move::Meet(PAD));
    let told: BTreeSet<String> = apart.holders[PAD]
        .state
        .open_conflicts()
        .iter()
        .map(|id| id.as_str().split('-').next().unwrap_or_default().to_owned())
        .collect();
    assert!(told.contains("close"), "{told:?}");
}
