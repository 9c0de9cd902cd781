//! Sheets cut to a job.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::{
    isolate::{Isolation, Request, isolate},
    mapsheet::{fixture, read, to_geojson},
    plant::Plant,
    rule_sheet::RuleSheet,
};

/// A feeder of its own, `rows` pads long, so many degrees north of the fixture.
fn feeder(name: &str, pads: u8, north_deg: f64) -> Vec<Value> {
    let mut all = vec![json!({"type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-30.2, 41.6]},
        "properties": {"kind": "source", "id": format!("{name}S"), "node": format!("{name}n"),
            "volts_line_to_line": 12470}})];
    for k in 1..=pads {
        let (pad, before) = (format!("{name}{k}"), format!("{name}{}:out", k - 1));
        fixture::pad(&mut all, &pad, 2);
        let from = if k == 1 { format!("{name}n") } else { before };
        fixture::cable(&mut all, &format!("{name}C{k}"), &from, &format!("{pad}:in"));
    }
    let end = format!("{name}{pads}:out");
    all.push(json!({"type": "Feature", "geometry": null, "properties": {
        "kind": "switch", "id": format!("{name}E"), "from": end, "to": format!("{name}n"),
        "device": "elbow", "normally": "open", "rated_amps": 200, "load_break_amps": 200,
        "visible_break": true, "lockable": true, "volts_nominal": 7200}}));
    for feature in &mut all {
        let coordinates = &mut feature["geometry"]["coordinates"];
        match coordinates {
            Value::Array(list) if list[0].is_array() => {
                for place in list {
                    shift(place, north_deg);
                }
            }
            Value::Array(_) => shift(coordinates, north_deg),
            _ => feature["geometry"] = Value::Null,
        }
    }
    all
}

fn shift(place: &mut Value, north_deg: f64) {
    place[1] = json!(place[1].as_f64().unwrap() + north_deg);
}

fn sheet(others: &[(u8, f64)]) -> Plant {
    let mut all = fixture::features();
    for (n, (pads, north_deg)) in others.iter().enumerate() {
        all.extend(feeder(["X", "Y", "Z"][n], *pads, *north_deg));
    }
    fixture::plant_of(&all)
}

fn id(name: &str) -> AssetId {
    AssetId::new(name).unwrap()
}

#[test]
fn keeps_the_feeder_and_pads_near_by_and_nothing_far_off() {
    // 0.001 degree of latitude is 111 m.
    let plant = sheet(&[(2, 0.001), (2, 0.02)]);
    let part = around(&plant, &id("P1V2")).unwrap();
    let pads: Vec<&str> = part.pads.keys().map(AssetId::as_str).collect();
    assert_eq!(pads, ["P1", "P2", "P3", "X1", "X2"]);
    assert!(part.switches.contains_key(&id("CO2")), "what is normally open is joined as well");
    assert!(!part.sources.contains_key(&id("YS")));
}

#[test]
fn a_service_that_is_not_there_is_named() {
    let refused = around(&sheet(&[]), &id("P9V9")).unwrap_err();
    assert_eq!(refused, AroundError::UnknownService { service: id("P9V9") });
}

#[test]
fn more_than_a_phone_carries_is_refused() {
    let mut plant = sheet(&[]);
    let (node, at) = (plant.services[&id("P1V2")].node.clone(), plant.services[&id("P1V2")].at);
    for n in 0..MOST_CARRIED {
        let name = id(&format!("many-{n}"));
        let pedestal = crate::plant::Pedestal { id: name.clone(), at, node: node.clone() };
        plant.pedestals.insert(name, pedestal);
    }
    let refused = around(&plant, &id("P1V2")).unwrap_err();
    assert!(matches!(refused, AroundError::TooLarge { features, .. } if features > MOST_CARRIED));
}

/// What a plan says, without the lists of everything on the sheet that it was held apart from.
fn said(plant: &Plant, service: &AssetId, scope: &str) -> Isolation {
    let request = Request::new(service.clone(), scope.parse().unwrap());
    let mut said = isolate(plant, &request, &RuleSheet::default()).unwrap();
    said.sources.clear();
    said.grounded_against.clear();
    said.may_open.clear();
    said.not_allowed.clear();
    said
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever else is on the sheet: the part is a sheet in order, the target's feed and every
    /// plan for it are what they were, and cutting it again changes nothing.
    #[test]
    fn the_part_says_of_the_target_what_the_whole_says(
        others in proptest::collection::vec((1_u8..4, -40_i32..40), 0..3),
        target in 0_usize..6, scope in 0_usize..4,
    ) {
        let others: Vec<(u8, f64)> =
            others.into_iter().map(|(pads, north)| (pads, f64::from(north) * 1e-3)).collect();
        let plant = sheet(&others);
        let service = id(["P1V1", "P1V2", "P1V3", "P2V1", "P2V2", "P3V1"][target]);
        let scope = ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary"][scope];
        let part = around(&plant, &service).unwrap();
        let read = read(to_geojson(&part).to_string().as_bytes());
        prop_assert!(read.is_ok(), "{:?}", read.err());
        prop_assert_eq!(&read.unwrap().plant, &part);
        prop_assert_eq!(part.feeds_of(&service), plant.feeds_of(&service));
        prop_assert_eq!(said(&part, &service, scope), said(&plant, &service, scope));
        prop_assert_eq!(around(&part, &service), Ok(part));
    }
}
