//! Tags and locks that the record knows of stand before what would close under them.

use serde_json::json;

use super::crew::{Crew, Desk};
use crate::gate::Rule;

/// What the plan tags is closed, set or landed only without its tag.
#[test]
fn nothing_is_closed_under_its_own_tag() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    for what in ["P1V2/meter", "P1-lug2"] {
        crew.operates("b", "tagged", json!({ "what": what }));
    }
    for what in ["P1V2/main", "P1V2/source-1"] {
        crew.operates("b", "locked", json!({ "what": what }));
    }
    crew.opens_and_proves();
    crew.hands_over();
    crew.does("c", "clearance", json!({ "clearance": "c-1", "act": { "op": "released" } }));
    crew.says_clear("a");
    crew.readies_landing();
    crew.says_clear("b");
    let land = crew.operation("leg-landed", json!({ "pad": "P1", "position": "2", "leg": "L1" }));
    crew.refused("a", "operation", land, Rule::TagsOffBeforeClosing);
    crew.operates("a", "tag-removed", json!({ "what": "P1-lug2" }));
    crew.lands();
    crew.proves_live();
    let meter = json!({ "deed": "d-2", "stay": "st-1" });
    crew.refused("b", "meter-set", meter.clone(), Rule::TagsOffBeforeClosing);
    crew.operates("b", "tag-removed", json!({ "what": "P1V2/meter" }));
    crew.does("b", "meter-set", meter);
    for (op, what) in [("main-closed", "P1V2/main"), ("sources-on", "P1V2/source-1")] {
        let closes = crew.operation(op, json!({ "service": "P1V2" }));
        crew.refused("b", "operation", closes.clone(), Rule::TagsOffBeforeClosing);
        crew.operates("b", "lock-removed", json!({ "what": what }));
        crew.does("b", "operation", closes);
    }
}
