//! A crew of three and a desk on a small made-up sheet, for tests of whole jobs.

#![allow(
    clippy::needless_pass_by_value,
    clippy::unused_self,
    reason = "a test reads better when everything is done by the crew, with the JSON in place"
)]

use serde_json::{Value, json};

use crate::{
    event::{Event, Sha256Hex},
    gate::{Refusal, Rule},
    job::{Outcome, Sheets, State, decide, fold},
    mapsheet::fixture,
    plant::Plant,
    rule_sheet::RuleSheet,
    sighting::{Slot, seal},
};

/// The sheets of every test: pads P1 (three sets), P2, P3; the target is P1V2.
pub(crate) struct Desk {
    pub(crate) plant: Plant,
    pub(crate) rules: RuleSheet,
}

impl Desk {
    pub(crate) fn new() -> Self {
        Self { plant: fixture::plant_of(&fixture::features()), rules: RuleSheet::default() }
    }
}

/// People write on their phones: `a` and `b` are lineworkers, `c` the electrician, `d` the desk.
pub(crate) struct Crew<'a> {
    pub(crate) sheets: Sheets<'a>,
    pub(crate) state: State,
    pub(crate) events: Vec<Event>,
    pub(crate) now_s: i64,
    /// Whether a third lineworker, `e`, is on the crew with a phone of their own.
    pub(crate) third: bool,
}

pub(crate) fn code() -> Vec<Slot> {
    use Slot::{Change as C, Hold as H};
    vec![C, H, C, C, H, H, C, H, C, C]
}

impl<'a> Crew<'a> {
    pub(crate) fn new(desk: &'a Desk) -> Self {
        let sheets = Sheets::new(&desk.plant, &desk.rules);
        Self { sheets, state: State::default(), events: Vec::new(), now_s: 0, third: false }
    }

    pub(crate) fn wait(&mut self, s: i64) {
        self.now_s += s;
    }

    /// The event a person would write now.
    pub(crate) fn event(&self, who: &str, id: &str, kind: &str, body: Value) -> Event {
        let device = format!("phone-{who}");
        let at = json!({
            "wall_ms": 1_790_000_000_000_i64 + self.now_s * 1000,
            "boot": format!("{device}/1"), "mono_ms": self.now_s * 1000
        });
        Event::from_value(json!({
            "id": id, "kind": kind, "version": 1, "at": at, "device": device,
            "person": format!("lw-{who}"), "body": body
        }))
        .unwrap()
    }

    /// Decides and folds; both must say the same.
    pub(crate) fn tries(&mut self, who: &str, kind: &str, body: Value) -> Result<String, Refusal> {
        self.now_s += 1;
        let id = format!("e{}", self.events.len() + 1);
        let event = self.event(who, &id, kind, body);
        let decided = decide(&self.state, &self.sheets, event.clone());
        if let Err(refusal) = decided {
            let mut kept = self.state.clone();
            let outcome = fold(&mut kept, &self.sheets, &event);
            assert_eq!(outcome, Outcome::Refused(refusal.clone()));
            return Err(refusal);
        }
        let outcome = fold(&mut self.state, &self.sheets, &event);
        assert!(matches!(outcome, Outcome::Applied { .. }), "{outcome:?}");
        self.events.push(event);
        Ok(id)
    }

    /// Does it; a refusal fails the test.
    #[track_caller]
    pub(crate) fn does(&mut self, who: &str, kind: &str, body: Value) -> String {
        let said = format!("{kind} {body}");
        match self.tries(who, kind, body) {
            Ok(id) => id,
            Err(refusal) => panic!("{said}: refused by {refusal}"),
        }
    }

    /// Must be refused by this rule.
    #[track_caller]
    pub(crate) fn refused(&mut self, who: &str, kind: &str, body: Value, rule: Rule) {
        let said = format!("{kind} {body}");
        let refusal = self.tries(who, kind, body).expect_err(&said);
        assert_eq!(refusal.rule, rule, "{said}: {refusal}");
    }

    pub(crate) fn operation(&self, op: &str, more: Value) -> Value {
        let mut operation = more;
        operation["op"] = op.into();
        json!({ "operation": operation })
    }

    #[track_caller]
    pub(crate) fn operates(&mut self, who: &str, op: &str, more: Value) -> String {
        let body = self.operation(op, more);
        self.does(who, "operation", body)
    }

    pub(crate) fn opens_job(&mut self) {
        let body = self.job_opened("base-line-side");
        self.does("a", "job-opened", body);
        let subjects: Vec<_> =
            crate::caution::Subject::ALL.iter().map(|subject| subject.id()).collect();
        let present = ["lw-a", "lw-b", "lw-c"];
        self.does("a", "briefed", json!({ "subjects": subjects, "present": present }));
        for (who, id, class, range, resolution) in [
            ("a", "clamp-1", "clamp", "400", "0.01"),
            ("a", "tester-1", "low-impedance-voltmeter", "600", "0.1"),
            ("b", "tester-2", "low-impedance-voltmeter", "600", "0.1"),
            ("c", "tester-3", "low-impedance-voltmeter", "600", "0.1"),
            ("a", "megger-1", "insulation-tester", "1000", "0.1"),
        ] {
            self.does(
                who,
                "instrument",
                json!({ "instrument": {
                    "id": id, "class": class, "category": "CAT IV", "category_volts": "600",
                    "range": range, "resolution": resolution,
                    "accuracy": { "percent": "1", "counts": 3 },
                    "calibration_due_ms": 1_900_000_000_000_i64
                }}),
            );
        }
        self.does("a", "instrument-proven", json!({
            "instrument": "clamp-1", "known": "the crew's heater", "known_tolerance_percent": "5",
            "shown": { "unit": "amps", "shown_amps": "12.45", "expected_amps": "12.5" }
        }));
    }

    pub(crate) fn job_opened(&self, scope: &str) -> Value {
        let hash = |text: &str| text.parse::<Sha256Hex>().unwrap();
        let mut opened = json!({
            "job": "J-1", "service": "P1V2", "scope": scope, "work": "meter base",
            "map_sheet_sha256": hash(self.sheets.map_hash()),
            "rule_sheet_sha256": hash(self.sheets.rules_hash()),
            "rules_edition": crate::gate::EDITION,
            "crew": [
                { "person": "lw-a", "role": "lineworker", "device": "phone-a" },
                { "person": "lw-b", "role": "lineworker", "device": "phone-b" },
                { "person": "lw-c", "role": "electrician" },
                { "person": "lw-d", "role": "dispatcher", "device": "phone-d" }
            ]
        });
        if self.third {
            let third = json!({ "person": "lw-e", "role": "lineworker", "device": "phone-e" });
            opened["crew"].as_array_mut().unwrap().push(third);
        }
        opened
    }

    pub(crate) fn begins_stay(&mut self) {
        self.does("b", "stay-begun", json!({ "stay": "st-1" }));
        self.sees(
            "b",
            "s-number",
            json!({
                "what": "meter-number", "stay": "st-1", "number": "MP12"
            }),
        );
        self.sees(
            "b",
            "s-plate",
            json!({
                "what": "address-plate", "stay": "st-1", "plate": "2 Ropewalk Steps",
                "service": "P1V2"
            }),
        );
        self.photo("s-photo", None);
    }

    #[track_caller]
    pub(crate) fn sees(&mut self, who: &str, id: &str, seen: Value) -> String {
        self.does(who, "sighting", json!({ "sighting": id, "seen": seen }))
    }

    fn photo(&mut self, id: &str, run: Option<&str>) {
        let mut taken = json!({ "photo": "0".repeat(64), "stay": "st-1" });
        if let Some(run) = run {
            taken["run"] = run.into();
        }
        self.does("b", "picture", taken);
        let taken_at = self.events.last().unwrap().at.clone();
        let mut seen = json!({
            "what": "meter-photo", "stay": "st-1", "taken_by": "lw-b", "taken_at": taken_at,
            "photo": "0".repeat(64), "number": "MP12"
        });
        if let Some(run) = run {
            seen["run"] = run.into();
        }
        self.sees("a", id, seen);
    }

    /// Marks the three sets of P1 and reads two coded steps on set 2, found once by mark and once
    /// by position, with a picture inside each run.
    pub(crate) fn identifies(&mut self) {
        let sets = json!([
            { "mark": "A", "position": "1" }, { "mark": "B", "position": "2" },
            { "mark": "C", "position": "3" }
        ]);
        self.does(
            "a",
            "marks-put",
            json!({
                "marks": { "id": "m-1", "pad": "P1", "sets": sets }
            }),
        );
        let mark = json!({ "by": "mark", "marks": "m-1", "mark": "B" });
        let position = json!({ "by": "position", "position": "2" });
        for (n, handle, leg) in [(1, mark, "L1"), (2, position, "L2")] {
            self.coded_step(n, &handle, leg);
        }
    }

    /// A coded step on set 2 with a picture inside the run.
    pub(crate) fn coded_step(&mut self, n: usize, handle: &Value, leg: &str) {
        self.places(&format!("pl-{n}"), handle, leg);
        self.does("b", "switching-run-begun", run_begun(n));
        self.now_s += 60;
        self.photo(&format!("s-in-{n}"), Some(&format!("r-{n}")));
        self.now_s += 60;
        self.sees("a", &format!("s-step-{n}"), keys_of(n));
        self.does("b", "switching-run-ended", run_ended(n));
    }

    #[track_caller]
    pub(crate) fn places(&mut self, id: &str, handle: &Value, leg: &str) {
        self.does(
            "a",
            "placement",
            json!({
                "placement": id, "pad": "P1", "handle": handle, "leg": leg, "instrument": "clamp-1"
            }),
        );
    }
}

fn salt(n: usize) -> String {
    format!("00112233445566778899aabbccddee{n:02}")
}

/// The n-th run begins.
pub(crate) fn run_begun(n: usize) -> Value {
    json!({
        "run": format!("r-{n}"), "stay": "st-1", "outlet": format!("outlet {n}"),
        "load_amps": "12.5", "load_tolerance_percent": "5",
        "sealed": seal(&code(), &salt(n)), "size_slot": 2
    })
}

/// The n-th run ends, and its code is opened.
pub(crate) fn run_ended(n: usize) -> Value {
    json!({ "run": format!("r-{n}"), "code": code(), "salt": salt(n) })
}

/// What the pad reads of the n-th run on the n-th placement, where the load is the target's.
pub(crate) fn keys_of(n: usize) -> Value {
    let amps = |on: bool| if on { "14.60" } else { "2.10" };
    let mut on = false;
    let slots = code().into_iter().enumerate().map(|(i, slot)| {
        let was = on;
        on ^= slot == Slot::Change;
        let key = match (was, on) {
            (false, true) => "rose",
            (true, false) => "fell",
            _ => "same",
        };
        if i == 2 {
            json!({ "key": key, "amps": { "before_amps": amps(was), "after_amps": amps(on) } })
        } else {
            json!({ "key": key })
        }
    });
    json!({
        "what": "load-step", "run": format!("r-{n}"), "placement": format!("pl-{n}"),
        "load_off_amps": "2.10", "slots": slots.collect::<Vec<_>>()
    })
}
