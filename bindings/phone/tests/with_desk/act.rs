//! Acts are written whole or not at all.

use coldlug_phone::PhoneError;
use serde_json::json;

use super::shell::{briefing, lift, says, stay, two_phones};

#[test]
fn a_refused_act_writes_nothing_and_names_its_rule() {
    let (_, mut a, _) = two_phones();
    let before = a.record();
    for statements in [vec![lift()], vec![briefing(), stay(true, "st-1"), lift()]] {
        match a.acts(&statements).unwrap_err() {
            PhoneError::Refused { rule, said, .. } => {
                assert_eq!(rule, said.id);
                assert!(said.text.contains(' '));
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(a.record(), before);
        a.reopens();
        assert_eq!(a.record(), before);
    }
    let receipt = a.acts(&[briefing(), stay(true, "st-1")]).unwrap();
    let names: Vec<&str> = receipt.written.iter().map(|one| one.event.as_str()).collect();
    assert_eq!(names, ["phone-a-1", "phone-a-2"]);
}

#[test]
fn statements_that_do_not_hold_are_invalid_and_nothing_is_written() {
    let (_, a, _) = two_phones();
    let before = a.record();
    let long = "x".repeat(70_000);
    let bad = [
        vec![],
        vec![json!("text")],
        vec![json!({ "kind": "briefed", "version": 1 })],
        vec![json!({ "kind": "briefed", "version": 1, "body": {}, "surprise": 1 })],
        vec![says("stay-begun", &json!({ "stay": long }))],
        vec![says("stay-begun", &json!({ "stay": 1.5 }))],
        vec![stay(true, "st-1"); 101],
    ];
    for statements in bad {
        let error = a.acts(&statements).unwrap_err();
        assert!(matches!(error, PhoneError::Invalid { .. }), "{error:?}");
    }
    let unknown = a.acts(&[says("of-tomorrow", &json!({}))]).unwrap_err();
    assert!(matches!(unknown, PhoneError::Refused { .. }), "{unknown:?}");
    let nobody = a.phone.act("J-1".into(), String::new(), vec![briefing().to_string()]);
    assert!(matches!(nobody, Err(PhoneError::Invalid { .. })));
    let elsewhere = a.phone.act("J-2".into(), "lw-a".into(), vec![briefing().to_string()]);
    assert!(matches!(elsewhere, Err(PhoneError::NoSuchJob { .. })));
    assert_eq!(a.record(), before);
}

#[test]
fn everything_is_kept_however_often_the_phone_is_killed() {
    let (_, mut a, b) = two_phones();
    let (_, whole, other) = two_phones();
    for (number, statements) in
        [vec![briefing()], vec![stay(true, "st-1"), stay(false, "st-1")], vec![stay(true, "st-2")]]
            .into_iter()
            .enumerate()
    {
        a.acts(&statements).unwrap();
        whole.acts(&statements).unwrap();
        a.reopens();
        if number == 1 {
            a.syncs();
            b.syncs();
            whole.syncs();
            other.syncs();
            a.reopens();
        }
    }
    assert_eq!(a.events(), whole.events());
}
