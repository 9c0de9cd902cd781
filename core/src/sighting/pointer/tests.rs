//! Where tags and fixes point to, on an invented row of pads 20 m apart.

use super::*;
use crate::plant::{Features, LonLat};
use crate::quantity::{Decimal, Instant, PersonId, metres};

/// A degree of longitude on the equator of WGS84: 6 378 137 m times pi over 180.
const METRES_A_DEGREE: f64 = 111_319.490_793;

fn id(n: usize) -> AssetId {
    AssetId::new(format!("P{n}")).unwrap()
}

/// Pads P0 to P4 on the equator, tagged HB470 to HB474.
fn row() -> Plant {
    let mut features = Features::default();
    for n in 0..5_u32 {
        let id = id(n as usize);
        let at = LonLat { lon_deg: f64::from(n) * 20.0 / METRES_A_DEGREE, lat_deg: 0.0 };
        let (tags, contains) = (vec![format!("HB47{n}")], Vec::new());
        features.pads.insert(id.clone(), Pad { id, at, accuracy: metres(3.0), tags, contains });
    }
    Plant::of(features)
}

fn pointer(seen: Seen) -> Option<Pointer> {
    let mut evidence = Evidence::new(id(9));
    let sighting: SightingId = "s1".try_into().unwrap();
    let at = Instant { wall_ms: 0, boot: "b1".into(), mono_ms: 0 };
    let who = PersonId::new("finn").unwrap();
    let kept = Sighting { id: sighting.clone(), who, at, seen };
    evidence.sightings.insert(sighting.clone(), kept);
    pointers(&row(), &RuleSheet::default(), &evidence).remove(&sighting)
}

fn fix(pad: Option<AssetId>, east_m: f64) -> Option<Pointer> {
    let number = |value: f64| Decimal::from_f64(value, 9).unwrap();
    let (lon_deg, lat_deg) = (number(east_m / METRES_A_DEGREE), number(0.0));
    pointer(Seen::Fix { pad, lon_deg, lat_deg, radius68_m: number(5.0) })
}

fn tag(pad: Option<AssetId>, pattern: &str) -> Option<Pointer> {
    pointer(Seen::Tag { pad, pattern: pattern.to_owned(), maybe_upside_down: false })
}

#[test]
fn a_tag_that_is_the_pads_own_points_nowhere_else() {
    assert_eq!(tag(Some(id(1)), "HB471"), None);
}

#[test]
fn a_tag_of_another_pad_names_that_pad() {
    let Some(Pointer::Tags(fits)) = tag(Some(id(1)), "HB472") else { panic!("no tags") };
    assert_eq!((fits[0].cost, fits[0].pads.clone()), (0, vec![id(2)]));
    assert_eq!(tag(None, "TR902"), Some(Pointer::Tags(Vec::new())));
}

#[test]
fn a_fix_at_its_pad_points_nowhere_else() {
    assert_eq!(fix(Some(id(1)), 24.0), None);
}

#[test]
fn a_nearer_pad_is_named_with_its_odds() {
    let Some(Pointer::Pads { near, noted: Some(noted) }) = fix(Some(id(1)), 36.0) else {
        panic!("no pads")
    };
    assert_eq!(near.iter().map(|odds| odds.pad.clone()).collect::<Vec<_>>(), [id(2)]);
    // Variance of one axis: (14² + 3²) / 1.5096² = 89.96 m²: exp((16² - 4²) / 2 / 89.96) = 3.80.
    assert!((near[0].share / noted.share - 3.80).abs() < 0.01, "{near:?} {noted:?}");
    // exp(-16² / 2 / 89.96): one in four of such fixes at P1 comes out 16 m off or more.
    assert!((noted.by_chance - 0.241).abs() < 1e-3, "{noted:?}");
    // 10 m against 14 / 1.5096 = 9.27 m: the tail beyond 1.078 of a normal distribution is 0.1405.
    assert!((near[0].mistaken - 0.1405).abs() < 5e-4, "{near:?}");
}

#[test]
fn a_fix_noted_at_no_pad_names_the_likeliest() {
    let Some(Pointer::Pads { near, noted: None }) = fix(None, 41.0) else { panic!("no pads") };
    assert_eq!(near[0].pad, id(2));
    assert!(near.iter().map(|odds| odds.share).sum::<f64>() > 0.97);
    assert_eq!(fix(None, 9000.0), Some(Pointer::Pads { near: Vec::new(), noted: None }));
}

#[test]
fn the_normal_tail_is_the_tables() {
    // 1.959964 leaves 2.5 % (any table of the normal distribution).
    assert!((normal_tail(1.959_964) - 0.025).abs() < 1e-8);
    assert!((normal_tail(0.0) - 0.5).abs() < f64::EPSILON);
}
