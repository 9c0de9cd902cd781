//! When a loop point may be closed: by what was measured across it, as everything stands.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::crew::{Crew, Desk};
use crate::{
    gate::Rule, mapsheet::fixture, plant::SwitchState, quantity::AssetId, rule_sheet::RuleSheet,
};

/// The sheet lets sources be tied, or not.
fn desk(may_tie: bool) -> Desk {
    Desk { rules: RuleSheet { allow_paralleling: may_tie, ..RuleSheet::default() }, ..Desk::new() }
}

impl Crew<'_> {
    /// Identified, and a voltmeter on two sticks at hand that was shown to read right. The loop point at
    /// the end of the row stands open, live on both sides.
    fn at_the_loop_point(&mut self) {
        self.at_the_elbow();
        let entered = json!({ "instrument": {
            "id": "sticks-1", "class": "low-impedance-voltmeter", "category": "CAT IV",
            "category_volts": "15000", "range": "16000", "resolution": "1",
            "accuracy": { "percent": "2", "counts": 3 },
            "calibration_due_ms": 1_900_000_000_000_i64
        }});
        self.does("a", "instrument", entered);
        let shown = json!({ "unit": "volts", "shown_volts": "7190", "expected_volts": "7200" });
        self.does(
            "a",
            "instrument-proven",
            json!({ "instrument": "sticks-1",
            "known": "the live side", "known_tolerance_percent": "5", "shown": shown }),
        );
    }

    /// The pads behind the elbow are off: the loop point is live on one side.
    fn parts_the_row(&mut self) {
        self.operates("a", "switch-opened", json!({ "switch": "P1-out" }));
    }

    fn measures(&mut self, volts: &str, with: &str) {
        let measured = json!({ "switch": "CO2", "across_volts": volts, "instrument": with });
        self.operates("a", "loop-point-measured", measured);
    }

    fn closing_it(&self) -> Value {
        self.operation("switch-closed", json!({ "switch": "CO2" }))
    }

    #[track_caller]
    fn stays_open(&mut self, why: &str) {
        let body = self.closing_it();
        let refusal = self.tries("a", "operation", body).expect_err(why);
        assert_eq!(refusal.rule, Rule::LoopPointMeasured, "{refusal}");
        assert_eq!(refusal.which, [why]);
    }

    /// Nothing but the word of the other phone stands before the closing.
    fn may_join(&mut self) -> bool {
        let body = self.closing_it();
        let refusal = self.tries("a", "operation", body).expect_err("phone-b has not said clear");
        refusal.rule == Rule::ClearSaidBeforeClosing
    }
}

#[test]
fn one_side_must_surely_be_dead() {
    let desk = desk(false);
    let mut crew = Crew::new(&desk);
    crew.at_the_loop_point();
    crew.parts_the_row();
    crew.stays_open("loop-not-measured");
    // Nothing across it: both sides may be live, or both dead. Then another phase, then near the edge.
    for volts in ["0", "12470", "6500"] {
        crew.measures(volts, "sticks-1");
        crew.stays_open("loop-not-one-side");
    }
    crew.measures("7150", "sticks-1");
    assert!(crew.may_join());
}

#[test]
fn two_live_sides_are_tied_only_where_the_sheet_says_so_and_in_phase() {
    for may_tie in [false, true] {
        let desk = desk(may_tie);
        let mut crew = Crew::new(&desk);
        crew.at_the_loop_point();
        crew.measures("20", "sticks-1");
        if !may_tie {
            crew.stays_open("loop-ties-sources");
            continue;
        }
        crew.measures("12470", "sticks-1");
        crew.stays_open("loop-not-in-phase");
        crew.measures("20", "sticks-1");
        assert!(crew.may_join());
    }
}

#[test]
fn what_was_measured_goes_stale_and_needs_an_instrument_made_for_it() {
    let desk = desk(false);
    let mut crew = Crew::new(&desk);
    crew.at_the_loop_point();
    crew.parts_the_row();
    // As events were written before an instrument was asked for.
    let bare = json!({ "switch": "CO2", "across_volts": "7200" });
    crew.operates("a", "loop-point-measured", bare);
    crew.stays_open("loop-without-instrument");
    let unknown = json!({ "switch": "CO2", "across_volts": "7200", "instrument": "sticks-9" });
    let unknown = crew.operation("loop-point-measured", unknown);
    crew.refused("a", "operation", unknown, Rule::KnownInstrument);
    crew.measures("7200", "sticks-1");
    crew.wait(301);
    crew.stays_open("reading-stale");
    crew.measures("7200", "sticks-1");
    crew.operates("b", "main-opened", json!({ "service": "P1V2" }));
    crew.stays_open("loop-not-measured");
    crew.measures("120", "clamp-1");
    let body = crew.closing_it();
    crew.refused("a", "operation", body, Rule::LoopPointMeasured);
}

#[test]
fn whatever_was_opened_is_not_closed_between_two_feeders() {
    let mut features = fixture::changed("CO2", "from", json!("src2"));
    let mut second = features[0].clone();
    second["properties"]["id"] = "SRC2".into();
    second["properties"]["node"] = "src2".into();
    features.push(second);
    let desk = Desk { plant: fixture::plant_of(&features), rules: RuleSheet::default() };
    let mut crew = Crew::new(&desk);
    crew.at_the_loop_point();
    crew.parts_the_row();
    // The other feeder picked the rest of the row up.
    let (_, touch) = crew.state.physical.switches.values().next().cloned().unwrap();
    let loop_point = AssetId::new("CO2").unwrap();
    crew.state.physical.switches.insert(loop_point, (SwitchState::Closed, touch));
    let elbow = crew.operation("switch-closed", json!({ "switch": "P1-out" }));
    let refusal = crew.tries("a", "operation", elbow).unwrap_err();
    assert_eq!((refusal.rule, &*refusal.which[0]), (Rule::LoopPointMeasured, "loop-ties-sources"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    /// Whatever is read: a tie needs next to none, one live side next to all of it.
    #[test]
    fn nothing_else_closes_it(volts in 0_u32..15_000, may_tie: bool, parted: bool) {
        let desk = desk(may_tie);
        let mut crew = Crew::new(&desk);
        crew.at_the_loop_point();
        if parted {
            crew.parts_the_row();
        }
        crew.measures(&volts.to_string(), "sticks-1");
        let closed = crew.may_join();
        // 10 % of 7200 V, and 2 % and 3 V of error.
        let error = f64::from(volts) * 0.02 + 3.0;
        let from = |wanted: f64| (f64::from(volts) - wanted).abs() + error <= 720.0;
        let may = if parted { from(7200.0) } else { may_tie && from(0.0) };
        prop_assert_eq!(closed, may, "{} V", volts);
    }
}
