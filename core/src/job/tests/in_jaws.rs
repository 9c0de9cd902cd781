//! A leg of parallel runs is read with all of them in the jaws before it is lifted.

use serde_json::{Value, json};

use super::{
    crew::{Crew, Desk},
    whole::{answers, lift},
};
use crate::gate::Rule;

impl Crew<'_> {
    /// Ready to lift, on a set that turns out to have two runs on each leg.
    fn finds_two_runs(&mut self) {
        self.ready_to_lift();
        let mut two = answers();
        two["runs_per_leg"] = 2.into();
        self.does("a", "answers", two);
    }

    /// Amps of one leg with so many of its runs in the jaws.
    fn clamps_runs(&mut self, go: &str, leg: &str, runs: u8, amps: &str) {
        let id = format!("pl-{go}-{leg}");
        let handle = json!({ "by": "position", "position": "2" });
        self.does(
            "a",
            "placement",
            json!({ "placement": id, "pad": "P1", "handle": handle, "leg": leg,
                "runs_in_jaws": runs, "instrument": "clamp-1" }),
        );
        let read = json!({ "what": "amps", "placement": id, "deed": "d-1", "amps": amps });
        self.sees("a", &format!("s-{go}-{leg}"), read);
    }

    fn lift_of_both(&self) -> Value {
        let mut both = lift("L1");
        both["runs"] = 2.into();
        self.operation("leg-lifted", both)
    }
}

#[test]
fn one_run_of_two_is_a_part_of_the_amps() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.finds_two_runs();
    crew.refused("a", "operation", crew.lift_of_both(), Rule::AllRunsInJaws);
    crew.clamps_runs("both", "L1", 2, "0.05");
    crew.clamps_load(2);
    crew.refused("a", "operation", crew.lift_of_both(), Rule::AllRunsInJaws);
    crew.clamps_runs("both", "L2", 2, "0.05");
    crew.clamps_load(3);
    crew.does("a", "operation", crew.lift_of_both());
}

#[test]
fn the_clamp_is_shown_a_load_after_the_amps_of_all_runs() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.finds_two_runs();
    crew.clamps_load(2);
    for leg in ["L1", "L2"] {
        crew.clamps_runs("both", leg, 2, "0.05");
    }
    crew.refused("a", "operation", crew.lift_of_both(), Rule::ClampProvenAfterAmps);
}

#[test]
fn a_load_on_one_run_is_a_load() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.finds_two_runs();
    crew.clamps_runs("one", "L1", 1, "1.02");
    for leg in ["L1", "L2"] {
        crew.clamps_runs("both", leg, 2, "0.05");
    }
    crew.clamps_load(2);
    crew.refused("a", "operation", crew.lift_of_both(), Rule::NoLoadWithMeterOut);
}

#[test]
fn more_runs_in_the_jaws_than_counted_fit_no_leg() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    crew.clamps_runs("three", "L1", 3, "0.05");
    crew.clamps_load(2);
    let body = crew.operation("leg-lifted", lift("L1"));
    crew.refused("a", "operation", body, Rule::AllRunsInJaws);
}
