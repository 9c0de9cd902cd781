//! Where a tag or a fix points to, when that is not simply the pad it was noted at.

use std::collections::BTreeMap;

use super::{
    evidence::Evidence,
    fix::{Fixed, SIGMAS_IN_RADIUS68, chi_square_2_tail},
    seen::{Seen, Sighting},
    tag::{TagFit, TagRead, TagVerdict, tags_in_reach},
};
use crate::{
    plant::{Pad, Plant, distance},
    quantity::{AssetId, Length, SightingId, in_metres},
    rule_sheet::RuleSheet,
};

/// Most tags or pads that are named.
const MOST_NAMED: usize = 5;
/// A pad with a smaller share is not named: one in a hundred.
const LEAST_SHARE: f64 = 0.01;

/// Where a tag or a fix points to.
#[derive(Debug, Clone, PartialEq)]
pub enum Pointer {
    /// These tags of the sheet can be the one that was read, cheapest first; empty: none can.
    Tags(Vec<TagFit>),
    /// These pads can be where the fix was taken, likeliest first; empty: none is in reach.
    Pads {
        /// The pads.
        near: Vec<PadOdds>,
        /// The pad that the fix was noted at, where others are likelier; none: noted at no pad.
        noted: Option<PadOdds>,
    },
}

/// A pad, and what a fix says for it.
#[derive(Debug, Clone, PartialEq)]
pub struct PadOdds {
    /// The pad.
    pub pad: AssetId,
    /// How far the record puts it from the fix.
    pub distance: Length,
    /// Its share of the likelihood of all pads in reach, each as likely before.
    pub share: f64,
    /// How often a fix no better than this, taken at this pad, would come out as far off as it did.
    pub by_chance: f64,
    /// How often a fix no better than this, taken at the noted pad, would come out nearer to this
    /// one; a half where it was noted at none.
    pub mistaken: f64,
}

/// Share of a normal distribution that lies more than `sigmas` above its mean. Checked against SciPy.
pub fn normal_tail(sigmas: f64) -> f64 {
    libm::erfc(sigmas / std::f64::consts::SQRT_2) / 2.0
}

/// Every pad within the rule sheet's reach of a fix, likeliest first. The likelihood of a pad is the
/// circular normal density of the fix there, with the pad's own accuracy in its variance.
pub fn pads_near(
    plant: &Plant,
    rules: &RuleSheet,
    fix: &Fixed,
    noted: Option<&AssetId>,
) -> Vec<PadOdds> {
    let found = plant.pads_by_place().within(fix.at, rules.tag_reach());
    let weigh = |pad: &Pad| {
        let variance = fix.variance_to(pad.accuracy);
        -fix.chi_square(pad.at, pad.accuracy) / 2.0 - libm::log(variance)
    };
    let weighed: Vec<(Length, &Pad, f64)> = found
        .iter()
        .filter_map(|near| plant.pads.get(&near.id).map(|pad| (near.distance, pad, weigh(pad))))
        .collect();
    // Taken from the largest, so that the exponentials neither overflow nor all vanish.
    let largest = weighed.iter().map(|(.., log)| *log).fold(f64::NEG_INFINITY, f64::max);
    let all: f64 = weighed.iter().map(|(.., log)| libm::exp(log - largest)).sum();
    let noted = noted.and_then(|id| plant.pads.get(id));
    let mut near: Vec<PadOdds> = weighed
        .into_iter()
        .map(|(distance, pad, log)| PadOdds {
            pad: pad.id.clone(),
            distance,
            share: libm::exp(log - largest) / all,
            by_chance: chi_square_2_tail(fix.chi_square(pad.at, pad.accuracy)),
            mistaken: noted.map_or(0.5, |noted| mistaken(fix, noted, pad)),
        })
        .collect();
    near.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.pad.cmp(&b.pad)));
    near
}

/// How often a fix taken at `noted` falls beyond the line half way to `other`: the normal tail of
/// half their distance.
fn mistaken(fix: &Fixed, noted: &Pad, other: &Pad) -> f64 {
    let sigma = in_metres(fix.radius68) / SIGMAS_IN_RADIUS68;
    normal_tail(in_metres(distance(noted.at, other.at)) / 2.0 / sigma)
}

/// Where every tag and fix points to that is noted at no pad, or points past the pad it is noted at.
pub fn pointers(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
) -> BTreeMap<SightingId, Pointer> {
    let mut fixes: BTreeMap<Option<&AssetId>, Vec<&Sighting>> = BTreeMap::new();
    let mut pointers = BTreeMap::new();
    for sighting in evidence.sightings.values() {
        match &sighting.seen {
            Seen::Tag { pad, pattern, maybe_upside_down } => {
                let read = TagRead::new(pattern, *maybe_upside_down, rules);
                if pad.as_ref().is_none_or(|pad| !is_of(&read, plant, rules, pad)) {
                    let mut fits = read.fits(plant);
                    fits.truncate(MOST_NAMED);
                    pointers.insert(sighting.id.clone(), Pointer::Tags(fits));
                }
            }
            Seen::Fix { pad, .. } => fixes.entry(pad.as_ref()).or_default().push(sighting),
            _ => {}
        }
    }
    for (pad, of_pad) in fixes {
        let Some(fix) = Fixed::at_pad(pad, of_pad.iter().copied(), rules) else { continue };
        let near = pads_near(plant, rules, &fix, pad);
        let at = near.iter().position(|odds| Some(&odds.pad) == pad);
        if at == Some(0) {
            continue;
        }
        let noted = at.and_then(|at| near.get(at)).cloned();
        let before = near.into_iter().take(at.unwrap_or(MOST_NAMED).min(MOST_NAMED));
        let near: Vec<PadOdds> = before.filter(|odds| odds.share >= LEAST_SHARE).collect();
        let pointer = Pointer::Pads { near, noted };
        pointers.extend(of_pad.into_iter().map(|s| (s.id.clone(), pointer.clone())));
    }
    pointers
}

/// Whether a read is one of the tags that a pad should carry.
fn is_of(read: &TagRead, plant: &Plant, rules: &RuleSheet, pad: &AssetId) -> bool {
    let Some(of_pad) = plant.pads.get(pad).map(|pad| &pad.tags) else { return false };
    let in_reach = tags_in_reach(plant, rules, pad);
    of_pad.iter().any(|tag| read.verdict(tag, of_pad, &in_reach) == TagVerdict::Matches)
}

#[cfg(test)]
mod tests;
