//! Amps through what is to be opened: what counts, what goes stale, what is refused.

use serde_json::{Value, json};

use super::crew::{Crew, Desk};
use crate::{
    gate::Rule,
    isolate::LoadBasis,
    mapsheet::fixture,
    quantity::{AssetId, EventId},
    rule_sheet::RuleSheet,
};

/// The elbow towards the last two pads: likely 11 A, at most 14 A. It may break so many.
fn desk(load_break: u32) -> Desk {
    let features = fixture::changed("P1-out", "load_break_amps", json!(load_break));
    Desk { plant: fixture::plant_of(&features), rules: RuleSheet::default() }
}

impl Crew<'_> {
    /// Identified, and a clamp on a stick at hand that was shown to read right.
    pub(super) fn at_the_elbow(&mut self) {
        self.opens_job();
        self.begins_stay();
        self.identifies();
        self.enters_stick("stick-1", "15000", "60");
        self.shows_right("stick-1", "12.45");
    }

    fn enters_stick(&mut self, name: &str, volts: &str, range: &str) {
        let entered = json!({ "instrument": {
            "id": name, "class": "clamp", "category": "CAT IV", "category_volts": volts,
            "range": range, "resolution": "0.01", "accuracy": { "percent": "1", "counts": 3 },
            "calibration_due_ms": 1_900_000_000_000_i64
        }});
        self.does("a", "instrument", entered);
    }

    fn shows_right(&mut self, name: &str, shown: &str) {
        let known = json!({
            "instrument": name, "known": "the crew's heater", "known_tolerance_percent": "5",
            "shown": { "unit": "amps", "shown_amps": shown, "expected_amps": "12.5" }
        });
        self.does("a", "instrument-proven", known);
    }

    pub(super) fn reads_through(&mut self, branch: &str, amps: &str, with: &str) -> String {
        let reading = json!({ "conductor": "L1", "amps": amps, "instrument": with });
        self.does("a", "amps", json!({ "branch": branch, "reading": reading }))
    }

    fn opening(&self, switch: &str) -> Value {
        self.operation("switch-opened", json!({ "switch": switch }))
    }

    /// The elbow stays closed, for this reason.
    #[track_caller]
    fn stays_closed(&mut self, why: &str) {
        let opening = self.opening("P1-out");
        let refusal = self.tries("a", "operation", opening).expect_err(why);
        assert_eq!(refusal.rule, Rule::LoadBreakCoversAmps, "{refusal}");
        assert!(refusal.which.contains(&why.to_owned()), "{why}: {refusal}");
    }

    #[track_caller]
    fn opens(&mut self) {
        let opening = self.opening("P1-out");
        self.does("a", "operation", opening);
    }

    /// What the job's plan for the cable behind the elbow says of it.
    fn planned(&self) -> Option<crate::isolate::ExpectedLoad> {
        let now = self.event("a", "now", "closed", json!({ "summary": "" })).at;
        let (service, scope) = (AssetId::new("P1V2").unwrap(), "cable:P1::out:P2::in");
        let request = self
            .state
            .plan_request(
                &self.sheets,
                self.sheets.plant,
                (&service, &scope.parse().unwrap()),
                &now,
            )
            .unwrap();
        let found =
            crate::isolate::isolate(self.sheets.plant, &request, self.sheets.rules).unwrap();
        let elbow = AssetId::new("P1-out").unwrap();
        let all = found.plans.into_iter().chain(found.dearer).flat_map(|plan| plan.openings);
        let mut of_elbow = all.filter(|opening| opening.branch == elbow);
        of_elbow.next().and_then(|opening| opening.expected)
    }
}

#[test]
fn what_the_record_covers_at_its_very_most_needs_no_reading() {
    let desk = desk(14);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.opens();
}

#[test]
fn a_reading_opens_what_the_record_alone_does_not() {
    let desk = desk(10);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.stays_closed("amps-not-read");
    assert_eq!(crew.planned(), None, "likely 11 A of 10 A");
    crew.reads_through("P1-out", "9.20", "stick-1");
    let load = crew.planned().unwrap();
    assert_eq!((load.basis, load.most_amps, load.read_first), (LoadBasis::Read, Some(10), false));
    assert!(load.read_at.unwrap().ends_with("UTC"));
    crew.opens();
}

#[test]
fn near_the_rating_it_stays_closed_and_over_it_too() {
    let desk = desk(12);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    // 1 % and 3 counts of 0.01 A, and 2 % of its place in the jaws: 0.38 A.
    crew.reads_through("P1-out", "11.70", "stick-1");
    crew.stays_closed("amps-near-load-break");
    assert!(crew.planned().unwrap().read_first);
    crew.reads_through("P1-out", "14.00", "stick-1");
    crew.stays_closed("amps-over-load-break");
    let said = |crew: &Crew<'_>| crew.state.remarks(&crew.sheets).last().map(|remark| remark.id);
    assert_eq!(said(&crew), Some("amps-over-load-break"));
    assert_eq!(crew.planned(), None);
    crew.reads_through("P1-out", "11.00", "stick-1");
    assert_eq!(said(&crew), None);
    crew.opens();
}

#[test]
fn it_goes_stale_by_time_and_by_any_switching() {
    let desk = desk(12);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.reads_through("P1-out", "8.00", "stick-1");
    crew.wait(301);
    crew.stays_closed("reading-stale");
    crew.reads_through("P1-out", "8.00", "stick-1");
    crew.operates("b", "main-opened", json!({ "service": "P1V2" }));
    crew.stays_closed("amps-before-switching");
    let load = crew.planned().unwrap();
    assert_eq!(
        (load.basis, load.doubts),
        (LoadBasis::Nameplate, vec!["amps-before-switching".into()])
    );
    crew.reads_through("P1-out", "8.00", "stick-1");
    crew.opens();
}

#[test]
fn what_cannot_read_there_is_named() {
    let desk = desk(12);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    // For lugs, not for 7200 V.
    crew.reads_through("P1-out", "8.00", "clamp-1");
    crew.stays_closed("reading-category-too-low");
    let remarks = crew.state.remarks(&crew.sheets);
    assert_eq!(remarks.last().unwrap().id, "reading-category-too-low");
    crew.enters_stick("stick-2", "15000", "5");
    crew.reads_through("P1-out", "8.00", "stick-2");
    crew.stays_closed("reading-outside-range");
    crew.stays_closed("reading-instrument-not-proven");
    crew.reads_through("P2-out", "2.00", "stick-1");
    crew.wait(400);
    crew.shows_right("stick-1", "12.45");
    let of_other = |crew: &Crew<'_>| {
        let remarks = crew.state.remarks(&crew.sheets);
        remarks.into_iter().filter(|remark| format!("{:?}", remark.of).contains("P2-out")).count()
    };
    assert_eq!(of_other(&crew), 0, "old, and read with what was shown right before and since");
    // It is held to the crew's load and fails.
    crew.shows_right("stick-1", "3.00");
    crew.reads_through("P1-out", "8.00", "stick-1");
    crew.stays_closed("reading-instrument-not-proven");
}

#[test]
fn a_doubtful_reading_speaks_against_an_opening_and_never_for_it() {
    let desk = desk(14);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    crew.enters_stick("stick-2", "15000", "60");
    // The record alone would let it open; what was never shown to work reads more.
    crew.reads_through("P1-out", "30.00", "stick-2");
    crew.stays_closed("reading-instrument-not-proven");
    assert_eq!(crew.planned(), None);
    crew.reads_through("P1-out", "9.00", "stick-1");
    crew.opens();
}

#[test]
fn it_is_taken_back_as_others_are_but_too_much_stays_until_it_is_read_again() {
    let desk = desk(12);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    let read = crew.reads_through("P1-out", "8.00", "stick-1");
    let back = |event: &str| json!({ "corrects": event, "reason": "the other elbow" });
    crew.does("a", "correction", back(&read));
    crew.stays_closed("amps-not-read");
    let too_much = crew.reads_through("P1-out", "30.00", "stick-1");
    crew.refused("a", "correction", back(&too_much), Rule::CorrectionNamesEvent);
    crew.reads_through("P1-out", "8.00", "stick-1");
    crew.opens();
    let taken: Vec<&EventId> = crew.state.amps.iter().map(|read| &read.taken.event).collect();
    assert_eq!(taken.len(), 2);
}

#[test]
fn lugs_have_a_rule_of_their_own_and_what_is_on_no_sheet_none() {
    let desk = desk(12);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    for branch in ["P1-lug2", "nowhere"] {
        let reading = json!({ "conductor": "L1", "amps": "8.00", "instrument": "stick-1" });
        let read = json!({ "branch": branch, "reading": reading });
        crew.refused("a", "amps", read, Rule::NamedThingsThere);
    }
    let reading = json!({ "conductor": "L1", "amps": "8.00", "instrument": "stick-9" });
    let read = json!({ "branch": "P1-out", "reading": reading });
    crew.refused("a", "amps", read, Rule::KnownInstrument);
}

impl Crew<'_> {
    /// The next opening is agreed with a second person, whatever the order of switches says.
    fn opening_is_agreed(&mut self) {
        let step = format!("e{}", self.events.len() + 2);
        let agreed = json!({ "rule": "switch-order", "step": step, "reason": "the storm",
            "second_person": "lw-b" });
        self.does("a", "deviation", agreed);
    }
}

#[test]
fn what_breaks_no_load_opens_with_none_on_it_whoever_agreed() {
    let desk = desk(0);
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    let opening = crew.opening("P1-out");
    crew.refused("a", "operation", opening.clone(), Rule::SwitchOrder);
    crew.opening_is_agreed();
    crew.stays_closed("amps-not-read");
    for amps in ["8.00", "0.98"] {
        crew.reads_through("P1-out", amps, "stick-1");
        crew.opening_is_agreed();
        crew.stays_closed("amps-over-load-break");
    }
    crew.reads_through("P1-out", "0.05", "stick-1");
    crew.refused("a", "operation", opening, Rule::SwitchOrder);
    crew.opening_is_agreed();
    crew.opens();
}

#[test]
fn lugs_are_no_switch_whoever_agreed_and_in_whatever_name() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.at_the_elbow();
    for (op, safe) in [("switch-opened", false), ("switch-opened", true), ("switch-closed", true)] {
        crew.opening_is_agreed();
        let mut body = crew.operation(op, json!({ "switch": "P1-lug2" }));
        body["making_safe"] = safe.into();
        crew.refused("a", "operation", body, Rule::LugPairIsLifted);
    }
    assert!(crew.state.physical.switches.is_empty());
}
