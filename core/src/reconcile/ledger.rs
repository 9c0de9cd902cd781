//! Claims of the record side by side with what was seen.

use std::collections::BTreeSet;

use super::{
    judge::Found,
    verdict::{CandidateRow, PremisesVerdict},
};
use crate::{
    plant::{Metal, Plant},
    quantity::{AssetId, SightingId, StayId},
    rule_sheet::RuleSheet,
    sighting::{
        Candidate, Drawn, End, Evidence, Fixed, Ground, Seen, SetAt, TagRead, TagVerdict, resolve,
        tags_in_reach,
    },
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
        let reads: Vec<(&SightingId, TagRead)> = self
            .evidence
            .sightings
            .values()
            .filter_map(|sighting| match &sighting.seen {
                Seen::Tag { pad: Some(at), pattern, maybe_upside_down } if at == pad => {
                    let read = TagRead::new(pattern, *maybe_upside_down, self.rules);
                    Some((&sighting.id, read))
                }
                _ => None,
            })
            .collect();
        let near = if reads.is_empty() {
            BTreeSet::new()
        } else {
            tags_in_reach(self.plant, self.rules, pad)
        };
        let tags = mapped.tags.iter().map(|tag| {
            let claim = Claim::Tag { pad: pad.clone(), tag: tag.clone() };
            let said = |wanted: &TagVerdict| -> BTreeSet<SightingId> {
                reads
                    .iter()
                    .filter(|(_, read)| read.verdict(tag, &mapped.tags, &near) == *wanted)
                    .map(|&(id, _)| id.clone())
                    .collect()
            };
            decide(claim, said(&TagVerdict::Matches), said(&TagVerdict::Differs))
        });
        tags.collect()
    }

    fn place(&self, pad: &AssetId) -> Option<LedgerRow> {
        let mapped = self.plant.pads.get(pad)?;
        let claim = Claim::Place { pad: pad.clone() };
        let Some(fix) = Fixed::at_pad(Some(pad), self.evidence.sightings.values(), self.rules)
        else {
            return Some(row(claim, Standing::Unsettled, BTreeSet::new()));
        };
        let limit = self.rules.position_chi_square.to_f64();
        let far = fix.chi_square(mapped.at, mapped.accuracy) > limit;
        let standing = if far { Standing::Contradicts } else { Standing::Agrees };
        Some(row(claim, standing, fix.sightings))
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
