//! Four holders of one job, each judging with what it has, and what can happen between them.
//!
//! The phone at the pad, the phone at the premises, a third lineworker's phone, and the desk, which
//! signs for the electrician. Whoever lets a closing step through while somebody may be at work fails
//! the test, whether that phone had heard of it or not; so does who offers without having heard of a
//! closing step.

use serde_json::{Value, json};

use super::{
    apart::{meet, signed, write},
    crew::{Crew, Desk},
};
use crate::{
    clearance::Standing,
    event::Event,
    gate::Rule,
    job::{State, decide},
    log::{self, Log},
    plant::VoltageSystem,
    proof::Zone,
    quantity::{AssetId, ClearanceId, DeviceId, EventId, PersonId},
};

pub(super) const PAD: usize = 0;
pub(super) const PREMISES: usize = 1;
pub(super) const THIRD: usize = 2;
const DESK: usize = 3;
const WHO: [&str; 4] = ["a", "b", "e", "d"];

/// What can happen next. A number says on which phone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Move {
    /// The first leg is lifted, and checked at the base.
    LiftFirst(usize),
    /// The last leg is lifted, dead is proven, everything is readied for landing.
    LiftLast(usize),
    /// Another switch is opened to make safe.
    OpenMore(usize),
    /// Dead is proven, and the work offered by link.
    Offer(usize),
    /// The electrician tests and accepts on the page, whatever is on offer there.
    Accept,
    /// The electrician releases on the page.
    Release,
    /// The dispatcher ends every link.
    EndLink,
    /// A phone inspects and gives its word.
    Inspect(usize),
    /// A phone takes a break on record: dead must be proven again.
    Break(usize),
    /// A phone tries everything that closes in.
    Close(usize),
    /// A phone and the desk meet.
    Meet(usize),
}

/// One holder: its entries and what it makes of them.
#[derive(Clone)]
pub(super) struct Holder {
    log: Log,
    pub(super) state: State,
}

impl Holder {
    fn has(&self, id: &str) -> bool {
        let chains = self.log.keys().keys().map(|device| self.log.chain(device));
        chains.flatten().any(|entry| entry.event().id.as_str() == id)
    }
}

/// What is done at the pad between two moves, as the crew of one phone would write it.
pub(super) struct Sequences {
    first: Vec<Event>,
    last: Vec<Event>,
    dead: Vec<Event>,
}

impl Sequences {
    pub(super) fn new(desk: &Desk) -> Self {
        let mut crew = Crew { third: true, ..Crew::new(desk) };
        crew.ready_to_lift();
        let cut = |crew: &mut Crew<'_>, run: &dyn Fn(&mut Crew<'_>)| {
            let before = crew.events.len();
            run(crew);
            crew.events.split_off(before)
        };
        // The events are cut off, their names go on: what is recorded is written under other names.
        let first = cut(&mut crew, &|crew| {
            crew.lifts("L1");
            crew.checks_first_leg();
        });
        crew.events.extend(first.clone());
        let last = cut(&mut crew, &|crew| {
            crew.lifts_last_and_proves();
            crew.readies_landing();
        });
        crew.events.extend(last.clone());
        let dead = cut(&mut crew, &|crew| {
            crew.reads_dead("b");
        });
        Self { first, last, dead }
    }
}

/// The four of them.
#[derive(Clone)]
pub(super) struct Apart<'a> {
    crew: &'a Crew<'a>,
    sequences: &'a Sequences,
    pub(super) holders: [Holder; 4],
    now_s: i64,
    written: usize,
    /// A leg was landed: the base is live, whatever anybody has on record.
    pub(super) landed: bool,
    /// Offers that nobody has ended, by name, whoever has heard of them.
    pub(super) on_offer: Vec<String>,
    /// Clearances that are held: hands may be in the base.
    pub(super) held: Vec<String>,
    /// Everything that closed in, by the event's name.
    pub(super) closings: Vec<String>,
    /// What stood before a closing step last.
    pub(super) refused_by: Option<Rule>,
}

impl<'a> Apart<'a> {
    pub(super) fn new(crew: &'a Crew<'a>, sequences: &'a Sequences) -> Self {
        let log = signed(&crew.events);
        let holder = Holder { state: log::fold(&log, &crew.sheets), log };
        Self {
            crew,
            sequences,
            holders: [holder.clone(), holder.clone(), holder.clone(), holder],
            now_s: crew.now_s,
            written: 0,
            landed: false,
            on_offer: Vec::new(),
            held: Vec::new(),
            closings: Vec::new(),
            refused_by: None,
        }
    }

    /// Writes it where its writer's device holds the job, unless that device refuses.
    fn writes(&mut self, on: usize, who: &str, id: &str, kind: &str, body: Value) -> bool {
        let event = self.crew.event(who, id, kind, body);
        self.signs(on, event)
    }

    fn signs(&mut self, on: usize, mut event: Event) -> bool {
        self.now_s += 1;
        self.written += 1;
        event.device = DeviceId::new(format!("phone-{}", WHO[on])).unwrap();
        event.at.boot = format!("{}/1", event.device);
        event.at.wall_ms = 1_790_000_000_000_i64 + self.now_s * 1000;
        event.at.mono_ms = self.now_s * 1000;
        let holder = &mut self.holders[on];
        if let Err(refusal) = decide(&holder.state, &self.crew.sheets, event.clone()) {
            self.refused_by = Some(refusal.rule);
            return false;
        }
        let device = event.device.clone();
        write(&mut holder.log, event);
        let entry = holder.log.chain(&device).last().unwrap();
        log::fold_next(&mut holder.state, &self.crew.sheets, &holder.log, entry);
        true
    }

    /// Writes recorded events one after the other on one phone, until one is refused.
    fn repeats(&mut self, on: usize, events: &[Event]) {
        for event in events {
            let mut event = event.clone();
            event.id = EventId::new(format!("again-{}", self.written)).unwrap();
            event.person = PersonId::new(format!("lw-{}", WHO[on])).unwrap();
            if !self.signs(on, event) {
                return;
            }
        }
    }

    fn clearance(&mut self, on: usize, who: &str, clearance: &str, act: &Value) -> bool {
        let id = format!("clearance-{}", self.written);
        self.writes(on, who, &id, "clearance", json!({ "clearance": clearance, "act": act }))
    }

    pub(super) fn go(&mut self, next: Move) {
        match next {
            Move::LiftFirst(on) => self.repeats(on, &self.sequences.first.clone()),
            Move::LiftLast(on) => self.repeats(on, &self.sequences.last.clone()),
            Move::OpenMore(on) => {
                let id = format!("more-{}", self.written);
                let operation = json!({ "op": "switch-opened", "switch": "P3-in" });
                let body = json!({ "operation": operation, "making_safe": true });
                self.writes(on, WHO[on], &id, "operation", body);
            }
            Move::Offer(on) => self.offer(on),
            Move::Accept => self.accept(),
            Move::Release => {
                for clearance in self.held.clone() {
                    if self.clearance(DESK, "c", &clearance, &json!({ "op": "released" })) {
                        self.held.retain(|held| *held != clearance);
                    }
                }
            }
            Move::EndLink => {
                for clearance in self.on_offer.clone() {
                    if self.clearance(DESK, "d", &clearance, &json!({ "op": "link-ended" })) {
                        self.on_offer.retain(|offer| *offer != clearance);
                    }
                }
            }
            Move::Inspect(on) => {
                let operation = json!({ "op": "inspected", "service": "P1V2", "findings": "fine",
                    "released": true });
                let id = format!("inspect-{}", self.written);
                self.writes(on, WHO[on], &id, "operation", json!({ "operation": operation }));
            }
            Move::Break(on) => {
                let id = format!("break-{}", self.written);
                self.writes(on, WHO[on], &id, "interrupted", json!({ "by": "break" }));
            }
            Move::Close(on) => self.close(on),
            Move::Meet(with) => self.meet(with),
        }
    }

    fn offer(&mut self, on: usize) {
        if !self.landed {
            self.repeats(on, &self.sequences.dead.clone());
        }
        let proof = format!("pr-dead-{}", self.written);
        let of = json!({ "of": "dead", "service": "P1V2" });
        let proven = json!({ "proof": proof, "of": of, "readings": [] });
        let id = format!("proof-{}", self.written);
        self.writes(on, WHO[on], &id, "proof", proven);
        let clearance = format!("c-{}", self.written);
        let mut act = json!({ "op": "offered", "to": "lw-c", "proof": proof, "by_link": true });
        act["record_sha256"] = "0".repeat(64).into();
        if self.clearance(on, WHO[on], &clearance, &act) {
            let unseen = self.closings.iter().find(|id| !self.holders[on].has(id));
            assert_eq!(unseen, None, "offered by who had not heard of a closing step");
            self.on_offer.push(clearance);
        }
    }

    fn accept(&mut self) {
        let here = &self.holders[DESK].state;
        let standing = |id: &String| {
            let id = ClearanceId::new(id.as_str()).unwrap();
            here.clearances.get(&id).map(|clearance| clearance.standing().clone())
        };
        let on_offer = |id: &&String| matches!(standing(id), Some(Standing::Offered { .. }));
        let Some(clearance) = self.on_offer.iter().find(on_offer).cloned() else { return };
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
        if self.clearance(DESK, "c", &clearance, &json!({ "op": "accepted", "test": test })) {
            self.on_offer.retain(|offer| *offer != clearance);
            self.held.push(clearance);
        }
    }

    /// A phone tries everything that closes in. What it lets through is done.
    fn close(&mut self, on: usize) {
        for (kind, body) in closings() {
            let id = format!("close-{}", self.written);
            let lands = body["operation"]["op"] == "leg-landed";
            if self.writes(on, WHO[on], &id, kind, body) {
                assert!(self.held.is_empty(), "closed in on hands: {kind}");
                assert!(self.on_offer.is_empty(), "closed in on an offer: {kind}");
                self.landed |= lands;
                self.closings.push(id);
            }
        }
    }

    fn meet(&mut self, with: usize) {
        let (phone, desk) = (self.holders[with].log.clone(), self.holders[DESK].log.clone());
        for (on, other) in [(with, &desk), (DESK, &phone)] {
            let holder = &mut self.holders[on];
            let before = holder.log.len();
            meet(&mut holder.log, other);
            if holder.log.len() > before {
                holder.state = log::fold(&holder.log, &self.crew.sheets);
            }
        }
    }

    /// All meet at last: one state, and nothing in it closes in on hands that may be in.
    pub(super) fn ends_safe(mut self, moves: &[Move]) {
        for with in [PAD, PREMISES, THIRD, PREMISES, PAD] {
            self.meet(with);
        }
        let desk = &self.holders[DESK].state;
        for phone in [PAD, PREMISES, THIRD] {
            assert_eq!(self.holders[phone].state, *desk, "{moves:?}");
        }
        if !self.held.is_empty() || !self.on_offer.is_empty() {
            for on in [PAD, PREMISES, THIRD] {
                self.close(on);
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

pub(super) fn ready(desk: &Desk) -> Crew<'_> {
    let mut crew = Crew { third: true, ..Crew::new(desk) };
    crew.ready_to_lift();
    crew
}

pub(super) fn opened(desk: &Desk) -> Crew<'_> {
    let mut crew = ready(desk);
    crew.opens_and_proves();
    crew.readies_landing();
    crew
}
