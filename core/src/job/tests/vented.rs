//! A tank is vented before a fuse in it is handled: twice before it is drawn, once before it goes in.

use serde_json::json;

use super::crew::{Crew, Desk};
use crate::gate::Rule;

impl Crew<'_> {
    fn vents(&mut self, pad: &str) {
        self.operates("a", "pressure-relieved", json!({ "pad": pad }));
    }

    /// The step on the fuse of P1 waits for a venting.
    #[track_caller]
    fn fuse_waits(&mut self, op: &str) {
        let body = self.operation(op, json!({ "switch": "P1-fuse" }));
        self.refused("a", "operation", body, Rule::PressureRelievedBeforeFuse);
    }
}

#[test]
fn a_fuse_is_drawn_after_two_ventings_of_its_own_tank() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.reads_through("P1-fuse", "5.00", "stick-1");
    crew.fuse_waits("switch-opened");
    crew.vents("P1");
    crew.fuse_waits("switch-opened");
    crew.vents("P2");
    crew.fuse_waits("switch-opened");
    crew.vents("P1");
    crew.operates("a", "switch-opened", json!({ "switch": "P1-fuse" }));
}

#[test]
fn ventings_go_stale() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.vents("P1");
    crew.vents("P1");
    crew.wait(301);
    crew.reads_through("P1-fuse", "5.00", "stick-1");
    crew.fuse_waits("switch-opened");
    crew.vents("P1");
    crew.fuse_waits("switch-opened");
    crew.vents("P1");
    crew.operates("a", "switch-opened", json!({ "switch": "P1-fuse" }));
}

#[test]
fn a_fuse_goes_in_after_one_more_venting() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.reads_through("P1-fuse", "5.00", "stick-1");
    crew.vents("P1");
    crew.vents("P1");
    crew.operates("a", "switch-opened", json!({ "switch": "P1-fuse" }));
    // The ventings before it was drawn are used up.
    crew.fuse_waits("switch-closed");
    crew.vents("P1");
    crew.wait(301);
    crew.fuse_waits("switch-closed");
    crew.vents("P1");
    // Nothing but the word of the other phone is left.
    let body = crew.operation("switch-closed", json!({ "switch": "P1-fuse" }));
    crew.refused("a", "operation", body, Rule::ClearSaidBeforeClosing);
}
