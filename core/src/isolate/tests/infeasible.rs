//! Where nothing can be done: why, and what would change it.

use super::*;

#[test]
fn infeasible_is_an_answer_with_the_way_that_stays_closed() {
    let mut all = row();
    for f in &mut all {
        if f["properties"]["kind"] == "switch" {
            f["properties"]["visible_break"] = false.into();
        }
    }
    let found = ask(&all, "P1V1", "base-line-side");
    assert_eq!(found.plans, []);
    assert_eq!(found.fewest_openings, None);
    let blocked = found.infeasible.unwrap();
    assert_eq!(blocked.source.id, id("SRC"));
    let path: Vec<&str> = blocked.path.iter().map(AssetId::as_str).collect();
    assert_eq!(path, ["CO1", "C1", "P1-in", "P1-fuse", "P1-tx", "P1-lug1", "P1-set1"]);
    assert!(!found.not_offered.is_empty(), "the price is told all the same");
    // A rule sheet that allows it, or one switch more at the only way in.
    let key = "allow_opening_without_visible_break".to_owned();
    let by_sheet = |c: &&Change| matches!(c, Change::RuleSheet { key: k, .. } if *k == key);
    assert!(blocked.changes.iter().any(|c| by_sheet(&c)));
    let Some(Change::MoreSwitches { branches }) = blocked.changes.last() else {
        panic!("{:?}", blocked.changes)
    };
    assert_eq!(branches.len(), 1);
}

#[test]
fn what_only_load_stands_against_is_named() {
    let found = ask(&features(), "P1V1", "pad-primary");
    let changes = found.infeasible.unwrap().changes;
    let loaded = Change::LessLoad { branches: vec![id("CO1")] };
    assert!(changes.contains(&loaded), "{changes:?}");
    let mut request = Request::new(id("P1V1"), Scope::PadPrimary);
    request.loads.insert(id("CO1"), ReadAmps::exactly(amps(0.0)));
    let found = isolate(&plant_of(&features()), &request, &RuleSheet::default()).unwrap();
    plan_with(&found, &["P2-in", "CO1"]);
}

/// Changes keep their word: the plant with a switch more has a plan.
#[test]
fn one_switch_more_makes_a_plan() {
    let mut all = row();
    for f in &mut all {
        if f["properties"]["kind"] == "switch" {
            f["properties"]["visible_break"] = false.into();
        }
    }
    let point = json!({"type": "Point", "coordinates": [-30.2, 41.6]});
    let mut all = with(all, "P1-set1", "to", "new".into());
    all.push(json!({"type": "Feature", "geometry": point, "properties": {"kind": "pedestal",
        "id": "PED", "node": "new"}}));
    all.push(json!({"type": "Feature", "geometry": point, "properties": {"kind": "switch",
        "id": "NEW", "from": "new", "to": "P1V1", "device": "feeder-switch",
        "normally": "closed", "rated_amps": 400, "load_break_amps": 400, "visible_break": true,
        "lockable": true, "volts_nominal": 120}}));
    let found = ask(&all, "P1V1", "base-line-side");
    assert!(found.infeasible.is_none());
    assert_eq!(opened(&found.plans[0]), ["P1V1/meter", "NEW"]);
}

#[test]
fn a_zone_that_is_a_source_is_beyond_help() {
    let found = ask(&row(), "P1V1", "cable:tap1:P1::in");
    assert!(found.infeasible.is_none());
    let all = with(row(), "C1", "from", "src".into());
    let found = ask(&all, "P1V1", "cable:src:P1::in");
    let blocked = found.infeasible.unwrap();
    assert_eq!((blocked.path, blocked.changes), (vec![], vec![]));
}

/// What may not be opened is told near the ways that are told, not all over the town.
#[test]
fn what_may_not_be_opened_far_away_is_left_out() {
    let found = ask(&row(), "P1V2", "base-line-side");
    let near: Vec<&str> = found.not_allowed_near.iter().map(AssetId::as_str).collect();
    assert_eq!(near, ["P1-fuse", "P2-fuse", "P3-fuse"], "the dearest way reaches to P3");
    let all: Vec<&AssetId> = found.not_allowed.iter().map(|one| &one.branch).collect();
    assert!(found.not_allowed_near.iter().all(|branch| all.contains(&branch)));
    assert!(all.contains(&&id("P1V2/main")), "behind the meter, which is opened in every way");
}
