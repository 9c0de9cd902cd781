//! Who is to be heard stands on the screen of who waits; the word leads on for who owes it.

use super::play::{Play, Sheet};
use crate::{gate::Stage, screen::Act};

fn first(play: &Play<'_>, who: &str) -> Act {
    play.shown(who).acts[0].act
}

#[test]
fn who_waits_is_told_for_whom_and_who_owes_a_word_is_led_to_it() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    let offered = |play: &Play<'_>, who: &str, act: Act| {
        play.shown(who).acts.iter().any(|offer| offer.act == act)
    };
    play.until(|play| play.state.stage == Stage::Opened);
    assert!(!offered(&play, "a", Act::Inspect), "one leg is up: nobody's word is asked for");
    play.until(|play| play.state.stage == Stage::HandedOver);
    assert!(!offered(&play, "a", Act::Inspect), "somebody holds a clearance");
    let back = |play: &Play<'_>| play.state.clearances.blocks_closing().is_empty();
    play.until(|play| play.state.stage == Stage::HandedOver && back(play));
    for who in ["a", "b"] {
        assert_eq!(first(&play, who), Act::Inspect);
    }
    let word = [("findings", "fine"), ("may-be-energised", "yes")];
    play.does("a", Act::Inspect, &word);
    let shown = play.shown("a");
    assert_eq!(shown.headline.id, "headline-wait-for-word");
    assert!(shown.headline.text.contains("phone-b (lw-b)"), "{}", shown.headline.text);
    assert!(!offered(&play, "a", Act::Inspect), "said once is said");
    assert_eq!(first(&play, "b"), Act::Inspect);
    play.does("b", Act::Inspect, &word);
    assert_ne!(play.shown("a").headline.id, "headline-wait-for-word");
    play.until(|play| play.state.stage == Stage::Closed);
}
