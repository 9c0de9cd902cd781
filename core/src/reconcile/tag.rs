//! A worn tag against the tags of the record.

use std::collections::BTreeSet;

use crate::{
    plant::{PlaceIndex, Plant},
    quantity::AssetId,
    rule_sheet::RuleSheet,
};

/// Characters that a worn or weathered tag gives for one another.
const LOOK_ALIKE: [&str; 8] = ["0ODQ", "1IL7", "2Z", "5S", "6G", "8B3", "UV", "MN"];

/// What a tag read says about one claimed tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TagVerdict {
    /// It is this one, and no other tag in reach is as near.
    Matches,
    /// It can be this one, and these as well.
    CouldBe {
        /// Other tags that are as near.
        others: BTreeSet<String>,
    },
    /// It is not this one.
    Differs,
}

/// The tags of every pad within the rule sheet's reach of `pad`, its own left out.
pub fn in_reach(plant: &Plant, rules: &RuleSheet, pad: &AssetId) -> BTreeSet<String> {
    let Some(here) = plant.pads.get(pad) else { return BTreeSet::new() };
    PlaceIndex::of_pads(plant)
        .within(here.at, rules.tag_reach())
        .into_iter()
        .filter(|near| near.id != *pad)
        .filter_map(|near| plant.pads.get(&near.id))
        .flat_map(|near| near.tags.iter().cloned())
        .collect()
}

/// Compares what was read with the claimed tag and with the others in reach.
pub fn read(
    pattern: &str,
    maybe_upside_down: bool,
    claimed: &str,
    others: &BTreeSet<String>,
    rules: &RuleSheet,
) -> TagVerdict {
    let cost = |tag: &str| {
        let upright = distance(pattern, tag, rules);
        match (maybe_upside_down, turned(pattern)) {
            (true, Some(turned)) => upright.min(distance(&turned, tag, rules)),
            _ => upright,
        }
    };
    let mine = cost(claimed);
    if mine > rules.tag_most_cost.to_f64() {
        return TagVerdict::Differs;
    }
    let lead = rules.tag_least_lead.to_f64();
    let near: BTreeSet<String> =
        others.iter().filter(|tag| cost(tag) < mine + lead).cloned().collect();
    if near.is_empty() { TagVerdict::Matches } else { TagVerdict::CouldBe { others: near } }
}

fn plain(text: &str) -> Vec<char> {
    text.chars().filter(|c| c.is_alphanumeric() || *c == '?').flat_map(char::to_uppercase).collect()
}

/// Edit distance in which an unreadable or look-alike character costs less than another one.
fn distance(pattern: &str, tag: &str, rules: &RuleSheet) -> f64 {
    let (read, tag) = (plain(pattern), plain(tag));
    let mut row: Vec<f64> = (0_u32..).map(f64::from).take(tag.len() + 1).collect();
    for &c in &read {
        let mut diagonal = row.first().copied().unwrap_or_default();
        if let Some(first) = row.first_mut() {
            *first += 1.0;
        }
        let mut left = diagonal + 1.0;
        for (&t, cell) in tag.iter().zip(row.iter_mut().skip(1)) {
            let best = (diagonal + unlike(c, t, rules)).min(*cell + 1.0).min(left + 1.0);
            diagonal = *cell;
            *cell = best;
            left = best;
        }
    }
    row.last().copied().unwrap_or_default()
}

fn unlike(read: char, tag: char, rules: &RuleSheet) -> f64 {
    if read == tag {
        0.0
    } else if read == '?' {
        rules.tag_unreadable_cost.to_f64()
    } else if LOOK_ALIKE.iter().any(|class| class.contains(read) && class.contains(tag)) {
        rules.tag_look_alike_cost.to_f64()
    } else {
        1.0
    }
}

/// The pattern turned by half a turn, where every character still reads as one.
fn turned(pattern: &str) -> Option<String> {
    plain(pattern)
        .into_iter()
        .rev()
        .map(|c| match c {
            '6' => Some('9'),
            '9' => Some('6'),
            'M' => Some('W'),
            'W' => Some('M'),
            '0' | '1' | '8' | 'H' | 'I' | 'N' | 'O' | 'S' | 'X' | 'Z' | '?' => Some(c),
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(pattern: &str, upside_down: bool, claimed: &str, others: &[&str]) -> TagVerdict {
        let others = others.iter().map(ToString::to_string).collect();
        read(pattern, upside_down, claimed, &others, &RuleSheet::default())
    }

    #[test]
    fn unreadable_characters_still_match_where_nothing_else_is_near() {
        assert_eq!(check("H?4?1", false, "HB471", &["TR902"]), TagVerdict::Matches);
        assert_eq!(check("hb-471", false, "HB471", &[]), TagVerdict::Matches);
    }

    #[test]
    fn a_neighbour_that_is_as_near_is_named() {
        let others = BTreeSet::from(["HB461".to_owned()]);
        assert_eq!(check("HB4?1", false, "HB471", &["HB461"]), TagVerdict::CouldBe { others });
    }

    #[test]
    fn another_tag_differs() {
        assert_eq!(check("TR902", false, "HB471", &[]), TagVerdict::Differs);
    }

    #[test]
    fn read_upside_down() {
        assert_eq!(check("1619", true, "6191", &[]), TagVerdict::Matches);
        assert_eq!(check("1619", false, "6191", &[]), TagVerdict::Differs);
        assert_eq!(turned("A1"), None, "an A turned reads as nothing");
    }
}
