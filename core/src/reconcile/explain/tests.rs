//! Single kinds of claims, each on a small invented job. The sheet has pads P1 (three sets), P2 (two)
//! and P3 (one) in a row; the target is P1V1, at P1 position 1.

mod exact;

use std::collections::BTreeSet;

use super::*;
use crate::{
    mapsheet::fixture,
    plant::Metal,
    quantity::{AssetId, Instant, StayId},
    reconcile::verdict::PremisesVerdict,
    sighting::{
        Candidate, Cause, End, Excludes, Ground, Handle, Premises, PremisesEffect, RestsOn, Seen,
        SetAt, SetEffect, Sighting,
    },
};

struct Case {
    plant: Plant,
    evidence: Evidence,
    drawn: Drawn,
    found: Found,
    next: u32,
}

fn id(text: &str) -> AssetId {
    text.try_into().unwrap()
}

fn at(pad: &str, position: &str) -> SetAt {
    SetAt { pad: id(pad), position: position.into() }
}

impl Case {
    fn new() -> Self {
        Self::on(fixture::plant_of(&fixture::features()))
    }

    fn on(plant: Plant) -> Self {
        Self {
            plant,
            evidence: Evidence::new(id("P1V1")),
            drawn: Drawn { premises: vec![], sets: vec![], idle: BTreeMap::new() },
            found: Found {
                premises: BTreeMap::new(),
                identified: None,
                candidates: vec![],
                doubts: vec![],
            },
            next: 0,
        }
    }

    fn note(&mut self, seen: Seen) -> SightingId {
        self.next += 1;
        let id = SightingId::new(format!("s{:02}", self.next)).unwrap();
        let mono_ms = i64::from(self.next);
        let at = Instant { wall_ms: mono_ms, boot: "boot".into(), mono_ms };
        let who = "bo".try_into().unwrap();
        self.evidence.sightings.insert(id.clone(), Sighting { id: id.clone(), who, at, seen });
        id
    }

    fn tag(mut self, pad: &str, pattern: &str) -> Self {
        let pad = Some(id(pad));
        self.note(Seen::Tag { pad, pattern: pattern.into(), maybe_upside_down: false });
        self
    }

    /// A fix right where the record has another pad.
    fn fix(mut self, pad: &str, place_of: &str) -> Self {
        let there = self.plant.pads.get(&id(place_of)).unwrap().at;
        let degrees = |value: f64| crate::quantity::Decimal::from_f64(value, 7).unwrap();
        self.note(Seen::Fix {
            pad: Some(id(pad)),
            lon_deg: degrees(there.lon_deg),
            lat_deg: degrees(there.lat_deg),
            radius68_m: "4".parse().unwrap(),
        });
        self
    }

    fn count(mut self, pad: &str, count: u16) -> Self {
        self.note(Seen::SetCount { pad: id(pad), count });
        self
    }

    fn lug(mut self, pad: &str, position: &str, metal: Metal) -> Self {
        let handle = Handle::Position { position: position.into() };
        self.note(Seen::Conductor { end: End::Lug { pad: id(pad), handle }, metal, size: None });
        self
    }

    fn base(mut self, stay: &str, metal: Metal) -> Self {
        let stay = stay.try_into().unwrap();
        self.note(Seen::Conductor { end: End::Base { stay }, metal, size: None });
        self
    }

    /// A stay whose premises are settled.
    fn stay(mut self, stay: &str, service: &str) -> Self {
        let verdict = PremisesVerdict::Identified { service: id(service) };
        self.found.premises.insert(stay.try_into().unwrap(), verdict);
        self
    }

    /// A number read in a stay; with no other premises sighting, all that says where it was.
    fn number(mut self, stay: &str, number: &str, owner: Option<&str>) -> Self {
        let stay: StayId = stay.try_into().unwrap();
        let sighting = self.note(Seen::MeterNumber { stay: stay.clone(), number: number.into() });
        let (named, hole) = (BTreeSet::new(), vec![]);
        let open = PremisesVerdict::Unsettled { named, hole };
        self.found.premises.entry(stay.clone()).or_insert(open);
        let target = Premises::Service(self.evidence.target.clone());
        let (excludes, ground) = match owner {
            Some(owner) => (Excludes::AllBut(Premises::Service(id(owner))), Ground::MeterNumber),
            None => (Excludes::These([target].into()), Ground::MeterNumberDiffers),
        };
        self.drawn.premises.push(PremisesEffect {
            sighting,
            stay,
            by: "ana".try_into().unwrap(),
            in_run: None,
            excludes,
            causes: [Cause::MeterRecords].into(),
            ground,
        });
        self
    }

    fn set(mut self, stay: &str, set: SetAt, ground: Ground) -> Self {
        let seen = Candidate::Set(set.clone());
        let excludes = match ground {
            Ground::LoadStepSeen => Excludes::AllBut(seen),
            _ => Excludes::These([seen].into()),
        };
        let stay = stay.try_into().unwrap();
        let rests_on = [RestsOn { stay, reports: BTreeSet::new(), run: None }].into();
        self.next += 1;
        let sightings = vec![SightingId::new(format!("s{:02}", self.next)).unwrap()];
        let causes = BTreeSet::new();
        self.drawn.sets.push(SetEffect { sightings, set, excludes, causes, rests_on, ground });
        self
    }

    fn seen(self, pad: &str, position: &str) -> Self {
        self.set("stay", at(pad, position), Ground::LoadStepSeen)
    }

    fn flat(self, pad: &str, position: &str) -> Self {
        self.set("stay", at(pad, position), Ground::LoadStepFlat)
    }

    fn explained(&self) -> Explanations {
        let rules = RuleSheet::default();
        explain(&self.plant, &rules, &self.evidence, &self.drawn, &self.found)
    }

    /// The claims of the explanations with the fewest.
    fn fewest(&self) -> Vec<Vec<FalseClaim>> {
        let explained = self.explained();
        assert!(!explained.falls_short(), "{explained:#?}");
        let fewest = explained.explanations.first().map(|first| first.claims.len());
        explained
            .explanations
            .iter()
            .filter(|one| Some(one.claims.len()) == fewest)
            .map(|one| one.claims.iter().map(|one| one.claim.clone()).collect())
            .collect()
    }

    fn first(&self) -> Explaining {
        self.explained().explanations.first().unwrap().claims.first().unwrap().clone()
    }
}

fn tags_swapped() -> FalseClaim {
    FalseClaim::TagsSwapped { one: id("P1"), other: id("P2") }
}

fn wrong_pad(pad: Option<&str>, position: Option<&str>) -> FalseClaim {
    FalseClaim::WrongPad {
        service: id("P1V1"),
        pad: pad.map(id),
        position: position.map(Into::into),
    }
}

#[test]
fn what_agrees_needs_no_explanation() {
    let case = Case::new()
        .stay("stay", "P1V1")
        .number("stay", "MP11", Some("P1V1"))
        .tag("P1", "T-P1")
        .fix("P1", "P1")
        .count("P1", 3)
        .lug("P1", "1", Metal::Al)
        .base("stay", Metal::Al)
        .seen("P1", "1");
    assert_eq!(case.explained(), Explanations::default());
}

#[test]
fn two_tags_swapped_explain_both_reads() {
    let case = Case::new().tag("P1", "T-P2").tag("P2", "T-P1").fix("P1", "P1").fix("P2", "P2");
    let explained = case.explained();
    assert_eq!(explained.findings.len(), 2);
    assert_eq!(case.fewest(), [[tags_swapped()]]);
}

#[test]
fn two_tags_swapped_explain_three_findings_of_a_crew_that_went_by_the_tag() {
    // The cabinet that carries P2's tag is P1: it stands where P1 does, holds P1's sets, and feeds
    // the target.
    let case = Case::new()
        .stay("stay", "P1V1")
        .tag("P2", "T-P2")
        .fix("P2", "P1")
        .count("P2", 3)
        .seen("P2", "1");
    let explained = case.explained();
    assert_eq!(explained.findings.len(), 3);
    let claim = tags_swapped();
    assert_eq!(case.fewest(), [[claim.clone()]]);
    let first = case.first();
    assert_eq!(first.explains.len(), 3);
    assert_eq!(first.confirm, Confirm::ReadTag { pad: id("P1") });
    // With P1's own tag read where P1 stands, the swap is out.
    let against = case.tag("P1", "T-P1").fix("P1", "P1").explained();
    let swap = against.hypotheses.iter().find(|one| one.claim == claim).unwrap();
    assert_eq!(swap.against.len(), 1);
    assert!(against.explanations.iter().all(|one| one.claims.len() > 1), "{against:#?}");
}

#[test]
fn one_strange_tag_is_another_tag() {
    let case = Case::new().tag("P1", "Q-777");
    assert_eq!(case.fewest(), [[FalseClaim::TagReplaced { pad: id("P1") }]]);
    assert_eq!(case.first().confirm, Confirm::TakeFix { pad: id("P1") });
}

#[test]
fn tag_and_fix_of_the_next_pad_are_the_next_pad() {
    let case = Case::new().tag("P1", "T-P2").fix("P1", "P2").count("P1", 2);
    let mistaken = FalseClaim::PadMistaken { taken: id("P1"), is: id("P2") };
    assert_eq!(case.explained().findings.len(), 3);
    assert_eq!(case.fewest(), [[mistaken]]);
}

#[test]
fn a_fix_far_off_alone_is_a_pad_drawn_elsewhere() {
    // Three pads' widths beyond the row.
    let mut case = Case::new();
    let there = case.plant.pads.get(&id("P3")).unwrap().at.lon_deg + 0.01;
    case.note(Seen::Fix {
        pad: Some(id("P1")),
        lon_deg: crate::quantity::Decimal::from_f64(there, 7).unwrap(),
        lat_deg: "41.6".parse().unwrap(),
        radius68_m: "4".parse().unwrap(),
    });
    assert_eq!(case.fewest(), [[FalseClaim::PadMoved { pad: id("P1") }]]);
}

#[test]
fn a_step_on_the_neighbours_set_is_a_swap_or_a_shared_set() {
    let case = Case::new().stay("stay", "P1V1").seen("P1", "2").flat("P1", "1");
    let swapped = FalseClaim::SetsSwapped { one: id("P1V1"), other: id("P1V2") };
    let shared = FalseClaim::SharedSet { at: at("P1", "2"), service: Some(id("P1V1")) };
    assert_eq!(case.fewest(), [[swapped], [shared]]);
    let first = case.first();
    assert_eq!(first.explains.len(), 2);
    assert_eq!(first.confirm, Confirm::LoadStep { service: id("P1V2"), at: at("P1", "1") });
}

#[test]
fn a_service_on_another_pad_moves_both_counts() {
    let case = Case::new()
        .stay("stay", "P1V1")
        .count("P1", 2)
        .flat("P1", "1")
        .count("P2", 3)
        .seen("P2", "3");
    assert_eq!(case.explained().findings.len(), 4);
    assert_eq!(case.fewest(), [[wrong_pad(Some("P2"), Some("3"))]]);
    assert_eq!(case.first().explains.len(), 4);
}

#[test]
fn flat_on_its_own_set_with_more_sets_next_door_names_that_pad() {
    let case = Case::new().stay("stay", "P1V1").count("P1", 2).flat("P1", "1").count("P2", 3);
    assert_eq!(case.fewest(), [[wrong_pad(Some("P2"), None)]]);
    assert_eq!(case.first().confirm, Confirm::SearchPad { pad: id("P2") });
}

#[test]
fn a_position_without_a_set_on_the_record() {
    let case = Case::new().stay("stay", "P1V1").seen("P1", "4");
    let claim = FalseClaim::WrongPosition { service: id("P1V1"), at: at("P1", "4") };
    assert!(case.fewest().contains(&vec![claim]));
}

#[test]
fn a_number_of_the_neighbour_is_a_swap_and_one_of_nobody_is_wrong() {
    let swapped = FalseClaim::MetersSwapped { one: id("P1V1"), other: id("P1V2") };
    let case = Case::new().stay("stay", "P1V1").number("stay", "MP12", Some("P1V2"));
    assert_eq!(case.fewest(), [[swapped]]);
    assert_eq!(case.first().confirm, Confirm::ReadNumber { service: id("P1V2") });
    let wrong = FalseClaim::WrongMeterNumber { service: id("P1V1") };
    let case = Case::new().stay("stay", "P1V1").number("stay", "999", None);
    assert_eq!(case.fewest(), [[wrong]]);
    assert_eq!(case.first().confirm, Confirm::CompareWithBilling { service: id("P1V1") });
}

#[test]
fn a_house_found_by_a_swapped_number_explains_the_step_at_the_neighbours_set() {
    let case = Case::new().number("stay", "MP11", Some("P1V1")).seen("P1", "2");
    let swapped = FalseClaim::MetersSwapped { one: id("P1V1"), other: id("P1V2") };
    assert!(case.fewest().contains(&vec![swapped]));
}

#[test]
fn more_sets_or_fewer() {
    let missing = FalseClaim::SetMissing { pad: id("P1"), sets: 1 };
    assert_eq!(Case::new().count("P1", 4).fewest(), [[missing]]);
    let extra = FalseClaim::SetExtra { pad: id("P2"), sets: 1 };
    assert_eq!(Case::new().count("P2", 1).fewest(), [[extra]]);
}

#[test]
fn copper_at_one_end_or_at_both() {
    let set = id("P1-set1");
    let (wrong, splice) =
        (FalseClaim::WrongConductor { set: set.clone() }, FalseClaim::Splice { set });
    let look = Case::new().stay("stay", "P1V1").lug("P1", "1", Metal::Cu);
    assert_eq!(look.fewest(), [[wrong.clone()], [splice.clone()]]);
    assert_eq!(look.first().confirm, Confirm::LookAtBase { service: id("P1V1") });
    assert_eq!(look.base("stay", Metal::Cu).fewest(), [[wrong]]);
    let look = Case::new().stay("stay", "P1V1").lug("P1", "1", Metal::Al).base("stay", Metal::Cu);
    assert!(look.fewest().contains(&vec![splice]));
}

#[test]
fn lugs_of_two_metals_swapped() {
    let plant = fixture::plant_of(&fixture::changed("P1-set2", "metal", "cu".into()));
    let case = Case::on(plant).lug("P1", "1", Metal::Cu).lug("P1", "2", Metal::Al);
    let (one, other) = ("1".into(), "2".into());
    assert_eq!(case.fewest(), [[FalseClaim::LugsSwapped { pad: id("P1"), one, other }]]);
}

#[test]
fn loaded_with_the_meter_out_is_somebody_else_or_an_unmetered_load() {
    let case = Case::new().stay("stay", "P1V1").set("stay", at("P1", "1"), Ground::LoadedMeterOut);
    let fewest = case.fewest();
    let own = at("P1", "1");
    assert!(fewest.contains(&vec![FalseClaim::SharedSet { at: own.clone(), service: None }]));
    assert!(fewest.contains(&vec![FalseClaim::UnmeteredLoad { at: own }]));
}

#[test]
fn what_no_three_claims_explain_is_said_to_be_so() {
    let case = Case::new().count("P1", 5).count("P2", 5).count("P3", 5).tag("P1", "Q-777");
    let explained = case.explained();
    assert!(explained.falls_short());
    assert!(explained.explanations.iter().all(|one| one.leaves.len() == 3), "{explained:#?}");
}

#[test]
fn every_id_is_listed_once() {
    let ids: BTreeSet<&str> =
        FalseClaim::IDS.iter().chain(&Contradiction::IDS).chain(&Confirm::IDS).copied().collect();
    assert_eq!(ids.len(), FalseClaim::IDS.len() + Contradiction::IDS.len() + Confirm::IDS.len());
}
