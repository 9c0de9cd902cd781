//! What comes from the desk is checked as if a stranger had sent it.

use std::sync::Arc;

use coldlug_core::{
    exchange::{Head, OfferAnswer, seal},
    log::{DeviceKey, Log},
    quantity::DeviceId,
};
use coldlug_phone::PhoneError;
use serde_json::json;

use super::{
    fake_desk::{FakeDesk, desk as desk_name, job},
    sheet::map_sheet,
    shell::{Fate, Hand, Way, briefing, stay, two_phones},
};

#[test]
fn answers_of_another_key_to_another_message_or_cut_are_not_the_desks() {
    let (desk, a, _) = two_phones();
    a.acts(&[briefing()]).unwrap();
    let body =
        OfferAnswer { receipts: Vec::new(), jobs: std::collections::BTreeMap::new(), more: false };
    let head = Head { from: desk_name(), number: 1, answers: None, body };
    let forged = seal(&head, &[], &DeviceKey::from_seed(&[1; 32])).unwrap();
    let unasked = seal(&head, &[], &DeviceKey::from_seed(&[9; 32])).unwrap();
    let before = a.record();
    for fates in [
        vec![Fate::Instead(200, forged)],
        vec![Fate::Instead(200, unasked)],
        vec![Fate::Through, Fate::Before],
    ] {
        let way = Way::fated(&desk, fates.clone());
        if fates.len() > 1 {
            // Fills what the way remembers.
            let _ = a.phone.link("J-1".into(), "cl-1".into(), "el-c".into(), way.clone());
        }
        let error = a.phone.sync(way).unwrap_err();
        assert!(matches!(error, PhoneError::NotTheDesk { .. }), "{error:?}");
        assert_eq!(a.record(), before);
    }
    assert!(a.syncs().complete);
}

#[test]
fn an_oversized_answer_is_not_read() {
    let (desk, a, _) = two_phones();
    let huge = Fate::Instead(200, vec![b'{'; 3 << 20]);
    let error = a.phone.sync(Way::fated(&desk, [huge])).unwrap_err();
    assert!(matches!(error, PhoneError::Offline { .. }), "{error:?}");
}

#[test]
fn a_forked_chain_is_reported_and_never_applied() {
    let (desk, a, b) = two_phones();
    a.acts(&[briefing()]).unwrap();
    a.syncs();
    b.syncs();
    let before = a.record();
    // The desk writes its chain anew.
    {
        let mut inside = desk.inside();
        let there = inside.jobs.get_mut(&job()).unwrap();
        let mut log = Log::new(job());
        for (device, key) in there.log.keys() {
            log.enrol(device.clone(), *key).unwrap();
        }
        there.log = log;
    }
    for _ in 0..3 {
        desk.writes("interrupted", &json!({ "by": "break" }));
    }
    let report = a.syncs();
    assert_eq!(report.received, 0);
    assert!(report.problems.iter().any(|one| one.said.id == "phone-fork"), "{report:?}");
    assert!(report.problems.iter().any(|one| one.said.id == "phone-entry-not-taken"));
    assert_eq!(a.record(), before);
    a.acts(&[stay(true, "st-1")]).unwrap();
}

#[test]
fn a_job_whose_sheets_are_not_the_pinned_ones_is_not_shown() {
    let desk = Arc::new(FakeDesk::new());
    let a = Hand::enrolled(&desk, "lw-a");
    desk.opens_job();
    let right = std::mem::replace(
        &mut desk.inside().jobs.get_mut(&job()).unwrap().map,
        map_sheet("Another one"),
    );
    let report = a.syncs();
    assert_eq!(report.new_jobs, [""; 0]);
    assert_eq!(report.problems[0].said.id, "phone-other-sheet");
    assert_eq!(a.phone.jobs().unwrap().headline.text, "0 jobs");
    let act = a.acts(&[briefing()]).unwrap_err();
    assert!(matches!(act, PhoneError::NoSuchJob { .. }));
    desk.inside().jobs.get_mut(&job()).unwrap().map = right;
    assert_eq!(a.syncs().new_jobs, ["J-1"]);
}

#[test]
fn another_key_for_a_known_device_is_a_problem_and_nothing_of_the_job_is_taken() {
    let (desk, a, _) = two_phones();
    {
        let mut inside = desk.inside();
        let there = inside.jobs.get_mut(&job()).unwrap();
        let mut log = Log::new(job());
        for (device, key) in there.log.keys() {
            let key = if device.as_str() == "phone-b" {
                DeviceKey::from_seed(&[4; 32]).public()
            } else {
                *key
            };
            log.enrol(device.clone(), key).unwrap();
        }
        there.log = log;
    }
    let report = a.syncs();
    assert_eq!(report.problems[0].said.id, "phone-other-key", "{report:?}");
    let b = DeviceId::new("phone-b").unwrap();
    let known = a.phone.look("J-1", |_, _, log| log.keys()[&b]).unwrap();
    assert_ne!(known, DeviceKey::from_seed(&[4; 32]).public());
}

#[test]
fn a_revoked_phone_is_told_so_and_keeps_what_it_has() {
    let (desk, a, _) = two_phones();
    a.acts(&[briefing()]).unwrap();
    desk.inside().devices.remove(&DeviceId::new("phone-a").unwrap());
    match a.phone.sync(Way::new(&desk)).unwrap_err() {
        PhoneError::NotTaken { id, .. } => assert_eq!(id, "device-not-enrolled"),
        other => panic!("{other:?}"),
    }
    assert_eq!(a.events().len(), 2);
}
