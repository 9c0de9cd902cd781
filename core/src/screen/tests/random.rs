//! Whatever is answered, nothing panics, and what comes out is events or a reason in words.

use proptest::prelude::*;

use super::acts::JOBS;
use crate::screen::{Act, AskKind};

/// An answer of the kind that is asked, or any text.
fn answer(kind: &AskKind, pick: usize, text: &str) -> String {
    if pick.is_multiple_of(5) {
        return text.to_owned();
    }
    match kind {
        AskKind::One { of } | AskKind::Several { of } if !of.is_empty() => {
            of[pick % of.len()].value.clone()
        }
        AskKind::YesNo => if pick.is_multiple_of(2) { "yes" } else { "no" }.to_owned(),
        AskKind::Number { .. } => format!("{}", pick % 300),
        AskKind::Photo => "ab".repeat(32),
        _ => text.to_owned(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn any_answers_give_events_or_a_reason(
        job: prop::sample::Index, act: prop::sample::Index, offered: bool,
        who in "[a-d]", picks in proptest::collection::vec(0_usize..1000, 30),
        text in "\\PC{0,40}", strange in proptest::option::of("[a-z-]{1,12}"),
    ) {
        let mut play = job.get(&JOBS).clone();
        let shown = play.shown(&who);
        let act = if offered { act.get(&shown.acts).act } else { *act.get(Act::ALL) };
        let asks = shown.acts.iter().find(|offer| offer.act == act).map(|offer| &offer.asks[..]);
        let mut answers: Vec<(String, String)> = asks
            .unwrap_or_default()
            .iter()
            .zip(&picks)
            .map(|(ask, pick)| (ask.field.clone(), answer(&ask.kind, *pick, &text)))
            .collect();
        answers.extend(strange.map(|field| (field, text.clone())));
        let answers: Vec<(&str, &str)> =
            answers.iter().map(|(field, value)| (field.as_str(), value.as_str())).collect();
        match play.drafts(&who, act, &answers) {
            Err(unfit) => {
                prop_assert!(play.words.has(&unfit.reason.id), "{}", unfit.reason.id);
                let whole = !unfit.reason.text.contains('{');
                prop_assert!(whole, "a place is left open");
            }
            Ok(draft) => {
                prop_assert!(!draft.statements.is_empty());
                let before = play.state.clone();
                if let Err(refusal) = play.write(&who, &draft.statements) {
                    prop_assert!(play.words.has(refusal.rule.id()));
                    prop_assert_eq!(play.state, before, "half applied");
                }
            }
        }
    }
}
