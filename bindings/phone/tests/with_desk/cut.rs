//! A sync that is cut anywhere loses nothing, and the next one goes on.

use coldlug_phone::PhoneError;

use super::{
    fake_desk::job,
    shell::{Fate, Hand, Way, briefing, stay, two_phones},
};

#[test]
fn whatever_message_or_answer_is_lost_both_sides_end_alike() {
    for lost in [Fate::Lost, Fate::AnswerLost] {
        for through in 0..4 {
            let desk = std::sync::Arc::new(super::fake_desk::FakeDesk::new());
            let mut a = Hand::enrolled(&desk, "lw-a");
            let b = Hand::enrolled(&desk, "lw-b");
            desk.opens_job();
            // The first sync fetches the opening and both sheets: three messages.
            let mut fates = vec![Fate::Through; through];
            fates.push(lost.clone());
            let cut = a.phone.sync(Way::fated(&desk, fates.clone()));
            assert_eq!(through < 3, matches!(cut, Err(PhoneError::Offline { .. })), "{cut:?}");
            a.reopens();
            a.syncs();
            a.acts(&[briefing(), stay(true, "st-1"), stay(false, "st-1")]).unwrap();
            let _ = a.phone.sync(Way::fated(&desk, [lost.clone()]));
            a.reopens();
            let report = a.syncs();
            assert!(report.complete && report.problems.is_empty(), "{report:?}");
            b.syncs();
            assert_eq!(a.events(), b.events());
            assert_eq!(desk.inside().jobs[&job()].log.len(), 4);
        }
    }
}

#[test]
fn without_a_way_there_everything_goes_on_but_the_sync() {
    let (desk, a, _) = two_phones();
    let offline = a.phone.sync(Way::fated(&desk, [Fate::Lost])).unwrap_err();
    assert!(matches!(offline, PhoneError::Offline { .. }));
    a.acts(&[briefing()]).unwrap();
    let page = Fate::Instead(200, b"<html>Log in to this network</html>\n".to_vec());
    let portal = a.phone.sync(Way::fated(&desk, [page])).unwrap_err();
    assert!(matches!(portal, PhoneError::Offline { .. }), "{portal:?}");
    let broken = Fate::Instead(502, vec![b'x'; 100_000]);
    let gateway = a.phone.sync(Way::fated(&desk, [broken])).unwrap_err();
    assert!(matches!(gateway, PhoneError::Offline { .. }), "{gateway:?}");
    assert_eq!(a.syncs().sent, 1);
}
