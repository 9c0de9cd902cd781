//! Every id that readings, proofs, briefings and clearances give has a sentence.

use super::Words;
use crate::{
    caution::Subject,
    clearance::Why,
    exchange::ExchangeError,
    proof::{Hypothesis, LiveNote, MissingDead},
    reading::{Doubt, Refusal},
};

#[test]
fn every_reason_has_a_sentence() {
    let words = Words::english().unwrap();
    let lists: [Vec<&str>; 8] = [
        Refusal::ALL.iter().map(|why| why.id()).collect(),
        Doubt::ALL.iter().map(|why| why.id()).collect(),
        Subject::ALL.iter().map(|subject| subject.id()).collect(),
        Hypothesis::ALL.iter().map(|likely| likely.id()).collect(),
        LiveNote::ALL.iter().map(|note| note.id()).collect(),
        Why::ALL.iter().map(|why| why.id()).collect(),
        ExchangeError::ALL.iter().map(|why| why.id()).collect(),
        MissingDead::IDS.to_vec(),
    ];
    let silent: Vec<&str> = lists.into_iter().flatten().filter(|id| !words.has(id)).collect();
    assert_eq!(silent, [""; 0]);
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
