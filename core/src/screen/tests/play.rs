//! People who know nothing but their screens: they read what is shown and answer what is asked.

#![allow(clippy::needless_pass_by_value, reason = "a test reads better with the answers in place")]

use std::collections::BTreeMap;

use serde_json::json;

use crate::{
    event::{Event, Sha256Hex, Statement},
    gate::{EDITION, Refusal},
    job::{Outcome, Sheets, State, decide, fold},
    mapsheet::fixture,
    plant::Plant,
    quantity::{DeviceId, Instant, PersonId},
    reading::{Instrument, InstrumentClass, Usual},
    rule_sheet::{Category, RuleSheet},
    screen::{Act, Answer, Device, Draft, Shown, Unfit, draft, event_name, screen},
    words::Words,
};

/// The sheets of every play: pads P1 (three sets), P2, P3; the target is P1V2.
pub(super) struct Sheet {
    pub(super) plant: Plant,
    pub(super) rules: RuleSheet,
    pub(super) words: Words,
}

impl Sheet {
    pub(super) fn new() -> Self {
        Self {
            plant: fixture::plant_of(&fixture::features()),
            rules: RuleSheet::default(),
            words: Words::english().unwrap(),
        }
    }
}

impl Sheet {
    /// Each leg of the target's set has two runs.
    pub(super) fn with_two_runs() -> Self {
        let features = fixture::changed("P1-set2", "runs", json!(2));
        Self { plant: fixture::plant_of(&features), ..Self::new() }
    }

    /// The target has a generator of its own.
    pub(super) fn with_generator() -> Self {
        let own = json!([{ "type": "generator", "kw": 8, "transfer_switch": false }]);
        let features = fixture::changed("P1V2", "customer_sources", own);
        Self { plant: fixture::plant_of(&features), ..Self::new() }
    }
}

/// A job and the phones on it. `a` and `b` are lineworkers, `c` the electrician, `d` the dispatcher;
/// `c` writes on the desk's device.
#[derive(Clone)]
pub(super) struct Play<'a> {
    pub(super) sheets: Sheets<'a>,
    pub(super) words: &'a Words,
    pub(super) state: State,
    pub(super) now_s: i64,
    pub(super) secrets: BTreeMap<String, BTreeMap<String, String>>,
    written: BTreeMap<String, u64>,
    /// Instruments that the phone of `a` keeps over jobs.
    pub(super) kept: Vec<Instrument>,
}

/// A tester of some class that a phone keeps.
pub(super) fn kept(id: &str, class: InstrumentClass) -> Instrument {
    let Usual { range, resolution, accuracy, .. } = class.usual();
    Instrument {
        id: id.try_into().unwrap(),
        class,
        category: Category::Four,
        category_volts: "600".parse().unwrap(),
        range,
        resolution,
        accuracy,
        calibration_due_ms: 1_900_000_000_000,
    }
}

/// What became of an act.
#[derive(Debug)]
pub(super) enum Said {
    Unfit(Unfit),
    Refused(Refusal),
}

impl<'a> Play<'a> {
    /// A job that the desk has opened.
    pub(super) fn new(sheet: &'a Sheet) -> Self {
        Self::with_scope(sheet, "base-line-side")
    }

    /// The same, with something else to be made dead.
    pub(super) fn with_scope(sheet: &'a Sheet, scope: &str) -> Self {
        let sheets = Sheets::new(&sheet.plant, &sheet.rules);
        let opened = json!({ "kind": "job-opened", "version": 1, "body": {
            "job": "J-1", "service": "P1V2", "scope": scope, "work": "meter base",
            "map_sheet_sha256": sheets.map_hash(), "rule_sheet_sha256": sheets.rules_hash(),
            "rules_edition": EDITION,
            "crew": [
                { "person": "lw-a", "role": "lineworker", "device": "phone-a" },
                { "person": "lw-b", "role": "lineworker", "device": "phone-b" },
                { "person": "lw-c", "role": "electrician" },
                { "person": "lw-d", "role": "dispatcher", "device": "phone-d" }
            ]
        }});
        let mut play = Self {
            sheets,
            words: &sheet.words,
            state: State::default(),
            now_s: 0,
            secrets: BTreeMap::new(),
            written: BTreeMap::new(),
            kept: vec![kept("kept-1", InstrumentClass::TwoPoleTester)],
        };
        play.write("d", &[serde_json::from_value(opened).unwrap()]).unwrap();
        play
    }

    fn phone(who: &str) -> String {
        format!("phone-{}", if who == "c" { "d" } else { who })
    }

    fn now(&self, who: &str) -> Instant {
        let boot = format!("{}/1", Self::phone(who));
        Instant { wall_ms: 1_790_000_000_000 + self.now_s * 1000, boot, mono_ms: self.now_s * 1000 }
    }

    pub(super) fn with_device<T>(
        &self,
        who: &str,
        run: impl FnOnce(&PersonId, &Device<'_>) -> T,
    ) -> T {
        let phone = Self::phone(who);
        let none = BTreeMap::new();
        let written = self.written.get(&phone).copied().unwrap_or_default();
        let mut chance = [7; 32];
        chance[0] = u8::try_from(written % 251).unwrap();
        let device = Device {
            device: &DeviceId::new(phone.as_str()).unwrap(),
            now: &self.now(who),
            written,
            chance: &chance,
            secrets: self.secrets.get(&phone).unwrap_or(&none),
            instruments: if who == "a" { &self.kept } else { &[] },
            head: Some(Sha256Hex([9; 32])),
        };
        run(&PersonId::new(format!("lw-{who}")).unwrap(), &device)
    }

    pub(super) fn shown(&self, who: &str) -> Shown {
        self.with_device(who, |person, device| {
            screen(&self.state, &self.sheets, person, device, self.words)
        })
    }

    pub(super) fn drafts(
        &self,
        who: &str,
        act: Act,
        answers: &[(&str, &str)],
    ) -> Result<Draft, Unfit> {
        let answers: Vec<Answer> = answers
            .iter()
            .map(|(field, value)| Answer { field: (*field).into(), value: (*value).into() })
            .collect();
        self.with_device(who, |person, device| {
            draft(&self.state, &self.sheets, person, act, &answers, device, self.words)
        })
    }

    /// Decides and folds every statement, or none.
    pub(super) fn write(&mut self, who: &str, statements: &[Statement]) -> Result<(), Refusal> {
        let phone = Self::phone(who);
        let device = DeviceId::new(phone.as_str()).unwrap();
        let mut state = self.state.clone();
        let mut written = self.written.get(&phone).copied().unwrap_or_default();
        for statement in statements {
            written += 1;
            let event = Event {
                id: event_name(&device, written).unwrap(),
                at: self.now(who),
                device: device.clone(),
                person: PersonId::new(format!("lw-{who}")).unwrap(),
                late_wall_ms: None,
                body: (*statement.0).clone(),
            };
            for event in decide(&state, &self.sheets, event)? {
                let outcome = fold(&mut state, &self.sheets, &event);
                assert!(matches!(outcome, Outcome::Applied { .. }), "{outcome:?}");
            }
        }
        self.state = state;
        self.written.insert(phone, written);
        Ok(())
    }

    /// Does an act with these answers.
    pub(super) fn tries(
        &mut self,
        who: &str,
        act: Act,
        answers: &[(&str, &str)],
    ) -> Result<(), Said> {
        self.now_s += 5;
        let draft = self.drafts(who, act, answers).map_err(Said::Unfit)?;
        self.write(who, &draft.statements).map_err(Said::Refused)?;
        self.secrets.entry(Self::phone(who)).or_default().extend(draft.secrets);
        Ok(())
    }

    /// Does an act that stands on the person's screen; anything that does not fit fails the test.
    #[track_caller]
    pub(super) fn does(&mut self, who: &str, act: Act, answers: &[(&str, &str)]) {
        let shown = self.shown(who);
        assert!(
            shown.acts.iter().any(|offer| offer.act == act),
            "{act:?} is not offered to {who}: {:?}",
            shown.acts.iter().map(|offer| offer.act).collect::<Vec<_>>()
        );
        if let Err(why) = self.tries(who, act, answers) {
            panic!("{who} {act:?} {answers:?}: {why:?}");
        }
    }
}
