//! Claims of the record side by side with what was seen.

use std::collections::BTreeSet;

use super::{
    judge::Found,
    tag::{self, TagVerdict},
    verdict::{CandidateRow, PremisesVerdict},
};
use crate::{
    plant::{LonLat, Metal, Plant, distance},
    quantity::{AssetId, SightingId, StayId, in_metres},
    rule_sheet::RuleSheet,
    sighting::{Candidate, Drawn, End, Evidence, Ground, Seen, SetAt, resolve},
};

/// One thing the record says that bears on the job.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Claim {
    /// This set feeds the target.
    Feeds {
        /// The target.
        service: AssetId,
        /// Where the record has its set.
        set: SetAt,
    },
    /// This is the number on the target's meter.
    MeterNumber {
        /// The target.
        service: AssetId,
        /// Its numbers.
        numbers: Vec<String>,
    },
    /// That set is of this metal and size.
    Conductor {
        /// The set.
        set: SetAt,
        /// Metal.
        metal: Metal,
        /// Size.
        size: String,
    },
    /// That pad holds this many sets.
    SetCount {
        /// The pad.
        pad: AssetId,
        /// How many.
        count: usize,
    },
    /// That pad carries this tag.
    Tag {
        /// The pad.
        pad: AssetId,
        /// The tag.
        tag: String,
    },
    /// That pad stands there.
    Place {
        /// The pad.
        pad: AssetId,
    },
}

impl Claim {
    /// The stable id of this kind of claim.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::Feeds { .. } => "claim-feeds",
            Self::MeterNumber { .. } => "claim-meter-number",
            Self::Conductor { .. } => "claim-conductor",
            Self::SetCount { .. } => "claim-set-count",
            Self::Tag { .. } => "claim-tag",
            Self::Place { .. } => "claim-place",
        }
    }

    /// Whether it names the target's pad or set, so that the way to the target falls with it.
    pub const fn names_the_way(&self) -> bool {
        matches!(self, Self::Feeds { .. })
    }
}

/// How a claim stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// What was seen bears it out.
    Agrees,
    /// Nothing seen decides it.
    Unsettled,
    /// What was seen excludes it.
    Contradicts,
}

impl Standing {
    /// The word for it.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Unsettled => "unsettled",
            Self::Contradicts => "contradicts",
        }
    }
}

/// A claim and how it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LedgerRow {
    /// What the record says.
    pub claim: Claim,
    /// How it stands.
    pub standing: Standing,
    /// The sightings that say so.
    pub sightings: BTreeSet<SightingId>,
}

/// All claims that bear on the target.
pub(crate) fn rows(
    plant: &Plant,
    rules: &RuleSheet,
    evidence: &Evidence,
    drawn: &Drawn,
    found: &Found,
) -> Vec<LedgerRow> {
    let look = Look { plant, rules, evidence, drawn, found };
    let mut rows = Vec::new();
    let claimed = claimed_set(plant, &evidence.target);
    if let Some(set) = &claimed {
        rows.push(look.feeds(set));
    }
    rows.extend(look.meter_number());
    if let Some(set) = &claimed {
        rows.extend(look.conductor(set));
        rows.push(look.set_count(&set.pad));
        rows.extend(look.tags(&set.pad));
        rows.extend(look.place(&set.pad));
    }
    rows
}

/// Where the record has the target's set.
pub(crate) fn claimed_set(plant: &Plant, target: &AssetId) -> Option<SetAt> {
    let feed = plant.feed_of(target).ok()?;
    Some(SetAt { pad: feed.pad?, position: feed.position? })
}

struct Look<'a> {
    plant: &'a Plant,
    rules: &'a RuleSheet,
    evidence: &'a Evidence,
    drawn: &'a Drawn,
    found: &'a Found,
}

fn row(claim: Claim, standing: Standing, sightings: BTreeSet<SightingId>) -> LedgerRow {
    LedgerRow { claim, standing, sightings }
}

impl Look<'_> {
    fn feeds(&self, set: &SetAt) -> LedgerRow {
        let claim = Claim::Feeds { service: self.evidence.target.clone(), set: set.clone() };
        let claimed = Candidate::Set(set.clone());
        if let Some((identified, holds)) = &self.found.identified {
            let by = holds.first().map(|all| all.by.clone()).unwrap_or_default();
            let agrees = identified == set;
            let standing = if agrees { Standing::Agrees } else { Standing::Contradicts };
            return row(claim, standing, by);
        }
        // The way the record names is excluded with the claimed set; or, where nobody sees a set at
        // the claimed position, with every set that is seen in the claimed pad.
        let of_pad = || {
            self.found
                .candidates
                .iter()
                .filter(|row| matches!(&row.candidate, Candidate::Set(seen) if seen.pad == set.pad))
        };
        let named: Vec<&CandidateRow> = if of_pad().any(|row| row.candidate == claimed) {
            of_pad().filter(|row| row.candidate == claimed).collect()
        } else {
            of_pad().collect()
        };
        if named.is_empty() || named.iter().any(|row| row.excluded_by.is_empty()) {
            return row(claim, Standing::Unsettled, BTreeSet::new());
        }
        let by = named.into_iter().flat_map(|row| row.excluded_by.iter().cloned()).collect();
        row(claim, Standing::Contradicts, by)
    }

    fn at_target(&self, stay: &StayId) -> bool {
        matches!(self.found.premises.get(stay), Some(PremisesVerdict::Identified { service })
            if *service == self.evidence.target)
    }

    fn meter_number(&self) -> Option<LedgerRow> {
        let target = self.plant.services.get(&self.evidence.target)?;
        let claim =
            Claim::MeterNumber { service: target.id.clone(), numbers: target.meters.clone() };
        let by = |grounds: [Ground; 2]| -> BTreeSet<SightingId> {
            self.drawn
                .premises
                .iter()
                .filter(|effect| grounds.contains(&effect.ground) && self.at_target(&effect.stay))
                .map(|effect| effect.sighting.clone())
                .collect()
        };
        let against = by([Ground::MeterNumberDiffers, Ground::MeterPhotoDiffers]);
        if !against.is_empty() {
            return Some(row(claim, Standing::Contradicts, against));
        }
        let with = by([Ground::MeterNumber, Ground::MeterPhoto]);
        let standing = if with.is_empty() { Standing::Unsettled } else { Standing::Agrees };
        Some(row(claim, standing, with))
    }

    fn conductor(&self, set: &SetAt) -> Option<LedgerRow> {
        let mapped = self
            .plant
            .sets_of_pad(&set.pad)
            .into_iter()
            .find(|mapped| mapped.position.as_deref() == Some(set.position.as_str()))?;
        let claim =
            Claim::Conductor { set: set.clone(), metal: mapped.metal, size: mapped.size.clone() };
        let mut with = BTreeSet::new();
        let mut against = BTreeSet::new();
        for sighting in self.evidence.sightings.values() {
            let Seen::Conductor { end: End::Lug { pad, handle }, metal, size } = &sighting.seen
            else {
                continue;
            };
            if resolve(self.evidence, pad, handle).as_ref() != Some(set) {
                continue;
            }
            let same =
                *metal == mapped.metal && size.as_ref().is_none_or(|size| *size == mapped.size);
            if same { &mut with } else { &mut against }.insert(sighting.id.clone());
        }
        Some(decide(claim, with, against))
    }

    fn set_count(&self, pad: &AssetId) -> LedgerRow {
        let mapped = self.plant.sets_of_pad(pad).len();
        let claim = Claim::SetCount { pad: pad.clone(), count: mapped };
        let mut with = BTreeSet::new();
        let mut against = BTreeSet::new();
        for sighting in self.evidence.sightings.values() {
            if let Seen::SetCount { pad: at, count } = &sighting.seen
                && at == pad
            {
                let same = usize::from(*count) == mapped;
                if same { &mut with } else { &mut against }.insert(sighting.id.clone());
            }
        }
        decide(claim, with, against)
    }

    fn tags(&self, pad: &AssetId) -> Vec<LedgerRow> {
        let Some(mapped) = self.plant.pads.get(pad) else { return Vec::new() };
        let tags = mapped.tags.iter().map(|tag| {
            let claim = Claim::Tag { pad: pad.clone(), tag: tag.clone() };
            let mut with = BTreeSet::new();
            let mut against = BTreeSet::new();
            for sighting in self.evidence.sightings.values() {
                if let Seen::Tag { pad: Some(at), pattern, maybe_upside_down } = &sighting.seen
                    && at == pad
                {
                    let near = tag::in_reach(self.plant, self.rules, pad);
                    match tag::read(pattern, *maybe_upside_down, tag, &near, self.rules) {
                        TagVerdict::Matches => with.insert(sighting.id.clone()),
                        TagVerdict::CouldBe { .. } => false,
                        TagVerdict::Differs => against.insert(sighting.id.clone()),
                    };
                }
            }
            decide(claim, with, against)
        });
        tags.collect()
    }

    fn place(&self, pad: &AssetId) -> Option<LedgerRow> {
        let mapped = self.plant.pads.get(pad)?;
        let claim = Claim::Place { pad: pad.clone() };
        let mut with = BTreeSet::new();
        let mut against = BTreeSet::new();
        for sighting in self.evidence.sightings.values() {
            if let Seen::Fix { pad: Some(at), lon_deg, lat_deg, radius68_m } = &sighting.seen
                && at == pad
            {
                let fix = LonLat { lon_deg: lon_deg.to_f64(), lat_deg: lat_deg.to_f64() };
                let far = place_differs(
                    in_metres(distance(fix, mapped.at)),
                    radius68_m.to_f64(),
                    in_metres(mapped.accuracy),
                    self.rules.position_chi_square.to_f64(),
                );
                if far { &mut against } else { &mut with }.insert(sighting.id.clone());
            }
        }
        Some(decide(claim, with, against))
    }
}

fn decide(claim: Claim, with: BTreeSet<SightingId>, against: BTreeSet<SightingId>) -> LedgerRow {
    if !against.is_empty() {
        row(claim, Standing::Contradicts, against)
    } else if with.is_empty() {
        row(claim, Standing::Unsettled, with)
    } else {
        row(claim, Standing::Agrees, with)
    }
}

/// A 68 % radius of a circular normal error is 1.5096 standard deviations of one axis:
/// sqrt(-2 ln 0.32). Source: the Rayleigh distribution's quantile.
const SIGMAS_IN_RADIUS68: f64 = 1.509_592;

/// Chi-square with two degrees of freedom: squared distance over squared standard deviation.
pub(super) fn place_differs(distance_m: f64, fix68_m: f64, map68_m: f64, limit: f64) -> bool {
    let variance = (fix68_m / SIGMAS_IN_RADIUS68).mul_add(
        fix68_m / SIGMAS_IN_RADIUS68,
        (map68_m / SIGMAS_IN_RADIUS68) * (map68_m / SIGMAS_IN_RADIUS68),
    );
    variance > 0.0 && distance_m * distance_m / variance > limit
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn radius_of_68_percent_is_rayleigh() {
        let expected = libm::sqrt(-2.0 * libm::log(0.32));
        assert!((SIGMAS_IN_RADIUS68 - expected).abs() < 1e-6);
    }

    #[test]
    fn a_fix_far_off_speaks_against_the_place() {
        // 5.99 is the 95 % quantile of chi-square with two degrees of freedom (tables, SciPy).
        assert!(!place_differs(9.4, 5.0, 3.0, 5.99));
        assert!(place_differs(9.5, 5.0, 3.0, 5.99));
        assert!(place_differs(25.0, 5.0, 3.0, 5.99));
    }
}
