//! What readings say together, on the job.

use serde_json::json;

use super::crew::{Crew, Desk};
use crate::{
    job::{Remark, RemarkOf},
    quantity::AssetId,
    sighting::SetAt,
};

fn ids(remarks: &[Remark]) -> Vec<&'static str> {
    remarks.iter().map(|remark| remark.id).collect()
}

#[test]
fn voltages_of_a_place_are_compared_until_something_is_operated() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    assert_eq!(crew.state.remarks(&crew.sheets), []);
    let base = json!({ "at": "meter-base", "service": "P1V2", "side": "line" });
    let across = |volts: &str| {
        json!({ "reading": { "place": base, "between": ["L1", "L2"], "volts": volts,
            "instrument": "tester-2" } })
    };
    crew.does("b", "volts", across("208.0"));
    let remarks = crew.state.remarks(&crew.sheets);
    assert_eq!(ids(&remarks), ["circuit-third-of-a-turn"]);
    assert!(matches!(remarks[0].of, RemarkOf::Place(_)));
    crew.lifts("L1");
    assert_eq!(crew.state.remarks(&crew.sheets), []);
    crew.does("b", "volts", across("0.3"));
    assert_eq!(crew.state.remarks(&crew.sheets), [], "one pair alone says nothing");
}

#[test]
fn a_neutral_that_carries_anothers_return_is_remarked() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    let reads = |crew: &mut Crew<'_>, go: usize, amps: &str| {
        let placement = format!("pl-n-{go}");
        crew.places(&placement, &json!({ "by": "position", "position": "2" }), "N");
        crew.sees(
            "a",
            &format!("s-n-{go}"),
            json!({ "what": "amps", "placement": placement, "deed": "d-1", "amps": amps }),
        );
    };
    reads(&mut crew, 1, "9.10");
    let of = RemarkOf::Set(SetAt { pad: AssetId::new("P1").unwrap(), position: "2".into() });
    let remark = Remark { of, id: "circuit-other-return" };
    assert_eq!(crew.state.remarks(&crew.sheets), [remark]);
    reads(&mut crew, 2, "0.06");
    assert_eq!(crew.state.remarks(&crew.sheets), []);
    reads(&mut crew, 3, "9.10");
    crew.wait(i64::from(desk.rules.amps_fresh_s) + 1);
    crew.clamps_legs(2);
    assert_eq!(crew.state.remarks(&crew.sheets), [], "they were not read together");
}
