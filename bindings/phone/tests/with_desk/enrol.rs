//! Enrolment: once, by the code, at the desk whose key was shown.

use std::sync::Arc;

use coldlug_phone::{PhoneError, read_invitation};

use super::{
    fake_desk::FakeDesk,
    shell::{Fate, Hand, Way},
};

#[test]
fn a_lost_answer_is_asked_for_again_with_the_same_key() {
    let desk = Arc::new(FakeDesk::new());
    let mut a = Hand::new(&desk, "lw-a");
    let lost = a.phone.enrol(desk.invites("phone-a"), Way::fated(&desk, [Fate::AnswerLost]));
    assert!(matches!(lost, Err(PhoneError::Offline { .. })));
    assert_eq!(a.phone.enrolment(), None);
    let key = a.drawer.seed.lock().unwrap().clone();
    a.reopens();
    let enrolment = a.enrols().unwrap();
    assert_eq!((enrolment.device.as_str(), enrolment.person.as_str()), ("phone-a", "lw-a"));
    assert_eq!(*a.drawer.seed.lock().unwrap(), key);
    a.reopens();
    assert_eq!(a.phone.enrolment(), Some(enrolment));
}

#[test]
fn a_desk_with_another_key_than_the_one_shown_enrols_nobody() {
    let desk = Arc::new(FakeDesk::new());
    let a = Hand::new(&desk, "lw-a");
    let mut invitation = desk.invites("phone-a");
    invitation.key_digits = "0123456789abcdef".into();
    let refused = a.phone.enrol(invitation, Way::new(&desk)).unwrap_err();
    assert!(matches!(refused, PhoneError::NotTheDesk { .. }), "{refused:?}");
    assert_eq!(a.phone.enrolment(), None);
    let sync = a.phone.sync(Way::new(&desk)).unwrap_err();
    assert!(matches!(sync, PhoneError::NotEnrolled { .. }));
}

#[test]
fn a_wrong_code_is_said_no_to_by_its_id() {
    let desk = Arc::new(FakeDesk::new());
    let a = Hand::new(&desk, "lw-a");
    let mut invitation = desk.invites("phone-a");
    invitation.code = "AAAAAAAAAA".into();
    match a.phone.enrol(invitation, Way::new(&desk)).unwrap_err() {
        PhoneError::NotTaken { id, .. } => assert_eq!(id, "code-not-valid"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn an_enrolled_phone_takes_no_other_name_and_keeps_counting() {
    let desk = Arc::new(FakeDesk::new());
    let a = Hand::enrolled(&desk, "lw-a");
    desk.opens_job();
    a.syncs();
    let other = a.phone.enrol(desk.invites("phone-b"), Way::new(&desk)).unwrap_err();
    assert!(matches!(other, PhoneError::Invalid { .. }), "{other:?}");
    a.enrols().unwrap();
    assert!(a.syncs().complete, "its numbers go on");
}

#[test]
fn an_enrolled_phone_takes_no_other_desk_and_tells_it_nothing() {
    let desk = Arc::new(FakeDesk::new());
    let a = Hand::enrolled(&desk, "lw-a");
    let mut invitation = desk.invites("phone-a");
    invitation.desk_url = "http://elsewhere.invalid".into();
    invitation.key_digits = "0123456789abcdef".into();
    let way = Way::new(&desk);
    let refused = a.phone.enrol(invitation.clone(), way.clone()).unwrap_err();
    assert!(matches!(refused, PhoneError::NotTheDesk { .. }), "{refused:?}");
    assert_eq!(way.sent.load(std::sync::atomic::Ordering::SeqCst), 0);
    // The same desk under another address counts only once it has answered there.
    invitation.key_digits = desk.invites("phone-a").key_digits;
    let lost = a.phone.enrol(invitation, Way::fated(&desk, [Fate::Lost]));
    assert!(matches!(lost, Err(PhoneError::Offline { .. })));
    assert_eq!(a.phone.enrolment().unwrap().desk_url, super::fake_desk::URL);
}

#[test]
fn a_phone_whose_key_is_gone_writes_nothing_and_says_so() {
    let desk = Arc::new(FakeDesk::new());
    let mut a = Hand::enrolled(&desk, "lw-a");
    desk.opens_job();
    a.syncs();
    *a.drawer.seed.lock().unwrap() = None;
    a.reopens();
    let error = a.acts(&[super::shell::briefing()]).unwrap_err();
    assert!(matches!(error, PhoneError::NotEnrolled { .. }), "{error:?}");
    assert!(a.phone.screen("J-1".into(), "lw-a".into()).is_ok(), "what is known is still shown");
}

#[test]
fn the_text_of_a_code_is_read_and_what_is_none_is_refused() {
    let text = "http://desk.invalid/enrol#K7WMHT3RXP.phone-a.0123456789abcdef";
    assert_eq!(read_invitation(text.into()).unwrap().device, "phone-a");
    let error = read_invitation("http://desk.invalid/".into()).unwrap_err();
    assert!(matches!(error, PhoneError::Invalid { .. }));
}
