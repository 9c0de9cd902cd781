//! Worn tags.

use proptest::prelude::*;

use super::*;
use crate::plant::{Features, LonLat, Pad, TagIndex};
use crate::quantity::metres;

fn check(pattern: &str, upside_down: bool, claimed: &str, others: &[&str]) -> TagVerdict {
    let others = others.iter().map(ToString::to_string).collect();
    let read = TagRead::new(pattern, upside_down, &RuleSheet::default());
    read.verdict(claimed, &[claimed.to_owned()], &others)
}

fn could_be(others: &[&str]) -> TagVerdict {
    TagVerdict::CouldBe { others: others.iter().map(ToString::to_string).collect() }
}

#[test]
fn unreadable_characters_still_match_where_nothing_else_is_near() {
    assert_eq!(check("H?4?1", false, "HB471", &["TR902"]), TagVerdict::Matches);
    assert_eq!(check("hb-471", false, "HB471", &[]), TagVerdict::Matches);
    assert_eq!(check("H8471", false, "HB471", &["HB472"]), TagVerdict::Matches);
}

#[test]
fn a_neighbour_that_is_as_near_is_named() {
    assert_eq!(check("HB4?1", false, "HB471", &["HB461"]), could_be(&["HB461"]));
    assert_eq!(check("????1", false, "HB471", &[]), could_be(&[]), "any tag of that length");
    assert_eq!(check("HB461", false, "HB471", &[]), could_be(&[]), "or one nobody has mapped");
    assert_eq!(check("", false, "HB471", &[]), TagVerdict::Differs);
}

#[test]
fn another_tag_differs() {
    assert_eq!(check("TR902", false, "HB471", &[]), TagVerdict::Differs);
    assert_eq!(check("HB461", false, "HB471", &["HB461"]), TagVerdict::Differs, "the neighbour's");
}

#[test]
fn several_tags_on_one_pad_are_several_claims() {
    let pad = ["HB471".to_owned(), "T-9".to_owned()];
    let verdict = |pattern: &str, claimed: &str, others: &[&str]| {
        let others = others.iter().map(ToString::to_string).collect();
        TagRead::new(pattern, false, &RuleSheet::default()).verdict(claimed, &pad, &others)
    };
    assert_eq!(verdict("T9", "T-9", &["HB461"]), TagVerdict::Matches);
    assert_eq!(verdict("T9", "HB471", &["HB461"]), TagVerdict::AnotherOfThePad);
    assert_eq!(verdict("HB461", "T-9", &["HB461"]), TagVerdict::Differs);
}

#[test]
fn read_upside_down() {
    assert_eq!(check("1619", true, "6191", &[]), TagVerdict::Matches);
    assert_eq!(check("1619", false, "6191", &[]), TagVerdict::Differs);
    assert_eq!(turned(&['A', '1']), None, "an A turned reads as nothing");
}

#[test]
fn costs_are_the_rule_sheets() {
    let cost =
        |pattern: &str, tag: &str| TagRead::new(pattern, false, &RuleSheet::default()).cost(tag);
    assert_eq!(cost("HB471", "HB471"), Some(0));
    assert_eq!(cost("H?4?1", "HB471"), Some(200));
    assert_eq!(cost("HB47I", "HB471"), Some(400));
    assert_eq!(cost("HB47", "HB471"), Some(1000));
    assert_eq!(cost("HB4711", "HB471"), Some(1000));
    assert_eq!(cost("HB4", "HB471"), None);
}

fn tagged(tags: &[String]) -> Plant {
    let mut features = Features::default();
    for (n, tag) in tags.iter().enumerate() {
        let id = AssetId::new(format!("P{n:03}")).unwrap();
        let at = LonLat { lon_deg: -30.2, lat_deg: 41.6 };
        let (tags, contains) = (vec![tag.clone()], Vec::new());
        features.pads.insert(id.clone(), Pad { id, at, accuracy: metres(3.0), tags, contains });
    }
    Plant::of(features)
}

/// What a scan of every tag finds.
fn scanned(read: &TagRead, index: &TagIndex) -> Vec<TagFit> {
    let mut fits: Vec<TagFit> = index
        .iter()
        .filter_map(|tagged| {
            let (tag, pads) = (tagged.tag(), tagged.pads().to_vec());
            Some(TagFit { cost: read.cost_of(tagged.letters())?, tag, pads })
        })
        .collect();
    fits.sort();
    fits
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// The index finds what a scan of every tag finds, at the same costs, whatever the weights.
    #[test]
    fn the_index_finds_what_a_scan_finds(
        tags in proptest::collection::vec("[0OQ1IB83A69]{0,6}", 0..60),
        pattern in "[0OQ1IB83A69?]{0,6}",
        upside_down: bool,
        weights in (50_u32..1000, 0_u32..1000, 0_u32..3000),
    ) {
        let thousandths = |n: u32| format!("{}.{:03}", n / 1000, n % 1000).parse().unwrap();
        let rules = RuleSheet {
            tag_look_alike_cost: thousandths(weights.0),
            tag_unreadable_cost: thousandths(weights.1),
            tag_most_cost: thousandths(weights.2),
            tag_least_read_share: thousandths(0),
            ..RuleSheet::default()
        };
        let plant = tagged(&tags);
        let read = TagRead::new(&pattern, upside_down, &rules);
        let expected = if pattern.is_empty() { Vec::new() } else { scanned(&read, plant.tags()) };
        prop_assert_eq!(read.fits(&plant), expected);
    }

    /// A clearer read never turns a tag that was excluded into a match.
    #[test]
    fn covering_a_character_never_excludes_the_tag(tag in "[0-9A-Z]{4,8}", hidden in 0_usize..8) {
        let pattern: String =
            tag.chars().enumerate().map(|(i, c)| if i == hidden { '?' } else { c }).collect();
        prop_assert_eq!(check(&pattern, false, &tag, &[]), TagVerdict::Matches);
    }
}
