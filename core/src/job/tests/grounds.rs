//! Where a ground may be put: on what was tested dead there, just now, with every feeder parted from it.

use serde_json::json;

use super::crew::{Crew, Desk};
use crate::{
    gate::{Rule, Scope},
    plant::Network,
    quantity::NodeId,
};

fn node(name: &str) -> NodeId {
    NodeId::new(name).unwrap()
}

impl Crew<'_> {
    /// No ground goes there, for this reason.
    #[track_caller]
    fn stays_off(&mut self, at: &str, why: &str) {
        let body = self.operation("grounded", json!({ "node": at }));
        let refusal = self.tries("b", "operation", body).expect_err(at);
        assert_eq!(refusal.rule, Rule::TestedBeforeGround, "{refusal}");
        assert_eq!(refusal.which, [at, why]);
    }
}

#[test]
fn a_ground_goes_on_what_was_proven_dead_and_nowhere_else() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.stays_off("P1V2", "ground-not-proven");
    crew.opens_and_proves();
    let now = crew.event("b", "now", "closed", json!({ "summary": "" })).at;
    let offered = crew.state.may_be_grounded(&crew.sheets, &now);
    assert_eq!(offered, [node("P1V2"), node("P1V2:load")].into());
    // The bus lives as planned, and so do the primary and the neighbours.
    let network = Network::of(&desk.plant).unwrap();
    for at in network.nodes().filter(|node| !offered.contains(node)) {
        crew.stays_off(at.as_str(), "ground-not-proven");
    }
    for at in &offered {
        crew.operates("b", "grounded", json!({ "node": at }));
    }
}

#[test]
fn a_proof_that_is_old_carries_no_ground() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    // Nor does one that another phone's clock knows nothing of.
    let body = crew.operation("grounded", json!({ "node": "P1V2" }));
    crew.refused("a", "operation", body, Rule::TestedBeforeGround);
    crew.wait(16 * 60);
    crew.stays_off("P1V2", "ground-not-proven");
}

#[test]
fn what_is_dead_while_a_feeder_reaches_it_is_not_grounded() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.opens_job();
    crew.begins_stay();
    // The feeder went before anything was opened, and may come back any moment.
    crew.reads_dead("b");
    crew.proves("b", "pr-dead", json!({ "of": "dead", "service": "P1V2" }));
    crew.stays_off("P1V2", "ground-feeder-reaches");
}

#[test]
fn a_ground_elsewhere_is_none_on_the_zone_that_is_handed_over() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.opens_and_proves();
    crew.operates("b", "grounded", json!({ "node": "P1V2" }));
    let touch = crew.state.physical.grounds[&node("P1V2")].clone();
    crew.state.header.as_mut().unwrap().scope = Scope::PadSecondary;
    crew.state.identified = crew.state.physical.legs.keys().next().cloned();
    assert!(!crew.state.zone_grounded(&crew.sheets));
    crew.state.physical.grounds.insert(node("P1:sec"), touch);
    assert!(crew.state.zone_grounded(&crew.sheets));
}
