//! Instruments that are entered once on a phone, and offered to its next job.

use coldlug_core::{event::Body, quantity::JobId};
use coldlug_phone::{Act, Answer, AskKind, PhoneError};
use serde_json::{Value, json};

use super::{
    fake_desk::FakeDesk,
    shell::{Hand, says, two_phones},
};

const NAMEPLATE: [(&str, &str); 9] = [
    ("instrument-name", "clamp 1"),
    ("instrument-class", "clamp"),
    ("category", "cat-iv"),
    ("category-volts", "600"),
    ("range", "400"),
    ("resolution", "0.1"),
    ("accuracy-percent", "2"),
    ("accuracy-counts", "5"),
    ("calibration-due", "2030-01-01"),
];

fn does(hand: &Hand, job: &str, act: Act, given: &[(&str, &str)]) -> Result<(), PhoneError> {
    let answer = |(field, value): &(&str, &str)| Answer {
        field: (*field).to_owned(),
        value: (*value).to_owned(),
    };
    let answers = given.iter().map(answer).collect();
    let draft = hand.phone.draft(job.into(), hand.person.into(), act, answers)?;
    hand.phone.act(job.into(), hand.person.into(), draft.statements)?;
    Ok(())
}

/// The phone's own instruments that a job is offered.
fn offered(hand: &Hand, job: &str) -> Vec<String> {
    let shown = hand.phone.screen(job.into(), hand.person.into()).unwrap();
    let Some(offer) = shown.acts.into_iter().find(|offer| offer.act == Act::OwnInstrument) else {
        return Vec::new();
    };
    let [ask] = offer.asks.as_slice() else { panic!("one tap: {:?}", offer.asks) };
    let AskKind::One { of } = &ask.kind else { panic!("{ask:?}") };
    of.iter().map(|choice| choice.value.clone()).collect()
}

/// What the instrument events of a job say.
fn entered(hand: &Hand, job: &str) -> Vec<Value> {
    hand.phone
        .look(job, |_, _, log| {
            let of_instrument = |body: &Body| match body {
                Body::Instrument(entered) => Some(serde_json::to_value(entered).unwrap()),
                _ => None,
            };
            let events = log.in_order().into_iter();
            events.filter_map(|entry| of_instrument(&entry.event().body)).collect()
        })
        .unwrap()
}

fn another_job(desk: &FakeDesk, hands: &[&Hand]) {
    desk.opens(&JobId::new("J-2").unwrap());
    for hand in hands {
        assert_eq!(hand.syncs().new_jobs, ["J-2"]);
    }
}

#[test]
fn what_was_entered_once_stands_in_the_next_job_by_one_tap_and_is_still_to_be_shown_right() {
    let (desk, mut a, b) = two_phones();
    assert_eq!(offered(&a, "J-1"), [""; 0]);
    does(&a, "J-1", Act::EnterInstrument, &NAMEPLATE).unwrap();
    assert_eq!(offered(&a, "J-1"), [""; 0], "the job has it");
    another_job(&desk, &[&a, &b]);
    a.reopens();
    assert_eq!(offered(&a, "J-2"), ["clamp-1"]);
    assert_eq!(offered(&b, "J-2"), [""; 0], "it is on the phone that entered it alone");
    does(&a, "J-2", Act::OwnInstrument, &[("own-instrument", "clamp-1")]).unwrap();
    assert_eq!(offered(&a, "J-2"), [""; 0]);
    assert_eq!(entered(&a, "J-2"), entered(&a, "J-1"), "the job has all of it, signed there");
    assert_eq!(entered(&a, "J-2").len(), 1);
    let proven = a.phone.look("J-2", |state, _, _| {
        state.evidence.as_ref().is_some_and(|evidence| !evidence.proven.is_empty())
    });
    assert!(!proven.unwrap(), "a check belongs to its job");
}

#[test]
fn one_that_was_entered_wrongly_is_kept_no_more_and_one_corrected_as_it_should_be() {
    let (desk, a, _) = two_phones();
    does(&a, "J-1", Act::EnterInstrument, &NAMEPLATE).unwrap();
    let mut other = NAMEPLATE;
    other[0].1 = "clamp 2";
    does(&a, "J-1", Act::EnterInstrument, &other).unwrap();
    let [first, second] = entered(&a, "J-1").try_into().unwrap();
    let back = json!({ "corrects": "phone-a-1", "reason": "another one" });
    a.acts(&[says("correction", &back)]).unwrap();
    let mut right = second;
    right["instrument"]["category_volts"] = json!("1000");
    let instead = json!({ "kind": "instrument", "version": 1, "body": right });
    let mend = json!({ "corrects": "phone-a-2", "instead": instead, "reason": "misread" });
    a.acts(&[says("correction", &mend)]).unwrap();
    another_job(&desk, &[&a]);
    assert_eq!(offered(&a, "J-2"), ["clamp-2"], "{first}");
    does(&a, "J-2", Act::OwnInstrument, &[("own-instrument", "clamp-2")]).unwrap();
    assert_eq!(entered(&a, "J-2"), [right]);
}

#[test]
fn what_an_electrician_entered_on_it_is_not_the_phones() {
    let (desk, a, _) = two_phones();
    let draft = |person: &str| {
        let answers = NAMEPLATE
            .map(|(field, value)| Answer { field: field.to_owned(), value: value.to_owned() });
        a.phone.draft("J-1".into(), person.into(), Act::EnterInstrument, answers.into()).unwrap()
    };
    a.phone.act("J-1".into(), "el-c".into(), draft("el-c").statements).unwrap();
    another_job(&desk, &[&a]);
    assert_eq!(offered(&a, "J-2"), [""; 0]);
}
