//! A worn tag against the tags of the record.
//!
//! A read is a pattern: what could be read, `?` for each character that could not, and whether it
//! may have been read upside down. What it costs to take the pattern for a tag is the least sum of
//! changes that makes one of the other:
//!
//! | change | cost | why |
//! |---|---|---|
//! | the same character | 0 | |
//! | an unreadable character | `tag_unreadable_cost` | it may be any one, and says no more than that one stands there |
//! | a look-alike, one class of [`LOOK_ALIKES`] | `tag_look_alike_cost` | wear turns one into the other |
//! | another character, one too many, one too few | 1 | a slip of the eye, or another tag |
//!
//! Costs are whole thousandths, so that sums compare exactly. Two numbers decide: up to
//! `tag_most_cost` a pattern can be a tag at all, and of two tags the one that costs less by
//! `tag_least_lead` is clearly the nearer one.
//!
//! What alone could make a read false: the look itself; a plate worn beyond these classes, changed
//! with its neighbour's or replaced; a tag of the record that was never painted. All of these happen
//! far too often, so a tag excludes no cable set. It orders the search and contradicts claims.

use std::collections::BTreeSet;

use crate::{
    plant::{Follow, Plant, plain},
    quantity::AssetId,
    rule_sheet::RuleSheet,
};

/// What one plain difference costs, thousandths.
const DIFFERENCE: u32 = 1000;

/// Characters that a worn or weathered tag gives for one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LookAlikes {
    /// The characters.
    pub characters: &'static str,
    /// Why they do.
    pub why: &'static str,
}

/// The classes of look-alikes. Common practice, no source: they follow the shapes of stencilled and
/// embossed capitals.
pub const LOOK_ALIKES: [LookAlikes; 8] = [
    LookAlikes { characters: "0ODQ", why: "a round; its bar or tail goes first" },
    LookAlikes { characters: "1IL7", why: "an upright; its foot or arm goes first" },
    LookAlikes { characters: "2Z", why: "the same stroke, round or angled" },
    LookAlikes { characters: "5S", why: "the same stroke, angled or round" },
    LookAlikes { characters: "6G", why: "an open round with a bar" },
    LookAlikes { characters: "8B3", why: "two rounds; the left side goes first" },
    LookAlikes { characters: "UV", why: "the same foot, round or angled" },
    LookAlikes { characters: "MN", why: "uprights; one slanted stroke is lost" },
];

/// What a read says about one claimed tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TagVerdict {
    /// It is this one: no other tag in reach is nearly as near, and more than a plain difference
    /// would have to be wrong for it to be none of them.
    Matches,
    /// It can be this one, and these as well. None: it can also be a tag that the record does not
    /// have.
    CouldBe {
        /// Other tags that are nearly as near.
        others: BTreeSet<String>,
    },
    /// It is another tag of the same pad, and says nothing about this one.
    AnotherOfThePad,
    /// It is not this one.
    Differs,
}

/// A tag of the record that a read can be.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct TagFit {
    /// What taking the read for it costs, thousandths of a plain difference.
    pub cost: u32,
    /// The tag, as tags are compared.
    pub tag: String,
    /// The pads that should carry it, by name.
    pub pads: Vec<AssetId>,
}

/// What could be read on a tag.
#[derive(Debug, Clone)]
pub struct TagRead {
    /// Upright, and turned where it may have been upside down and every character reads turned.
    ways: Vec<Vec<Character>>,
    /// Whether enough of it could be read to say anything alone.
    enough: bool,
    /// What its unreadable characters cost, whatever tag it is.
    least: u32,
    weights: Weights,
}

/// A character of a pattern, with the classes that it is in: one bit each.
#[derive(Debug, Clone, Copy)]
struct Character {
    read: char,
    classes: u32,
}

#[derive(Debug, Clone, Copy)]
struct Weights {
    look_alike: u32,
    unreadable: u32,
    most: u32,
    lead: u32,
}

impl TagRead {
    /// A pattern, to be weighed by a rule sheet.
    pub fn new(pattern: &str, maybe_upside_down: bool, rules: &RuleSheet) -> Self {
        let upright = characters(pattern);
        let weights = Weights {
            look_alike: rules.tag_look_alike_cost.thousandths(),
            unreadable: rules.tag_unreadable_cost.thousandths(),
            most: rules.tag_most_cost.thousandths(),
            lead: rules.tag_least_lead.thousandths(),
        };
        let unreadable = count(upright.iter().filter(|&&c| c == '?').count());
        let all = count(upright.len());
        let share = rules.tag_least_read_share.thousandths();
        let turned = if maybe_upside_down { turned(&upright) } else { None };
        Self {
            enough: all > 0 && (all - unreadable).saturating_mul(1000) >= all.saturating_mul(share),
            least: unreadable.saturating_mul(weights.unreadable),
            ways: std::iter::once(upright).chain(turned).map(|way| classed(&way)).collect(),
            weights,
        }
    }

    /// What it costs to take the read for a tag; none where it is more than the rule sheet allows.
    pub fn cost(&self, tag: &str) -> Option<u32> {
        let letters: Vec<char> = plain(tag).chars().collect();
        self.cost_of(&letters)
    }

    /// The same for the letters of a tag as tags are compared.
    pub fn cost_of(&self, letters: &[char]) -> Option<u32> {
        let follow = |pattern| {
            let worn = Worn { pattern, weights: self.weights };
            let mut row = worn.start();
            for &letter in letters {
                row = worn.step(&row, letter)?;
            }
            worn.end(&row)
        };
        self.ways.iter().filter_map(|way| follow(way)).min()
    }

    /// Every tag of the sheet that the read can be, cheapest first, then by tag. None where too
    /// little could be read: it would be any tag of that length.
    pub fn fits(&self, plant: &Plant) -> Vec<TagFit> {
        if !self.enough {
            return Vec::new();
        }
        let mut fits: Vec<TagFit> = Vec::new();
        for way in &self.ways {
            let worn = Worn { pattern: way, weights: self.weights };
            fits.extend(plant.tags().follow(&worn).into_iter().map(|(tagged, cost)| TagFit {
                cost,
                tag: tagged.tag(),
                pads: tagged.pads().to_vec(),
            }));
        }
        fits.sort_unstable();
        let mut seen = BTreeSet::new();
        fits.retain(|fit| seen.insert(fit.tag.clone()));
        fits
    }

    /// What the read says about one claimed tag of a pad, beside the pad's other tags and those in
    /// reach.
    pub fn verdict(
        &self,
        claimed: &str,
        of_pad: &[String],
        in_reach: &BTreeSet<String>,
    ) -> TagVerdict {
        let weighed = |tag: &'_ String| self.cost(tag).map(|cost| (cost, tag.clone()));
        let of_pad = of_pad.iter().filter(|tag| plain(tag) != plain(claimed));
        let siblings: Vec<(u32, String)> = of_pad.filter_map(weighed).collect();
        let strangers: Vec<(u32, String)> = in_reach.iter().filter_map(weighed).collect();
        let nearest = |tags: &[(u32, String)]| tags.iter().map(|(cost, _)| *cost).min();
        let (mine, sibling, stranger) =
            (self.cost(claimed), nearest(&siblings), nearest(&strangers));
        let lead = self.weights.lead;
        let clearly = |one: Option<u32>, than: Option<u32>| match (one, than) {
            (Some(one), Some(than)) => one.saturating_add(lead) <= than,
            (Some(_), None) => true,
            (None, _) => false,
        };
        if clearly(sibling, mine) && !clearly(stranger, sibling) {
            return TagVerdict::AnotherOfThePad;
        }
        let Some(cost) = mine else { return TagVerdict::Differs };
        if self.enough && clearly(stranger, mine) {
            return TagVerdict::Differs;
        }
        let others: BTreeSet<String> = siblings
            .into_iter()
            .chain(strangers)
            .filter(|(other, _)| *other < cost.saturating_add(lead))
            .map(|(_, tag)| tag)
            .collect();
        let may_be_none = !self.enough || cost >= self.least.saturating_add(DIFFERENCE);
        if others.is_empty() && !may_be_none {
            TagVerdict::Matches
        } else {
            TagVerdict::CouldBe { others }
        }
    }
}

/// The tags of every pad within the rule sheet's reach of `pad`, its own left out.
pub fn tags_in_reach(plant: &Plant, rules: &RuleSheet, pad: &AssetId) -> BTreeSet<String> {
    let Some(here) = plant.pads.get(pad) else { return BTreeSet::new() };
    plant
        .pads_by_place()
        .within(here.at, rules.tag_reach())
        .into_iter()
        .filter(|near| near.id != *pad)
        .filter_map(|near| plant.pads.get(&near.id))
        .flat_map(|near| near.tags.iter().cloned())
        .collect()
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn characters(pattern: &str) -> Vec<char> {
    pattern
        .chars()
        .filter(|c| c.is_alphanumeric() || *c == '?')
        .flat_map(char::to_uppercase)
        .collect()
}

/// The pattern turned by half a turn, where every character still reads as one.
fn turned(upright: &[char]) -> Option<Vec<char>> {
    upright
        .iter()
        .rev()
        .map(|&c| match c {
            '6' => Some('9'),
            '9' => Some('6'),
            'M' => Some('W'),
            'W' => Some('M'),
            '0' | '1' | '8' | 'H' | 'I' | 'N' | 'O' | 'S' | 'X' | 'Z' | '?' => Some(c),
            _ => None,
        })
        .collect()
}

/// The weighted edit distance from a pattern, a row at a time as a tag goes on letter by letter.
struct Worn<'a> {
    pattern: &'a [Character],
    weights: Weights,
}

impl Worn<'_> {
    fn unlike(&self, character: Character, letter: Character) -> u32 {
        if character.read == letter.read {
            0
        } else if character.read != '?' && character.classes & letter.classes != 0 {
            self.weights.look_alike
        } else {
            self.strange(character)
        }
    }

    /// What it costs where a letter is like nothing that was read.
    fn strange(&self, character: Character) -> u32 {
        if character.read == '?' { self.weights.unreadable } else { DIFFERENCE }
    }

    /// The row after a letter for which each character of the pattern costs what `unlike` says.
    fn next(&self, row: &[u32], unlike: impl Fn(Character) -> u32) -> Option<Vec<u32>> {
        let mut left = row.first().map_or(u32::MAX, |cost| cost.saturating_add(DIFFERENCE));
        let mut next = Vec::with_capacity(row.len());
        next.push(left);
        let above = row.iter().zip(row.iter().skip(1));
        for (&character, (&diagonal, &above)) in self.pattern.iter().zip(above) {
            left = diagonal
                .saturating_add(unlike(character))
                .min(above.saturating_add(DIFFERENCE))
                .min(left.saturating_add(DIFFERENCE));
            next.push(left);
        }
        // A row's least cost never falls as the tag goes on.
        let hopeful = next.iter().any(|&cost| cost <= self.weights.most);
        hopeful.then_some(next)
    }
}

/// The classes that a character is in: one bit each.
fn classes(read: char) -> u32 {
    LOOK_ALIKES
        .iter()
        .zip(0_u32..)
        .filter(|(class, _)| class.characters.contains(read))
        .fold(0, |classes, (_, bit)| classes | 1 << bit)
}

fn classed(way: &[char]) -> Vec<Character> {
    way.iter().map(|&read| Character { read, classes: classes(read) }).collect()
}

/// The characters that a worn one may have been, itself left out.
fn look_alikes(read: char) -> impl Iterator<Item = char> {
    LOOK_ALIKES
        .iter()
        .filter(move |class| class.characters.contains(read))
        .flat_map(|class| class.characters.chars())
        .filter(move |&one| one != read)
}

impl Follow for Worn<'_> {
    type State = Vec<u32>;
    type Found = u32;

    fn start(&self) -> Vec<u32> {
        (0..=count(self.pattern.len())).map(|n| n.saturating_mul(DIFFERENCE)).collect()
    }

    fn step(&self, row: &Vec<u32>, letter: char) -> Option<Vec<u32>> {
        let letter = Character { read: letter, classes: classes(letter) };
        self.next(row, |character| self.unlike(character, letter))
    }

    fn letters_next(&self, row: &Vec<u32>) -> Option<Vec<char>> {
        // A letter that is like none of the pattern stands for all such letters.
        if self.next(row, |character| self.strange(character)).is_some() {
            return None;
        }
        let most = self.weights.most;
        let mut letters = Vec::new();
        let open = self.pattern.iter().zip(row).filter(|(_, cost)| **cost <= most);
        for (character, &cost) in open {
            letters.push(character.read);
            if cost.saturating_add(self.weights.look_alike) <= most {
                letters.extend(look_alikes(character.read));
            }
        }
        letters.sort_unstable();
        letters.dedup();
        Some(letters)
    }

    fn end(&self, row: &Vec<u32>) -> Option<u32> {
        row.last().copied().filter(|&cost| cost <= self.weights.most)
    }
}

#[cfg(test)]
mod tests;
