//! One whole job from the request to the close, and what is refused on its way.

#![allow(
    clippy::needless_pass_by_value,
    clippy::unused_self,
    reason = "a test reads better when everything is done by the crew, with the JSON in place"
)]

use serde_json::{Value, json};

use super::crew::{Crew, Desk};
use crate::{
    gate::{Rule, Stage},
    plant::VoltageSystem,
    proof::Zone,
    quantity::{AssetId, EventId},
};

fn pull() -> Value {
    json!({ "deed": "d-1", "stay": "st-1", "number_in_hand": "MP12", "form": "2S",
        "bypass": "none", "main_open": true, "own_sources": "none-found",
        "damage_or_heat": false, "metering": "self-contained" })
}

pub(super) fn answers() -> Value {
    json!({ "pad": "P1", "position": "2", "bolt": "own", "runs_per_leg": 1, "meters_on_set": 1,
        "front": "dead",
        "enclosure": { "case_volts": "0.3", "wet": false, "damage": false, "animals": false } })
}

fn end(leg: &str) -> Value {
    json!({ "pad": "P1", "position": "2", "leg": leg })
}

fn set() -> Value {
    json!({ "pad": "P1", "position": "2" })
}

pub(super) fn lift(leg: &str) -> Value {
    let handle = json!({ "by": "position", "position": "2" });
    json!({ "pad": "P1", "handle": handle, "leg": leg, "runs": 1, "loosened_amps": "0.05" })
}

fn base() -> Value {
    json!({ "at": "meter-base", "service": "P1V2", "side": "line" })
}

impl Crew<'_> {
    #[track_caller]
    fn reads(&mut self, who: &str, place: &Value, one: &str, two: &str, volts: &str) -> String {
        let tester = match who {
            "a" => "tester-1",
            "b" => "tester-2",
            _ => "tester-3",
        };
        self.does(
            who,
            "volts",
            json!({ "reading": { "place": place, "between": [one, two],
            "volts": volts, "instrument": tester } }),
        )
    }

    fn known_source(&mut self, who: &str) {
        self.reads(who, &json!({ "at": "known-source", "what": "truck" }), "L1", "N", "120.4");
    }

    fn bus_lives(&mut self) {
        let bus = json!({ "at": "pad-bus", "pad": "P1" });
        self.reads("a", &bus, "L1", "N", "121.2");
        self.reads("a", &bus, "L2", "N", "121.0");
    }

    /// Amps on both legs of set 2, with the meter out.
    pub(super) fn clamps_legs(&mut self, go: usize) {
        for leg in ["L1", "L2"] {
            let id = format!("pl-{go}-{leg}");
            self.places(&id, &json!({ "by": "position", "position": "2" }), leg);
            self.sees(
                "a",
                &format!("s-amps-{go}-{leg}"),
                json!({
                    "what": "amps", "placement": id, "deed": "d-1", "amps": "0.05"
                }),
            );
        }
    }

    /// The clamp reads a load on another set.
    pub(super) fn clamps_load(&mut self, go: usize) {
        let id = format!("pl-load-{go}");
        self.places(&id, &json!({ "by": "position", "position": "1" }), "L1");
        let load = json!({ "what": "amps", "placement": id, "amps": "7.40" });
        self.sees("a", &format!("s-load-{go}"), load);
    }

    /// Everything up to the meter out, the base read live, the questions asked, the legs clamped
    /// and the clamp on a load again.
    pub(super) fn ready_to_lift(&mut self) {
        self.opens_job();
        self.begins_stay();
        self.identifies();
        self.does("b", "meter-pulled", pull());
        self.reads("b", &base(), "L1", "N", "121.3");
        self.reads("b", &base(), "L2", "N", "121.1");
        self.does("a", "answers", answers());
        self.clamps_legs(1);
        self.clamps_load(1);
    }

    pub(super) fn lifts(&mut self, leg: &str) {
        self.operates("a", "leg-lifted", lift(leg));
        for op in ["leg-capped", "leg-restrained", "leg-tagged"] {
            self.operates("a", op, end(leg));
        }
    }

    pub(super) fn checks_first_leg(&mut self) {
        self.known_source("b");
        self.reads("b", &base(), "L1", "N", "0.3");
        self.reads("b", &base(), "L2", "N", "121.1");
        self.bus_lives();
        self.proves(
            "b",
            "pr-leg",
            json!({ "of": "one-leg", "service": "P1V2", "pad": "P1",
            "position": "2", "leg": "L1" }),
        );
    }

    #[track_caller]
    pub(super) fn proves(&mut self, who: &str, proof: &str, of: Value) {
        self.does(who, "proof", json!({ "proof": proof, "of": of, "readings": [] }));
    }

    /// Every point of the base, dead, between two checks of the tester.
    pub(super) fn reads_dead(&mut self, who: &str) -> Vec<String> {
        self.known_source(who);
        let service = AssetId::new("P1V2").unwrap();
        let points = Zone::MeterBase { service }.points(VoltageSystem::Split120_240);
        let mut events = Vec::new();
        for point in points {
            let (one, two) = (point.between.0.to_string(), point.between.1.to_string());
            let place = serde_json::to_value(&point.place).unwrap();
            events.push(self.reads(who, &place, &one, &two, "0.2"));
        }
        self.known_source(who);
        events
    }

    pub(super) fn opens_and_proves(&mut self) {
        self.lifts("L1");
        self.checks_first_leg();
        self.lifts_last_and_proves();
    }

    pub(super) fn lifts_last_and_proves(&mut self) {
        self.lifts("L2");
        self.reads_dead("b");
        self.bus_lives();
        self.proves("b", "pr-dead", json!({ "of": "dead", "service": "P1V2" }));
        self.proves(
            "b",
            "pr-open",
            json!({ "of": "opening", "service": "P1V2", "pad": "P1",
            "position": "2" }),
        );
    }

    pub(super) fn offers(&mut self) -> Value {
        json!({ "clearance": "c-1", "act": { "op": "offered", "to": "lw-c", "proof": "pr-dead",
            "record_sha256": "0".repeat(64), "by_link": false } })
    }

    pub(super) fn hands_over(&mut self) {
        let offer = self.offers();
        self.does("b", "clearance", offer);
        let readings = self.reads_dead("c");
        self.does(
            "c",
            "clearance",
            json!({ "clearance": "c-1", "act": { "op": "accepted",
            "test": { "by": "readings", "readings": readings } } }),
        );
    }

    /// The word of a phone: inspected, and nobody is in there.
    #[track_caller]
    pub(super) fn says_clear(&mut self, who: &str) -> String {
        let findings = json!({ "service": "P1V2", "findings": "fine", "released": true });
        self.operates(who, "inspected", findings)
    }

    pub(super) fn lands(&mut self) {
        for leg in ["L1", "L2"] {
            self.operates("a", "leg-landed", end(leg));
        }
    }

    /// Insulation compared and neutral verified: nothing but people stands before landing.
    pub(super) fn readies_landing(&mut self) {
        self.does(
            "a",
            "instrument-proven",
            json!({
                "instrument": "megger-1", "known": "the box's resistor",
                "known_tolerance_percent": "5",
                "shown": { "unit": "megohms", "shown_megohms": "100.0", "expected_megohms": "100" }
            }),
        );
        for (one, two) in [("L1", "L2"), ("L1", "N"), ("L2", "N")] {
            self.does(
                "a",
                "ohms",
                json!({ "pad": "P1", "position": "2", "both_ends_free": true,
                "reading": { "between": [one, two], "megohms": "120.0",
                    "instrument": "megger-1" } }),
            );
        }
        self.operates("a", "neutral-verified", set());
    }

    pub(super) fn proves_live(&mut self) {
        self.known_source("b");
        self.reads("b", &base(), "N", "G", "0.4");
        self.reads("b", &base(), "L1", "N", "121.2");
        self.reads("b", &base(), "L2", "N", "121.0");
        self.reads("b", &base(), "L1", "L2", "242.1");
        self.known_source("a");
        self.does(
            "a",
            "neutral-tested",
            json!({ "service": "P1V2", "test": {
            "loaded": "L1", "unloaded": "L2", "without_volts": "121.0", "with_volts": "121.2",
            "voltmeter": "tester-1",
            "load": { "conductor": "L1", "amps": "12.50", "instrument": "clamp-1" } } }),
        );
        self.proves("b", "pr-live", json!({ "of": "live", "service": "P1V2" }));
    }
}

#[test]
fn a_job_goes_from_request_to_close() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    assert_eq!(crew.state.stage, Stage::Found);
    crew.opens_and_proves();
    assert_eq!(crew.state.stage, Stage::ProvenDead);
    crew.hands_over();
    assert_eq!(crew.state.stage, Stage::HandedOver);
    let land = crew.operation("leg-landed", end("L1"));
    crew.refused("a", "operation", land, Rule::NoClearanceHeldBeforeClosing);
    let done = json!({ "service": "P1V2", "findings": "base replaced" });
    crew.operates("c", "work-done", done);
    crew.does("c", "clearance", json!({ "clearance": "c-1", "act": { "op": "released" } }));
    let land = crew.operation("leg-landed", end("L1"));
    crew.refused("a", "operation", land, Rule::InspectedBeforeRestore);
    crew.says_clear("a");
    assert_eq!(crew.state.stage, Stage::Returned);
    let land = crew.operation("leg-landed", end("L1"));
    crew.refused("a", "operation", land, Rule::InsulationComparedBeforeLanding);
    crew.readies_landing();
    let land = crew.operation("leg-landed", end("L1"));
    crew.refused("a", "operation", land, Rule::ClearSaidBeforeClosing);
    crew.says_clear("b");
    crew.lands();
    assert_eq!(crew.state.stage, Stage::Restored);
    crew.refused(
        "b",
        "meter-set",
        json!({ "deed": "d-2", "stay": "st-1" }),
        Rule::LiveProvenBeforeLoad,
    );
    crew.proves_live();
    assert_eq!(crew.state.stage, Stage::ProvenLive);
    let close = json!({ "summary": "meter base replaced" });
    crew.refused("a", "closed", close.clone(), Rule::NothingLeftOpenBeforeClose);
    crew.does("b", "meter-set", json!({ "deed": "d-2", "stay": "st-1" }));
    crew.operates("b", "main-closed", json!({ "service": "P1V2" }));
    crew.does("b", "stay-ended", json!({ "stay": "st-1" }));
    crew.does("a", "closed", close);
    assert_eq!(crew.state.stage, Stage::Closed);
    assert!(crew.state.refused.is_empty() && crew.state.without_proof.is_empty());
}

#[test]
fn lifting_asks_for_identity_meter_amps_and_order() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    crew.begins_stay();
    let l1 = crew.operation("leg-lifted", lift("L1"));
    crew.refused("a", "operation", l1.clone(), Rule::QuestionsBeforeLift);
    crew.does("a", "answers", answers());
    crew.refused("a", "operation", l1.clone(), Rule::IdentifiedBeforeOpening);
    crew.identifies();
    crew.refused("a", "operation", l1.clone(), Rule::MeterOutBeforeLift);
    crew.does("b", "meter-pulled", pull());
    crew.reads("b", &base(), "L1", "N", "121.3");
    crew.reads("b", &base(), "L2", "N", "121.1");
    crew.refused("a", "operation", l1.clone(), Rule::AmpsFreshBeforeLift);
    crew.clamps_legs(1);
    let neutral = crew.operation("leg-lifted", lift("N"));
    crew.refused("a", "operation", neutral, Rule::NeutralStaysLanded);
    crew.wait(301);
    crew.refused("a", "operation", l1.clone(), Rule::AmpsFreshBeforeLift);
    crew.clamps_legs(2);
    // A zero from a clamp that has read no load within the window is no zero.
    crew.refused("a", "operation", l1.clone(), Rule::NoLoadBeforeLift);
    crew.wait(301);
    crew.clamps_load(2);
    // Nor is one from a clamp that was last shown a load before: it may have failed since.
    crew.clamps_legs(3);
    crew.refused("a", "operation", l1, Rule::ClampProvenAfterAmps);
    crew.clamps_load(3);
    // Put back on the leg, it may be read once more.
    crew.clamps_legs(4);
    // What came on while the lug was loosened, the limit of error included.
    for shown in ["4.20", "0.95"] {
        let mut loosened = lift("L1");
        loosened["loosened_amps"] = shown.into();
        let loosened = crew.operation("leg-lifted", loosened);
        crew.refused("a", "operation", loosened, Rule::NoLoadWhileLoosened);
    }
    // Whoever drew with the meter out is still there when he rests, and be it that the clamp could
    // not tell.
    crew.places("pl-came", &json!({ "by": "position", "position": "2" }), "L1");
    let came = json!({ "what": "amps", "placement": "pl-came", "deed": "d-1", "amps": "1.02" });
    let came = crew.sees("a", "s-came", came);
    crew.clamps_legs(5);
    crew.clamps_load(5);
    let l1 = crew.operation("leg-lifted", lift("L1"));
    crew.refused("a", "operation", l1, Rule::NoLoadWithMeterOut);
    crew.does("a", "correction", json!({ "corrects": came, "reason": "another set's leg" }));
    crew.operates("a", "leg-lifted", lift("L1"));
    assert_eq!(crew.state.stage, Stage::Opened);
    let l2 = crew.operation("leg-lifted", lift("L2"));
    crew.refused("a", "operation", l2.clone(), Rule::CapAndRestrainBeforeNext);
    crew.operates("a", "leg-capped", end("L1"));
    crew.operates("a", "leg-restrained", end("L1"));
    crew.refused("a", "operation", l2, Rule::LegCheckBeforeSecondLeg);
}

#[test]
fn a_refused_lift_is_kept_and_must_be_settled() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    crew.begins_stay();
    let body = crew.operation("leg-lifted", lift("L1"));
    let event = crew.event("a", "late-1", "operation", body);
    crate::job::fold(&mut crew.state, &crew.sheets, &event);
    assert!(crew.state.physical.legs.is_empty(), "a refused lift was applied");
    assert_eq!(crew.state.refused[0].refusal.rule, Rule::QuestionsBeforeLift);
    assert_eq!(crew.state.open_conflicts(), [EventId::new("late-1").unwrap()]);
    let closed = json!({ "summary": "nothing done" });
    crew.refused("a", "closed", closed, Rule::ConflictSettledFirst);
    crew.does(
        "a",
        "conflict-settled",
        json!({ "refused": "late-1", "stands": true,
        "finding": "L1 hangs free" }),
    );
    assert_eq!(crew.state.physical.legs.len(), 1);
    assert!(crew.state.without_proof.contains_key(&EventId::new("late-1").unwrap()));
    assert!(crew.state.open_conflicts().is_empty());
}

#[test]
fn handing_over_asks_for_dead_and_opening() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    let offer = crew.offers();
    crew.refused("b", "clearance", offer.clone(), Rule::DeadProvenBeforeHandover);
    crew.opens_and_proves();
    crew.does("b", "interrupted", json!({ "by": "break" }));
    crew.refused("b", "clearance", offer.clone(), Rule::DeadProvenBeforeHandover);
    crew.reads_dead("b");
    crew.proves("b", "pr-dead-2", json!({ "of": "dead", "service": "P1V2" }));
    crew.wait(16 * 60);
    let mut second = offer;
    second["act"]["proof"] = "pr-dead-2".into();
    crew.refused("b", "clearance", second, Rule::ProofFreshBeforeHandover);
}

#[test]
fn a_live_reading_after_opening_stops_the_job_and_voids_the_identity() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.lifts("L1");
    crew.checks_first_leg();
    crew.lifts("L2");
    crew.reads("b", &base(), "L1", "N", "119.0");
    let stop = crew.state.stopped.clone().unwrap();
    assert!(stop.live);
    assert!(crew.state.evidence.as_ref().unwrap().sightings.is_empty());
    let again = json!({ "stage": "opened", "checks": ["gone over"] });
    crew.refused("a", "resumed", again, Rule::StoppedUntilLedBack);
    crew.does("a", "resumed", json!({ "stage": "found", "checks": ["gone over"] }));
    assert!(crew.state.stopped.is_none());
}

#[test]
fn an_opening_that_showed_another_set_asks_for_one_more_way_to_it() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.lifts("L1");
    crew.known_source("b");
    crew.reads("b", &base(), "L1", "N", "121.3");
    crew.reads("b", &base(), "L2", "N", "121.1");
    crew.bus_lives();
    assert!(crew.state.stopped.as_ref().is_some_and(|stop| stop.live));
    crew.does("a", "resumed", json!({ "stage": "found", "checks": ["gone over"] }));
    let number = json!({ "what": "meter-number", "stay": "st-1", "number": "MP12" });
    crew.sees("b", "s-number-2", number);
    let plate = json!({ "what": "address-plate", "stay": "st-1", "plate": "2 Ropewalk Steps",
        "service": "P1V2" });
    crew.sees("b", "s-plate-2", plate);
    crew.coded_step(3, &json!({ "by": "mark", "marks": "m-1", "mark": "B" }), "L1");
    crew.coded_step(4, &json!({ "by": "position", "position": "2" }), "L2");
    let mut evidence = crew.state.evidence.clone().unwrap();
    assert_eq!(crew.sheets.identified(&evidence), None, "what named it before names it again");
    evidence.another_set_shown = false;
    assert!(crew.sheets.identified(&evidence).is_some(), "it would have been enough before");
}

#[test]
fn a_correction_takes_the_place_of_what_it_corrects() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    let answered = crew.does("a", "answers", answers());
    let mut wet = answers();
    wet["enclosure"]["wet"] = true.into();
    crew.does(
        "a",
        "correction",
        json!({ "corrects": answered, "reason": "looked again",
        "instead": { "kind": "answers", "version": 1, "body": wet } }),
    );
    assert!(crew.state.answers.values().all(|answers| answers.enclosure.wet));
    crew.refused(
        "b",
        "correction",
        json!({ "corrects": answered, "reason": "not mine" }),
        Rule::CorrectionNamesEvent,
    );
    crew.does("b", "stay-begun", json!({ "stay": "st-1" }));
    let number = crew.sees(
        "b",
        "s-1",
        json!({ "what": "meter-number", "stay": "st-1",
        "number": "MP12" }),
    );
    crew.refused(
        "b",
        "correction",
        json!({ "corrects": number, "reason": "misread" }),
        Rule::StayWithdrawnWhole,
    );
    let live = crew.reads("b", &base(), "L1", "N", "121.3");
    crew.refused(
        "b",
        "correction",
        json!({ "corrects": live, "reason": "typo" }),
        Rule::CorrectionNamesEvent,
    );
    assert_eq!(crew.state.volts.len(), 1);
}

#[test]
fn an_opening_in_the_name_of_safety_carries_no_clearance() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    let mut body = crew.operation("switch-opened", json!({ "switch": "P3-in" }));
    body["making_safe"] = true.into();
    let opened = crew.does("a", "operation", body);
    assert!(!crew.state.without_proof.contains_key(&EventId::new(opened).unwrap()));
    let mut body = crew.operation("switch-opened", json!({ "switch": "CO1" }));
    body["making_safe"] = true.into();
    let opened = EventId::new(crew.does("a", "operation", body)).unwrap();
    assert!(crew.state.without_proof[&opened].contains(&Rule::SwitchOrder));
    let offer = crew.offers();
    crew.refused("b", "clearance", offer, Rule::NoProofByDeviation);
}
