//! Screens, drafts, and what a draft leaves on this phone alone.

use coldlug_phone::{Act, Answer, PhoneError, STORE, Screen};
use coldlug_store::Store;

use super::{
    fake_desk::job,
    shell::{Hand, briefing, two_phones},
};

fn answers(given: &[(&str, &str)]) -> Vec<Answer> {
    let answer = |(field, value): &(&str, &str)| Answer {
        field: (*field).to_owned(),
        value: (*value).to_owned(),
    };
    given.iter().map(answer).collect()
}

fn drafts(hand: &Hand, act: Act, given: &[(&str, &str)]) -> Result<Vec<String>, PhoneError> {
    let draft = hand.phone.draft("J-1".into(), hand.person.into(), act, answers(given))?;
    Ok(draft.statements)
}

fn writes(hand: &Hand, statements: Vec<String>) {
    hand.phone.act("J-1".into(), hand.person.into(), statements).unwrap();
}

fn screen(hand: &Hand) -> Screen {
    hand.phone.screen("J-1".into(), hand.person.into()).unwrap().screen
}

/// How many secrets the store of a closed phone keeps.
fn secrets_kept(hand: &Hand) -> usize {
    hand.phone.close().unwrap();
    let store = Store::open(&hand.folder.join(STORE)).unwrap();
    let kept = store.secrets(&job()).unwrap().len();
    store.close().unwrap();
    kept
}

const RUN: [(&str, &str); 3] =
    [("outlet", "beside the panel"), ("load-amps", "12.5"), ("load-tolerance", "5")];

#[test]
fn the_code_of_a_run_stays_on_its_doers_phone_and_survives_a_kill() {
    let (_, a, mut b) = two_phones();
    b.acts(&[briefing()]).unwrap();
    writes(&b, drafts(&b, Act::BeginStay, &[]).unwrap());
    let first = drafts(&b, Act::BeginRun, &RUN).unwrap();
    let second = drafts(&b, Act::BeginRun, &RUN).unwrap();
    assert_ne!(first, second, "a code is drawn anew for every draft");
    writes(&b, first);
    b.reopens();
    let Screen::Switching { prompts, .. } = screen(&b) else { panic!("{:?}", screen(&b)) };
    assert!(prompts.len() >= 10);
    // Nobody else has it, synced or not.
    b.syncs();
    a.syncs();
    assert!(!matches!(screen(&a), Screen::Switching { .. }));
    let elsewhere = drafts(&a, Act::EndRun, &[]).unwrap_err();
    assert!(matches!(elsewhere, PhoneError::Unfit { .. }), "{elsewhere:?}");
    // The code that was kept is the one of the draft that was written: it opens the seal.
    let opened = drafts(&b, Act::EndRun, &[]).unwrap();
    writes(&b, opened);
    assert!(!matches!(screen(&b), Screen::Switching { .. }));
    assert_eq!(secrets_kept(&b), 1);
    assert_eq!(secrets_kept(&a), 0);
}

#[test]
fn an_act_that_is_refused_leaves_no_secret() {
    let (_, a, _) = two_phones();
    a.acts(&[briefing()]).unwrap();
    writes(&a, drafts(&a, Act::BeginStay, &[]).unwrap());
    let run = drafts(&a, Act::BeginRun, &RUN).unwrap();
    writes(&a, drafts(&a, Act::EndStay, &[]).unwrap());
    let late = a.phone.act("J-1".into(), "lw-a".into(), run).unwrap_err();
    assert!(matches!(late, PhoneError::Refused { .. }), "{late:?}");
    assert!(!matches!(screen(&a), Screen::Switching { .. }));
    assert_eq!(secrets_kept(&a), 0);
}

#[test]
fn an_answer_that_does_not_fit_names_its_field_and_writes_nothing() {
    let (_, a, _) = two_phones();
    a.acts(&[briefing()]).unwrap();
    writes(&a, drafts(&a, Act::BeginStay, &[]).unwrap());
    let before = a.record();
    let mut given = RUN;
    given[1].1 = "twelve";
    match drafts(&a, Act::BeginRun, &given).unwrap_err() {
        PhoneError::Unfit { field, said } => {
            assert_eq!(field, "load-amps");
            assert!(said.text.contains(' '));
        }
        other => panic!("{other:?}"),
    }
    let nobody = a.phone.draft("J-1".into(), "lw-z".into(), Act::Stop, Vec::new());
    assert!(matches!(nobody, Err(PhoneError::Unfit { .. })), "{nobody:?}");
    assert_eq!(a.record(), before);
}
