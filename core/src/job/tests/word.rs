//! Whose word a closing step waits for, and what binds who has given it.

use serde_json::{Value, json};

use super::crew::{Crew, Desk};
use crate::{
    event::Event,
    gate::Rule,
    job::{Outcome, decide, fold, fold_knowing},
    quantity::{DeviceId, EventId},
};

fn landed(crew: &Crew<'_>, leg: &str) -> Value {
    crew.operation("leg-landed", json!({ "pad": "P1", "position": "2", "leg": leg }))
}

fn opened(desk: &Desk) -> Crew<'_> {
    let mut crew = Crew::new(desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    crew.readies_landing();
    crew
}

fn inspected(crew: &Crew<'_>, who: &str, id: &str, released: bool) -> Event {
    let body = crew.operation(
        "inspected",
        json!({ "service": "P1V2", "findings": "fine", "released": released }),
    );
    crew.event(who, id, "operation", body)
}

fn phone(name: &str) -> DeviceId {
    DeviceId::new(name).unwrap()
}

#[test]
fn every_other_phone_is_heard_before_anything_closes() {
    let desk = Desk::new();
    let mut crew = Crew { third: true, ..Crew::new(&desk) };
    crew.ready_to_lift();
    crew.opens_and_proves();
    crew.readies_landing();
    for (who, waits) in
        [("b", &["phone-b (lw-b)", "phone-e (lw-e)"][..]), ("e", &["phone-e (lw-e)"])]
    {
        let body = landed(&crew, "L1");
        let refusal = crew.tries("a", "operation", body).unwrap_err();
        assert_eq!(refusal.rule, Rule::ClearSaidBeforeClosing);
        assert_eq!(refusal.which, waits);
        let waited_for = crew.state.waits_for_word_of(&phone("phone-a"));
        assert_eq!(waited_for.len(), waits.len());
        crew.says_clear(who);
    }
    crew.lands();
    // Who has landed the legs has to say so as well before another phone goes on.
    assert!(!crew.state.word_stands(&phone("phone-a")));
    assert_eq!(crew.state.waits_for_word_of(&phone("phone-b")).len(), 1);
}

#[test]
fn one_leg_goes_back_by_the_phone_that_lifted_it() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.lifts("L1");
    crew.checks_first_leg();
    crew.readies_landing();
    assert!(!crew.state.was_all_open());
    let body = landed(&crew, "L1");
    crew.refused("b", "operation", body.clone(), Rule::ClearSaidBeforeClosing);
    crew.does("a", "operation", body);
}

#[test]
fn one_leg_goes_back_by_another_phone_on_the_word_of_the_first() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.lifts("L1");
    crew.checks_first_leg();
    crew.readies_landing();
    crew.says_clear("a");
    let body = landed(&crew, "L1");
    crew.does("b", "operation", body);
}

#[test]
fn a_word_counts_only_in_the_knowledge_of_all_that_is_open() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.lifts("L1");
    crew.checks_first_leg();
    let until_here = crew.state.ids.clone();
    crew.lifts_last_and_proves();
    crew.readies_landing();
    // Written apart, without having seen the second leg come up; folded after it all the same.
    let early = inspected(&crew, "b", "early", true);
    let had_seen = |id: &EventId| until_here.contains(id);
    let outcome = fold_knowing(&mut crew.state, &crew.sheets, &early, &had_seen);
    assert!(matches!(outcome, Outcome::Applied { .. }), "{outcome:?}");
    let body = landed(&crew, "L1");
    crew.refused("a", "operation", body, Rule::ClearSaidBeforeClosing);
    assert!(!crew.state.said_clear(&phone("phone-b")));
}

#[test]
fn a_word_counts_only_for_who_has_heard_it() {
    let desk = Desk::new();
    let mut crew = opened(&desk);
    let word = crew.says_clear("b");
    let body = landed(&crew, "L1");
    let land = crew.event("a", "apart", "operation", body);
    let had_seen = |id: &EventId| id.as_str() != word;
    let outcome = fold_knowing(&mut crew.state.clone(), &crew.sheets, &land, &had_seen);
    let Outcome::Refused(refusal) = outcome else { panic!("{outcome:?}") };
    assert_eq!(refusal.rule, Rule::ClearSaidBeforeClosing);
    assert!(decide(&crew.state, &crew.sheets, land).is_ok());
}

#[test]
fn who_has_said_clear_offers_nothing_until_more_is_opened() {
    let desk = Desk::new();
    let mut crew = opened(&desk);
    crew.says_clear("b");
    let offer = crew.offers();
    crew.refused("b", "clearance", offer.clone(), Rule::NoOfferAfterClear);
    // Taken back, nobody closes on it; an offer it does not bring back.
    let again = inspected(&crew, "b", "not-yet", false);
    fold(&mut crew.state, &crew.sheets, &again);
    let body = landed(&crew, "L1");
    crew.refused("a", "operation", body, Rule::ClearSaidBeforeClosing);
    crew.refused("b", "clearance", offer.clone(), Rule::NoOfferAfterClear);
    // The other phone has not said clear: it may offer on a proof of its own.
    crew.reads_dead("a");
    crew.proves("a", "pr-dead-a", json!({ "of": "dead", "service": "P1V2" }));
    let mut own = offer;
    own["act"]["proof"] = "pr-dead-a".into();
    crew.does("a", "clearance", own);
}

#[test]
fn what_is_opened_anew_has_to_be_heard_by_all_before_an_offer() {
    let desk = Desk::new();
    let mut crew = opened(&desk);
    crew.says_clear("a");
    crew.says_clear("b");
    let body = crew.operation("switch-opened", json!({ "switch": "P3-in" }));
    crew.does("b", "operation", body);
    assert!(!crew.state.said_clear(&phone("phone-b")), "more is open than the word knew of");
    let offer = crew.offers();
    let unaware = crew.tries("b", "clearance", offer.clone()).unwrap_err();
    assert_eq!(unaware.rule, Rule::OpeningHeardBeforeOffer);
    assert_eq!(unaware.which, ["phone-a (lw-a)"]);
    // Anything that the other phone writes shows that it has heard.
    crew.sees("a", "s-count", json!({ "what": "set-count", "pad": "P1", "count": 3 }));
    crew.does("b", "clearance", offer);
}

fn crew_offer() -> Value {
    json!({ "clearance": "c-1", "act": { "op": "offered", "to": "lw-c", "proof": "pr-dead",
        "record_sha256": "0".repeat(64), "by_link": false } })
}

#[test]
fn nothing_is_offered_on_a_phone_that_nobody_waits_for() {
    let desk = Desk::new();
    let crew = opened(&desk);
    for device in ["phone-x", "phone-d"] {
        let mut offer = crew.event("b", "offer", "clearance", crew_offer());
        offer.device = phone(device);
        let refusal = decide(&crew.state, &crew.sheets, offer).unwrap_err();
        assert_eq!(refusal.rule, Rule::ClearanceAsOffered);
        assert_eq!(refusal.which, [device]);
    }
}

#[test]
fn an_inspection_put_right_is_taken_back_and_gives_no_word() {
    let desk = Desk::new();
    let mut crew = opened(&desk);
    let word = crew.says_clear("b");
    let instead = |released: bool| {
        json!({ "kind": "operation", "version": 1, "body": { "operation": { "op": "inspected",
            "service": "P1V2", "findings": "loose jaw", "released": released } } })
    };
    let put_right = |released: bool| json!({ "corrects": word, "reason": "looked again", "instead": instead(released) });
    crew.does("b", "correction", put_right(false));
    assert!(!crew.state.word_stands(&phone("phone-b")));
    crew.does("b", "correction", put_right(true));
    let body = landed(&crew, "L1");
    crew.refused("a", "operation", body, Rule::ClearSaidBeforeClosing);
    let offer = crew.offers();
    crew.refused("b", "clearance", offer, Rule::NoOfferAfterClear);
}

#[test]
fn a_refused_word_that_was_settled_frees_nobody_and_binds_its_phone() {
    let desk = Desk::new();
    let mut crew = opened(&desk);
    let offer = crew.offers();
    crew.does("b", "clearance", offer);
    let word = inspected(&crew, "a", "word", true);
    let outcome = fold(&mut crew.state, &crew.sheets, &word);
    assert!(matches!(outcome, Outcome::Refused(_)), "{outcome:?}");
    let refuse = json!({ "clearance": "c-1", "act": { "op": "refused", "reason": "not ready" } });
    crew.does("c", "clearance", refuse);
    let settled = json!({ "refused": "word", "stands": true, "finding": "asked" });
    crew.does("b", "conflict-settled", settled);
    assert!(crew.state.said_clear(&phone("phone-a")));
    assert!(!crew.state.word_stands(&phone("phone-a")));
    let mut offer = crew.offers();
    offer["clearance"] = "c-2".into();
    crew.refused("a", "clearance", offer, Rule::NoOfferAfterClear);
}

#[test]
fn a_deviation_with_a_second_person_passes_for_a_word() {
    let desk = Desk::new();
    let mut crew = opened(&desk);
    let step = format!("e{}", crew.events.len() + 2);
    crew.does(
        "a",
        "deviation",
        json!({ "rule": "clear-said-before-closing", "step": step,
            "reason": "their phone fell into the water", "second_person": "lw-b" }),
    );
    let body = landed(&crew, "L1");
    let landed = crew.does("a", "operation", body);
    let marked = &crew.state.without_proof[&EventId::new(landed).unwrap()];
    assert!(marked.contains(&Rule::ClearSaidBeforeClosing));
}
