//! Marks put on anew: nobody is led to another set by a letter that hung there before.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::crew::{Crew, Desk};
use crate::{
    event::{Body, Statement},
    gate::Rule,
    quantity::{AssetId, DeviceId, Instant, PersonId},
    screen::{self, Act, Answer, Device},
    sighting::{Handle, SetAt, resolve},
    words::Words,
};

/// The three sets of P1 marked twice, the letters moved by one. The names of the goes stand the other
/// way round as texts.
fn marked_twice(desk: &Desk) -> Crew<'_> {
    let mut crew = Crew::new(desk);
    crew.opens_job();
    for (go, letters) in [("m-pad-8", ["A", "B", "C"]), ("m-pad-23", ["C", "A", "B"])] {
        let sets: Vec<Value> = letters
            .iter()
            .zip(["1", "2", "3"])
            .map(|(mark, position)| json!({ "mark": mark, "position": position }))
            .collect();
        crew.does("a", "marks-put", json!({ "marks": { "id": go, "pad": "P1", "sets": sets } }));
    }
    crew
}

fn by_mark(go: &str) -> Value {
    json!({ "by": "mark", "marks": go, "mark": "A" })
}

#[test]
fn a_set_is_not_found_by_marks_that_were_put_on_anew() {
    let desk = Desk::new();
    let mut crew = marked_twice(&desk);
    let placement = |go: &str| {
        json!({ "placement": format!("pl-{go}"), "pad": "P1", "handle": by_mark(go), "leg": "L1",
            "instrument": "clamp-1" })
    };
    crew.refused("a", "placement", placement("m-pad-8"), Rule::NewestMarksAlone);
    crew.does("a", "placement", placement("m-pad-23"));
    let lift = |go: &str| {
        json!({ "operation": { "op": "leg-lifted", "pad": "P1", "handle": by_mark(go), "leg": "L1",
            "runs": 1, "loosened_amps": "0.05" } })
    };
    crew.refused("a", "operation", lift("m-pad-8"), Rule::NewestMarksAlone);
}

#[test]
fn a_screen_offers_the_marks_that_are_on_now() {
    let desk = Desk::new();
    let crew = marked_twice(&desk);
    let words = Words::english().unwrap();
    let secrets = BTreeMap::new();
    let device = Device {
        device: &DeviceId::new("phone-a").unwrap(),
        now: &Instant { wall_ms: 0, boot: "b".into(), mono_ms: 0 },
        written: 9,
        chance: &[0; 32],
        secrets: &secrets,
        instruments: &[],
        head: None,
    };
    let who = PersonId::new("lw-a").unwrap();
    let answers = [("set", "mark:P1:A"), ("leg", "L1")]
        .map(|(field, value)| Answer { field: field.into(), value: value.into() });
    let draft =
        screen::draft(&crew.state, &crew.sheets, &who, Act::Clamp, &answers, &device, &words);
    let statements = draft.unwrap().statements;
    let Some(Statement(body)) = statements.first() else { panic!("nothing is written") };
    let Body::Placement(placed) = &**body else { panic!("{body:?}") };
    assert!(matches!(&placed.handle, Handle::Mark { marks, .. } if marks.as_str() == "m-pad-23"));
    let evidence = crew.state.evidence.as_ref().unwrap();
    let set = resolve(evidence, &placed.pad, &placed.handle);
    let second = SetAt { pad: AssetId::new("P1").unwrap(), position: "2".into() };
    assert_eq!(set, Some(second));
}
