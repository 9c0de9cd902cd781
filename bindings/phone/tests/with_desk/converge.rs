//! Two phones and a desk end with the same entries and the same state.

use coldlug_core::{job::State, log::verify};

use super::{
    fake_desk::job,
    shell::{Hand, briefing, stay, two_phones},
};

fn state(hand: &Hand) -> State {
    hand.phone.look("J-1", |state, _, _| state.clone()).unwrap()
}

fn same(a: &Hand, b: &Hand) {
    assert_eq!(a.events(), b.events());
    assert_eq!(state(a), state(b));
}

#[test]
fn what_two_phones_write_apart_is_on_both_after_they_synced() {
    let (desk, a, b) = two_phones();
    a.acts(&[briefing()]).unwrap();
    b.acts(&[briefing()]).unwrap();
    b.acts(&[stay(true, "st-1"), stay(false, "st-1")]).unwrap();
    desk.writes("interrupted", &serde_json::json!({ "by": "break" }));
    assert_eq!(a.syncs().sent, 1);
    let report = b.syncs();
    assert_eq!((report.sent, report.received), (3, 2));
    assert!(report.complete && report.problems.is_empty(), "{report:?}");
    assert_eq!(a.syncs().received, 3);
    same(&a, &b);
    assert_eq!(a.events().len(), 6);
    assert_eq!(desk.inside().jobs[&job()].log.len(), 6);
    // Nothing is left: a sync says so with one message.
    let report = a.syncs();
    assert_eq!((report.sent, report.received, report.complete), (0, 0, true));
    assert!(verify(&a.record()).is_ok());
}

#[test]
fn a_job_is_shown_once_its_sheets_and_its_opening_are_here() {
    let (desk, a, _) = two_phones();
    let shown = a.phone.jobs().unwrap();
    assert_eq!(shown.headline.text, "1 jobs");
    let screen = a.phone.screen("J-1".into(), "lw-a".into()).unwrap();
    assert!(!screen.physical.is_empty() && !screen.acts.is_empty());
    let stranger = Hand::enrolled(&desk, "lw-x");
    assert_eq!(stranger.phone.jobs().unwrap().headline.text, "0 jobs");
}

#[test]
fn small_answers_come_in_many_rounds_and_lose_nothing() {
    let (desk, a, b) = two_phones();
    for number in 0..20 {
        a.acts(&[stay(true, &format!("st-{number}")), stay(false, &format!("st-{number}"))])
            .unwrap();
    }
    assert_eq!(a.syncs().sent, 40);
    desk.inside().most = 1;
    let report = b.syncs();
    assert_eq!((report.received, report.complete), (40, true));
    same(&a, &b);
}

#[test]
fn many_threads_write_one_whole_chain() {
    let (_, a, b) = two_phones();
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let a = &a;
            scope.spawn(move || {
                for number in 0..5 {
                    let name = format!("st-{thread}-{number}");
                    // Another thread may have a stay open: refused is fine, torn is not.
                    let _ = a.acts(&[stay(true, &name), stay(false, &name)]);
                }
            });
        }
    });
    a.syncs();
    b.syncs();
    same(&a, &b);
    assert!(a.events().len() > 10);
}
