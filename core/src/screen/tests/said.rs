//! Every id written in the sources of the screens has its sentence.

use crate::words::Words;

#[test]
fn every_id_of_the_asks_has_a_sentence() {
    let words = Words::english().unwrap();
    let sources = [
        include_str!("../ask/cabinet.rs"),
        include_str!("../ask/course.rs"),
        include_str!("../ask/form.rs"),
        include_str!("../ask/handing_over.rs"),
        include_str!("../ask/instruments.rs"),
        include_str!("../ask/mod.rs"),
        include_str!("../ask/opening.rs"),
        include_str!("../ask/premises.rs"),
        include_str!("../ask/proving.rs"),
        include_str!("../ask/readings.rs"),
        include_str!("../ask/restoring.rs"),
        include_str!("../ask/run.rs"),
        include_str!("../ask/scene.rs"),
        include_str!("../ask/switches.rs"),
        include_str!("../crew.rs"),
        include_str!("../electrician.rs"),
        include_str!("../handover.rs"),
        include_str!("../points.rs"),
        include_str!("../switching.rs"),
    ];
    let begins = [
        "ask-",
        "unfit-",
        "choice-",
        "point-",
        "prompt-",
        "class-",
        "category-",
        "key-",
        "hands-",
        "headline-",
        "metal-",
        "stage-",
        "said-",
        "proven-",
        "zone-",
    ];
    // Names in answers and in events that begin like an id and are none.
    let names = ["proven-live", "proven-dead"];
    let mut seen = 0;
    for text in sources {
        for literal in text.split('"').skip(1).step_by(2) {
            let plain = literal.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
            let is_id = begins
                .iter()
                .any(|begin| literal.len() > begin.len() && literal.starts_with(begin));
            if plain && is_id && !names.contains(&literal) {
                assert!(words.has(literal), "no sentence for {literal}");
                seen += 1;
            }
        }
    }
    assert!(seen > 250, "only {seen} ids found: are they written another way now?");
}
