//! Every act: where it stands, what it asks, what it writes.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::LazyLock,
};

use serde_json::json;

use super::play::{Play, Said, Sheet};
use crate::{
    event::{Body, Event},
    gate::{Rule, Stage},
    job::fold,
    reading::InstrumentClass,
    screen::{Act, Screen},
    words::Words,
};

/// What each act asks where it has a place; points, slots and pairs stand for all of their kind.
/// An act that is not here asks nothing.
const ASKS: &[(Act, &[&str])] = &[
    (Act::Brief, &["subjects", "present"]),
    (Act::OwnInstrument, &["own-instrument"]),
    (
        Act::EnterInstrument,
        &[
            "instrument-name",
            "instrument-class",
            "category",
            "category-volts",
            "range",
            "resolution",
            "accuracy-percent",
            "accuracy-counts",
            "calibration-due",
        ],
    ),
    (Act::ProveInstrument, &["instrument", "known", "known-tolerance", "shown", "expected"]),
    (Act::WithdrawStay, &["stay", "reason"]),
    (Act::ReadMeterNumber, &["meter-number"]),
    (Act::ReadPlate, &["plate", "plate-service"]),
    (Act::TakePicture, &["photo"]),
    (Act::ReadPicture, &["picture", "picture-number"]),
    (Act::ReadSticker, &["picture", "sticker-code"]),
    (Act::CompareBilling, &["picture", "billed-premises"]),
    (Act::NotToBeHad, &["lack"]),
    (Act::CustomersWord, &["which-premises", "load-seen"]),
    (Act::SayWhere, &["which-premises", "load-seen"]),
    (Act::LookAtBase, &["metal", "size"]),
    (Act::ReadTag, &["pad", "tag", "tag-upside-down"]),
    (Act::TakeFix, &["pad", "lon", "lat", "radius"]),
    (Act::MarkSets, &["pad", "positions"]),
    (Act::LookAtSet, &["set", "metal", "size"]),
    (Act::Clamp, &["set", "leg"]),
    (Act::BareStep, &["set", "leg", "outlet", "load-amps", "load-off-amps", "load-on-amps"]),
    (Act::CompareTone, &["tone-on", "tone-off"]),
    (Act::MarkerAtBase, &["marker"]),
    (Act::MarkerAtSet, &["set", "marker"]),
    (Act::BeginRun, &["outlet", "load-amps", "load-tolerance"]),
    (Act::WriteKeys, &["placement", "load-off-amps", "slot", "before-amps", "after-amps"]),
    (
        Act::Answer,
        &[
            "set",
            "bolt",
            "runs-per-leg",
            "meters-on-set",
            "front",
            "case-volts",
            "wet",
            "cabinet-damage",
            "animals",
        ],
    ),
    (Act::ReadRotation, &["rotation"]),
    (
        Act::PullMeter,
        &[
            "number-in-hand",
            "meter-form",
            "bypass",
            "main-open",
            "own-sources",
            "damage-or-heat",
            "metering",
        ],
    ),
    (Act::ReadBase, &["volts", "known-source"]),
    (Act::ReadBus, &["volts", "known-source"]),
    (Act::ReadAmps, &["set", "leg", "amps"]),
    (Act::Lift, &["set", "leg", "runs-lifted", "loosened-amps"]),
    (Act::Secure, &["end"]),
    (Act::ReadPoint, &["volts", "known-source"]),
    (Act::ReadLifted, &["volts"]),
    (Act::ReadLoad, &["switch", "phase", "clamp", "amps"]),
    (Act::OpenSwitch, &["switch"]),
    (Act::LockAndTag, &["switch"]),
    (Act::RelievePressure, &["pad"]),
    (Act::PutGround, &["node"]),
    (Act::Offer, &["to", "how-offered"]),
    (Act::AcceptWitnessed, &["stood-by"]),
    (Act::Refuse, &["reason"]),
    (Act::WorkDone, &["findings"]),
    (Act::Transfer, &["to", "how-tested"]),
    (Act::Release, &["all-clear"]),
    (
        Act::Abandon,
        &[
            "clearance",
            "second-person",
            "reason",
            "attempts",
            "looked-for-people",
            "seen-clear",
            "base-closed",
        ],
    ),
    (Act::EndLink, &["clearance"]),
    (Act::Inspect, &["findings", "may-be-energised"]),
    (Act::TakeGround, &["node"]),
    (Act::TakeLock, &["switch"]),
    (Act::ReadInsulation, &["both-ends-free", "megohms"]),
    (Act::VerifyNeutral, &["neutral-tight"]),
    (Act::Land, &["leg"]),
    (Act::MeasureLoop, &["switch", "volts-across"]),
    (Act::CloseSwitch, &["switch"]),
    (Act::ReadSupply, &["volts", "known-source"]),
    (
        Act::TestNeutral,
        &["loaded-leg", "unloaded-leg", "volts-without-load", "volts-with-load", "load-amps-now"],
    ),
    (Act::SetMeter, &["number-in-hand"]),
    (Act::CorrectMap, &["claim", "found-instead"]),
    (Act::TakeBack, &["entry", "reason"]),
    (Act::Deviate, &["rule", "reason", "second-person"]),
    (Act::Interrupt, &["interrupted-by"]),
    (Act::WrongDrop, &["who-lost-supply", "told", "life-support-asked", "their-main-off"]),
    (Act::SettleConflict, &["conflict", "stands", "finding"]),
    (Act::Resume, &["back-to", "gone-over"]),
    (Act::Close, &["summary"]),
    (Act::Stop, &["stop-reason", "made-safe"]),
];

static SHEETS: LazyLock<(Sheet, Sheet)> = LazyLock::new(|| (Sheet::new(), Sheet::with_generator()));
/// Played once for all tests.
pub(super) static JOBS: LazyLock<Vec<Play<'static>>> =
    LazyLock::new(|| snapshots(&SHEETS.0, &SHEETS.1));

/// A job at every round of two plays, and in the states beside the straight way.
fn snapshots<'a>(sheet: &'a Sheet, own: &'a Sheet) -> Vec<Play<'a>> {
    let mut all = Vec::new();
    for sheet in [sheet, own] {
        let mut play = Play::new(sheet);
        all.push(play.clone());
        play.begins();
        while play.state.stage != Stage::Closed {
            all.push(play.clone());
            assert!(!play.round().is_empty(), "{}", play.what_they_see());
        }
        all.push(play);
    }
    let mut beside: Vec<Play<'a>> = Vec::new();
    let held = all.iter().find(|play| play.state.stage == Stage::HandedOver).unwrap();
    let mut stopped = held.clone();
    stopped.does("c", Act::Stop, &[]);
    beside.push(stopped);
    let dead = all.iter().find(|play| play.state.stage == Stage::ProvenDead).unwrap();
    // The round that proves by opening offers by link as well: here it is offered on this phone.
    let mut here = all.iter().rfind(|play| play.state.stage == Stage::Opened).unwrap().clone();
    here.does("a", Act::ProveByOpening, &[]);
    here.does("b", Act::Offer, &[("to", "lw-c"), ("how-offered", "here")]);
    beside.push(here);
    let mut grounded = dead.clone();
    grounded.does("b", Act::PutGround, &[("node", "P1V2")]);
    grounded.does("a", Act::LockAndTag, &[("switch", "CO2")]);
    beside.push(grounded);
    let mut apart = dead.clone();
    let refused = json!({ "id": "apart", "kind": "operation", "version": 1,
        "at": { "wall_ms": 1, "boot": "x", "mono_ms": 1 }, "device": "phone-a", "person": "lw-a",
        "body": { "operation": { "op": "leg-landed", "pad": "P1", "position": "2", "leg": "L1" } } });
    let refused: Event = Event::from_value(refused).unwrap();
    fold(&mut apart.state, &apart.sheets, &refused);
    assert!(!apart.state.open_conflicts().is_empty());
    beside.push(apart);
    let found = all.iter().find(|play| play.state.stage == Stage::Found).unwrap();
    let mut tools = found.clone();
    tools.does(
        "a",
        Act::EnterInstrument,
        &[
            ("instrument-name", "rotation-1"),
            ("instrument-class", "phase-rotation"),
            ("category", "cat-iv"),
            ("category-volts", "600"),
            ("range", "600"),
            ("resolution", "1"),
            ("accuracy-percent", "1"),
            ("accuracy-counts", "1"),
            ("calibration-due", "2030-01-01"),
        ],
    );
    beside.push(tools);
    // A house where no load can be switched.
    let mut tone = found.clone();
    tone.enters("b", "tone-1", "tone-set", "100", "1");
    beside.push(tone.clone());
    tone.does("b", Act::ToneOn, &[]);
    beside.push(tone);
    all.extend(beside);
    all
}

/// The name that stands for all fields of a kind.
fn kind_of(field: &str) -> &str {
    for kind in ["slot", "megohms", "tone-on", "tone-off"] {
        if field.starts_with(kind) {
            return kind;
        }
    }
    let named = ["volts-without-load", "volts-with-load", "volts-across"].contains(&field);
    if field.starts_with("volts-") && !named { "volts" } else { field }
}

#[test]
fn every_act_has_a_place_and_asks_what_is_written_here() {
    let mut asked: BTreeMap<Act, BTreeSet<String>> = BTreeMap::new();
    for play in JOBS.iter() {
        for who in ["a", "b", "c", "d"] {
            let shown = play.shown(who);
            for offer in &shown.acts {
                let fields = asked.entry(offer.act).or_default();
                fields.extend(offer.asks.iter().map(|ask| kind_of(&ask.field).to_owned()));
            }
            let acts: BTreeSet<Act> = shown.acts.iter().map(|offer| offer.act).collect();
            assert_eq!(acts.len(), shown.acts.len(), "an act stands twice");
            assert!(acts.contains(&Act::Stop));
        }
    }
    let wanted: BTreeMap<Act, BTreeSet<String>> = Act::ALL
        .iter()
        .map(|act| {
            let fields = ASKS.iter().find(|(of, _)| of == act).map_or(&[][..], |(_, f)| f);
            (*act, fields.iter().map(|field| (*field).to_owned()).collect())
        })
        .collect();
    for (act, fields) in &wanted {
        let found = asked.get(act).unwrap_or_else(|| panic!("{act:?} has no place anywhere"));
        // Which instrument, set, end or clearance is asked for only where there are several.
        let sometimes = ["clamp", "tester", "clearance", "rotation-meter", "insulation-tester"];
        let found: BTreeSet<String> = found
            .iter()
            .filter(|field| fields.contains(*field) || !sometimes.contains(&field.as_str()))
            .cloned()
            .collect();
        assert_eq!(found, *fields, "{act:?}");
    }
}

#[test]
fn every_sentence_on_every_screen_is_in_the_words() {
    let words = Words::english().unwrap();
    for play in JOBS.iter() {
        for who in ["a", "b", "c", "d"] {
            let shown = play.shown(who);
            let shown = serde_json::to_value(&shown).unwrap();
            each_sentence(&shown, &mut |id, text| {
                assert!(id == "name" || words.has(id), "{id}: {text}");
                assert!(!text.is_empty() && !text.contains('{'), "{id}: {text}");
            });
        }
    }
}

/// Every sentence of a JSON value: what has an id, a text and a spoken form.
fn each_sentence(value: &serde_json::Value, see: &mut impl FnMut(&str, &str)) {
    match value {
        serde_json::Value::Object(members) => {
            if let (Some(id), Some(text), Some(_)) =
                (members.get("id"), members.get("text"), members.get("spoken"))
            {
                see(id.as_str().unwrap(), text.as_str().unwrap());
            }
            members.values().for_each(|member| each_sentence(member, see));
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| each_sentence(item, see)),
        _ => {}
    }
}

#[test]
fn what_does_not_fit_is_said_with_its_field() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.does("b", Act::BeginStay, &[]);
    let long = "x".repeat(301);
    let far = "x".repeat(2001);
    for (who, act, answers, field, reason) in [
        ("b", Act::ReadMeterNumber, vec![], "meter-number", "unfit-missing"),
        ("b", Act::ReadMeterNumber, vec![("meter-number", "  ")], "meter-number", "unfit-missing"),
        (
            "b",
            Act::ReadMeterNumber,
            vec![("meter-number", &*long)],
            "meter-number",
            "unfit-too-long",
        ),
        (
            "b",
            Act::ReadMeterNumber,
            vec![("meter-number", &*far)],
            "meter-number",
            "unfit-far-too-long",
        ),
        (
            "b",
            Act::ReadMeterNumber,
            vec![("meter-number", "1"), ("meter-number", "2")],
            "meter-number",
            "unfit-twice",
        ),
        (
            "b",
            Act::ReadMeterNumber,
            vec![("meter-number", "1\u{7}")],
            "meter-number",
            "unfit-character",
        ),
        ("b", Act::ReadMeterNumber, vec![("amps", "1")], "amps", "unfit-not-asked"),
        ("b", Act::TakePicture, vec![("photo", "12")], "photo", "unfit-photo"),
        (
            "b",
            Act::ReadPlate,
            vec![("plate", "2"), ("plate-service", "V9")],
            "plate-service",
            "unfit-not-a-choice",
        ),
        (
            "b",
            Act::BeginRun,
            vec![("outlet", "o"), ("load-amps", "12,5"), ("load-tolerance", "5")],
            "load-amps",
            "unfit-number",
        ),
        (
            "a",
            Act::MarkSets,
            vec![("pad", "P1"), ("positions", "1 2 1")],
            "positions",
            "unfit-positions",
        ),
        ("b", Act::BeginStay, vec![], "", "unfit-stay-open"),
        ("a", Act::EndStay, vec![], "", "unfit-no-stay"),
        ("a", Act::EndLink, vec![], "", "unfit-not-your-act"),
        ("c", Act::Land, vec![], "", "unfit-not-your-act"),
        ("x", Act::Stop, vec![], "", "unfit-not-on-crew"),
    ] {
        let before = play.state.clone();
        match play.tries(who, act, &answers) {
            Err(Said::Unfit(unfit)) => {
                assert_eq!((unfit.field.as_str(), unfit.reason.id.as_str()), (field, reason));
                assert!(play.words.has(reason));
            }
            other => panic!("{act:?} {answers:?}: {other:?}"),
        }
        assert_eq!(play.state, before);
    }
}

#[test]
fn the_gate_refuses_what_the_screens_do_not_lead_to() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.does("a", Act::MarkSets, &[("pad", "P1"), ("positions", "1 2 3")]);
    let lift =
        [("set", "position:P1:2"), ("leg", "L1"), ("runs-lifted", "1"), ("loosened-amps", "0.05")];
    match play.tries("a", Act::Lift, &lift) {
        Err(Said::Refused(refusal)) => assert_eq!(refusal.rule, Rule::QuestionsBeforeLift),
        other => panic!("{other:?}"),
    }
    assert!(play.state.physical.legs.is_empty());
}

#[test]
fn an_acceptance_without_an_own_test_is_refused() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| !play.state.clearances.blocks_closing().is_empty());
    let Screen::Handover { held: false, points, .. } = play.shown("c").screen else { panic!() };
    assert!(points.len() > 10 && points.iter().filter(|point| point.next).count() == 1);
    match play.tries("c", Act::Accept, &[]) {
        Err(Said::Refused(refusal)) => assert_eq!(refusal.rule, Rule::HolderTestsBeforeAccept),
        other => panic!("{other:?}"),
    }
    // Nor is anything landed while it is on offer.
    match play.tries("a", Act::Land, &[("leg", "L1")]) {
        Err(Said::Refused(refusal)) => assert_eq!(refusal.rule, Rule::NoLinkOfferBeforeClosing),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_stopped_job_is_led_back_by_its_screen() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| !play.state.physical.legs.is_empty());
    play.does("b", Act::Stop, &[("stop-reason", "water in the cabinet")]);
    assert!(matches!(play.shown("a").screen, Screen::Stopped { .. }));
    // The end that hangs free is made safe although the job is stopped.
    assert_eq!(play.shown("a").acts[0].act, Act::Secure);
    play.does("a", Act::Secure, &[("end", "P1:2:L1")]);
    assert_eq!(play.shown("a").acts[0].act, Act::Resume);
    play.does("a", Act::Resume, &[("back-to", "opened"), ("gone-over", "dry again")]);
    assert!(play.state.stopped.is_none());
    play.until(|play| play.state.stage == Stage::Closed);
}

#[test]
fn a_declared_deviation_lets_the_next_entry_pass_and_no_other() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| play.state.stage == Stage::Returned);
    play.does("a", Act::VerifyNeutral, &[("neutral-tight", "yes")]);
    let declared = [
        ("rule", "insulation-compared-before-landing"),
        ("reason", "the tester fell in the bay"),
        ("second-person", "lw-b"),
    ];
    play.does("a", Act::Deviate, &declared);
    play.does("a", Act::Land, &[("leg", "L1")]);
    assert_eq!(play.state.without_proof.len(), 1);
    match play.tries("a", Act::Land, &[("leg", "L2")]) {
        Err(Said::Refused(refusal)) => {
            assert_eq!(refusal.rule, Rule::InsulationComparedBeforeLanding);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_was_read_wrong_is_taken_back() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.does("a", Act::MarkSets, &[("pad", "P1"), ("positions", "1 3")]);
    let entry = play.shown("a").acts.iter().find(|o| o.act == Act::TakeBack).unwrap().clone();
    let crate::screen::AskKind::One { of } = &entry.asks[0].kind else { panic!() };
    play.does("a", Act::TakeBack, &[("entry", &of[1].value), ("reason", "there are three")]);
    assert!(play.state.evidence.as_ref().unwrap().marks.is_empty());
}

#[test]
fn a_picture_is_read_by_somebody_else_and_names_the_run() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| play.state.pictures.iter().any(|picture| picture.run.is_some()));
    let photo = play.state.pictures.last().unwrap().photo.clone();
    let read = [("picture", photo.as_str()), ("picture-number", "MP12")];
    assert_eq!(play.drafts("b", Act::ReadPicture, &read).unwrap_err().reason.id, "unfit-not-asked");
    for who in ["a", "d"] {
        let draft = play.drafts(who, Act::ReadPicture, &read).unwrap();
        let Body::Sighting(made) = &*draft.statements[0].0 else { panic!() };
        let seen = serde_json::to_value(&made.seen).unwrap();
        assert_eq!(seen["photo"], photo.as_str());
        assert!(seen["run"].is_string());
    }
}

#[test]
fn what_an_instrument_leaves_unsaid_is_as_usual_for_its_class() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    let nameplate = [
        ("instrument-name", "own-1"),
        ("instrument-class", "tone-set"),
        ("category", "cat-iv"),
        ("category-volts", "300"),
        ("accuracy-counts", "7"),
        ("calibration-due", "2030-01-01"),
    ];
    play.does("a", Act::EnterInstrument, &nameplate);
    let evidence = play.state.evidence.as_ref().unwrap();
    let entered = evidence.instruments.values().find(|i| i.id.as_str() == "own-1").unwrap();
    let usual = InstrumentClass::ToneSet.usual();
    assert_eq!((entered.range, entered.resolution), (usual.range, usual.resolution));
    assert_eq!((entered.accuracy.percent, entered.accuracy.counts), (usual.accuracy.percent, 7));
    let without_category: Vec<_> =
        nameplate.into_iter().filter(|(field, _)| *field != "category-volts").collect();
    match play.tries("a", Act::EnterInstrument, &without_category) {
        Err(Said::Unfit(unfit)) => assert_eq!(unfit.field, "category-volts"),
        other => panic!("{other:?}"),
    }
}
