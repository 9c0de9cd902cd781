//! A job judged on the part of the sheet that a phone carries says what the whole sheet says.

use serde_json::json;

use super::crew::{Crew, Desk};
use crate::{
    mapsheet::{self, fixture},
    quantity::AssetId,
    reconcile::judge,
    rule_sheet::RuleSheet,
};

#[test]
fn the_part_judges_as_the_whole() {
    let mut all = fixture::features();
    all.push(json!({"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-30.1, 41.65]},
        "properties": {"kind": "source", "id": "XS", "node": "xn", "volts_line_to_line": 12470}}));
    fixture::pad(&mut all, "X1", 2);
    fixture::cable(&mut all, "XC", "xn", "X1:in");
    let mut end = all[1].clone();
    for (member, value) in [("id", "XE"), ("from", "X1:out"), ("to", "xn"), ("normally", "open")] {
        end["properties"][member] = value.into();
    }
    all.push(end);
    let mut plant = fixture::plant_of(&all);
    let far = AssetId::new("X1").unwrap();
    plant.pads.get_mut(&far).unwrap().at.lat_deg += 0.05;
    let desk = Desk { plant, rules: RuleSheet::default() };
    let part = mapsheet::around(&desk.plant, &AssetId::new("P1V2").unwrap()).unwrap();
    assert!(!part.pads.contains_key(&far));
    let mut crew = Crew::new(&desk);
    let check = |crew: &Crew<'_>| {
        let evidence = crew.state.evidence.as_ref().unwrap();
        let whole = judge(&desk.plant, &desk.rules, evidence);
        assert_eq!(judge(&part, &desk.rules, evidence), whole);
        whole.identified().is_some()
    };
    crew.opens_job();
    assert!(!check(&crew));
    crew.begins_stay();
    assert!(!check(&crew));
    crew.identifies();
    assert!(check(&crew));
}
