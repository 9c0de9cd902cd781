//! Every id that readings, proofs, briefings and clearances give has a sentence.

use super::Words;
use crate::{
    caution::Subject,
    clearance::Why,
    exchange::ExchangeError,
    fault_current::Assumed,
    isolate::AmpsLack,
    job::{GroundLack, LoopLack},
    mapsheet::SourceFindingId,
    proof::{Hypothesis, LiveNote, MissingDead},
    reading::{Doubt, Loading, MayBe, NeutralCurrent, Refusal, SupplySign},
    sighting::Ground,
};

#[test]
fn every_reason_has_a_sentence() {
    let words = Words::english().unwrap();
    let lists: [Vec<&str>; 15] = [
        Ground::ALL.iter().map(|ground| ground.id()).collect(),
        AmpsLack::ALL.iter().map(|why| why.id()).collect(),
        GroundLack::ALL.iter().map(|why| why.id()).collect(),
        LoopLack::ALL.iter().map(|why| why.id()).collect(),
        Assumed::ALL.iter().map(|taken| taken.id()).collect(),
        SupplySign::ALL.iter().map(|sign| sign.id()).collect(),
        Refusal::ALL.iter().map(|why| why.id()).collect(),
        Doubt::ALL.iter().map(|why| why.id()).collect(),
        Subject::ALL.iter().map(|subject| subject.id()).collect(),
        Hypothesis::ALL.iter().map(|likely| likely.id()).collect(),
        LiveNote::ALL.iter().map(|note| note.id()).collect(),
        Why::ALL.iter().map(|why| why.id()).collect(),
        ExchangeError::ALL.iter().map(|why| why.id()).collect(),
        MissingDead::IDS.to_vec(),
        SourceFindingId::ALL.iter().map(|id| id.id()).collect(),
    ];
    let silent: Vec<&str> = lists.into_iter().flatten().filter(|id| !words.has(id)).collect();
    assert_eq!(silent, [""; 0]);
}

#[test]
fn every_outcome_of_a_test_has_a_sentence() {
    let words = Words::english().unwrap();
    let text = include_str!("../reconcile/settle/test.rs");
    let ids: Vec<&str> = text.split('"').filter(|id| id.starts_with("outcome-")).collect();
    assert!(ids.len() > 10, "{ids:?}");
    for id in ids {
        assert!(words.has(id), "no sentence for {id}");
    }
}

/// Ids that are written out in the modules of proofs, each beside the variant it belongs to.
#[test]
fn every_id_written_in_the_proofs_has_a_sentence() {
    let words = Words::english().unwrap();
    let sources = [
        include_str!("../proof/dead.rs"),
        include_str!("../proof/opening.rs"),
        include_str!("../proof/leg.rs"),
        include_str!("../proof/live.rs"),
        include_str!("../proof/insulation.rs"),
        include_str!("../reading/circuit.rs"),
        include_str!("../reading/circuit/neutral.rs"),
        include_str!("../reading/decide.rs"),
    ];
    let mut seen = 0;
    for line in sources.iter().flat_map(|text| text.lines()) {
        let Some((_, after)) = line.split_once("=> \"") else { continue };
        let Some((id, _)) = after.split_once('"') else { continue };
        assert!(words.has(id), "no sentence for {id}");
        seen += 1;
    }
    assert!(seen > 40, "only {seen} ids found: are they written another way now?");
}

/// Whatever is held against a reading, and whatever readings say together, comes with what to do.
#[test]
fn every_refusal_and_doubt_says_what_to_do() {
    /// How an order begins.
    const ORDERS: &[&str] = &[
        "Check",
        "Clamp",
        "Enter",
        "Find",
        "Go",
        "Keep",
        "Look",
        "Mark",
        "Open",
        "Put",
        "Read",
        "Show",
        "Stop",
        "Take",
        "Treat",
        "Use",
        "begin",
        "one tester reads",
        "put",
        "read",
        "treat",
    ];
    let words = Words::english().unwrap();
    let returns = [NeutralCurrent::OtherReturn, NeutralCurrent::MissingReturn];
    let ids = Refusal::ALL
        .iter()
        .map(|why| why.id())
        .chain(Doubt::ALL.iter().map(|why| why.id()))
        .chain(AmpsLack::ALL.iter().map(|why| why.id()))
        .chain(GroundLack::ALL.iter().map(|why| why.id()))
        .chain(LoopLack::ALL.iter().map(|why| why.id()))
        .chain(SupplySign::ALL.iter().map(|sign| sign.id()))
        .chain(returns.into_iter().filter_map(NeutralCurrent::id))
        .chain([Loading::NoLoad, Loading::Undecided, Loading::Loaded].map(Loading::id))
        .chain([MayBe::Induced, MayBe::Backfeed, MayBe::OpenNeutral].map(MayBe::id))
        .chain(["circuit-law-broken", "circuit-fed-through"])
        .chain(MissingDead::IDS.iter().copied());
    for id in ids {
        let text = words.plain(id).text;
        let parts = text.split(['.', ':', ',']).map(str::trim);
        let orders = parts.filter(|part| {
            ORDERS.iter().any(|order| {
                part.strip_prefix(order)
                    .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
            })
        });
        assert!(orders.count() > 0, "{id} says nothing to do: {text}");
    }
}
