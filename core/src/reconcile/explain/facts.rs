//! What was seen, by the part of the record that it bears on.
//!
//! A look at premises is about the service where the stay was. That is settled by the premises
//! verdict; failing that, by what does not rest on meter numbers; failing that, by the number, and
//! then it falls with the record of that number.

use std::collections::{BTreeMap, BTreeSet};

use super::{near::Near, tags};
use crate::{
    plant::Metal,
    quantity::{AssetId, SightingId, StayId},
    reconcile::{judge::Found, verdict::PremisesVerdict},
    rule_sheet::RuleSheet,
    sighting::{
        Candidate, Cause, Drawn, End, Evidence, Excludes, Fixed, Ground, Premises, PremisesEffect,
        Seen, SetAt, resolve,
    },
};

/// A tag, read at what the crew takes for a pad.
pub(super) struct TagRead<'a> {
    pub(super) sighting: &'a SightingId,
    pub(super) at: &'a AssetId,
    /// Pads whose tag it can be.
    pub(super) fits: BTreeSet<&'a AssetId>,
    /// The one pad whose tag it is, where no other comes near.
    pub(super) clear: Option<&'a AssetId>,
}

/// A fix, taken at what the crew takes for a pad.
pub(super) struct Fix<'a> {
    pub(super) sighting: &'a SightingId,
    pub(super) at: &'a AssetId,
    /// Pads that can stand where all fixes noted at that pad put it.
    pub(super) fits: BTreeSet<&'a AssetId>,
}

/// Sets counted in a pad.
pub(super) struct Count<'a> {
    pub(super) sighting: &'a SightingId,
    pub(super) at: &'a AssetId,
    pub(super) count: u16,
}

/// Metal and size of a set, looked at at one end.
pub(super) struct Look<'a> {
    pub(super) sighting: &'a SightingId,
    pub(super) end: LookEnd<'a>,
    pub(super) metal: Metal,
    pub(super) size: Option<&'a str>,
}

/// Which end.
pub(super) enum LookEnd<'a> {
    Lug(SetAt),
    Base(&'a StayId),
}

/// A meter number, read in a stay.
pub(super) struct NumberRead<'a> {
    pub(super) sighting: &'a SightingId,
    pub(super) stay: &'a StayId,
    /// Whose number it is by the record.
    pub(super) owner: Option<&'a AssetId>,
}

/// What speaks for or against one set as the feed of the service where its stays were.
pub(super) struct SetFact<'a> {
    pub(super) sightings: &'a [SightingId],
    pub(super) stays: BTreeSet<&'a StayId>,
    pub(super) at: &'a SetAt,
    pub(super) kind: SetFactKind,
}

/// What it says.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum SetFactKind {
    /// It is this set.
    For,
    /// It is not this one.
    Against,
    /// Something hangs on it beside the service, or it is not this one.
    LoadedMeterOut,
}

/// Where a stay was.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Whereabouts<'a> {
    /// At this service, whatever the record says of meters.
    At(&'a AssetId),
    /// Where the number is read that the record gives this service.
    NumberOf(&'a AssetId),
}

/// Everything that was seen and bears on the record.
pub(super) struct Facts<'a> {
    pub(super) target: &'a AssetId,
    pub(super) tags: Vec<TagRead<'a>>,
    pub(super) fixes: Vec<Fix<'a>>,
    pub(super) counts: Vec<Count<'a>>,
    pub(super) looks: Vec<Look<'a>>,
    pub(super) numbers: Vec<NumberRead<'a>>,
    pub(super) sets: Vec<SetFact<'a>>,
    pub(super) stays: BTreeMap<&'a StayId, Whereabouts<'a>>,
}

/// Pads that the evidence names.
pub(super) fn pads_named(evidence: &Evidence, drawn: &Drawn) -> BTreeSet<AssetId> {
    let seen = evidence.sightings.values().filter_map(|sighting| match &sighting.seen {
        Seen::Tag { pad, .. } | Seen::Fix { pad, .. } => pad.clone(),
        Seen::SetCount { pad, .. } | Seen::Conductor { end: End::Lug { pad, .. }, .. } => {
            Some(pad.clone())
        }
        _ => None,
    });
    let sets = drawn.sets.iter().map(|effect| effect.set.pad.clone());
    seen.chain(sets).collect()
}

/// Services that the evidence names as the premises of some stay, and the target.
pub(super) fn services_named(evidence: &Evidence, drawn: &Drawn) -> BTreeSet<AssetId> {
    let named = drawn.premises.iter().filter_map(named_by).cloned();
    named.chain([evidence.target.clone()]).collect()
}

fn named_by(effect: &PremisesEffect) -> Option<&AssetId> {
    match &effect.excludes {
        Excludes::AllBut(Premises::Service(service)) => Some(service),
        _ => None,
    }
}

impl<'a> Facts<'a> {
    /// Gathers them.
    pub(super) fn of(
        near: &Near<'a>,
        rules: &RuleSheet,
        evidence: &'a Evidence,
        drawn: &'a Drawn,
        found: &'a Found,
    ) -> Self {
        let mut facts = Self {
            target: &evidence.target,
            tags: Vec::new(),
            fixes: Vec::new(),
            counts: Vec::new(),
            looks: Vec::new(),
            numbers: numbers(evidence, drawn),
            sets: sets(drawn),
            stays: stays(drawn, found),
        };
        for sighting in evidence.sightings.values() {
            facts.look(near, rules, evidence, &sighting.id, &sighting.seen);
        }
        facts
    }

    fn look(
        &mut self,
        near: &Near<'a>,
        rules: &RuleSheet,
        evidence: &'a Evidence,
        sighting: &'a SightingId,
        seen: &'a Seen,
    ) {
        match seen {
            Seen::Tag { pad: Some(at), pattern, maybe_upside_down } => {
                let (fits, clear) = tags::read(near, rules, pattern, *maybe_upside_down);
                self.tags.push(TagRead { sighting, at, fits, clear });
            }
            Seen::Fix { pad: Some(at), .. } => {
                let fix = Fixed::at_pad(Some(at), evidence.sightings.values(), rules);
                let limit = rules.position_chi_square.to_f64();
                let fits = near.pads.values().filter(|pad| {
                    fix.as_ref().is_none_or(|fix| fix.chi_square(pad.at, pad.accuracy) <= limit)
                });
                let fits = fits.map(|pad| &pad.id).collect();
                self.fixes.push(Fix { sighting, at, fits });
            }
            Seen::SetCount { pad: at, count } => {
                self.counts.push(Count { sighting, at, count: *count });
            }
            Seen::Conductor { end, metal, size } => {
                let end = match end {
                    End::Lug { pad, handle } => resolve(evidence, pad, handle).map(LookEnd::Lug),
                    End::Base { stay } => {
                        self.stays.contains_key(stay).then_some(LookEnd::Base(stay))
                    }
                };
                let size = size.as_deref();
                self.looks.extend(end.map(|end| Look { sighting, end, metal: *metal, size }));
            }
            _ => {}
        }
    }
}

/// Numbers read in stays that stand; whose they are by the record follows from what they exclude.
fn numbers<'a>(evidence: &'a Evidence, drawn: &'a Drawn) -> Vec<NumberRead<'a>> {
    let read = drawn.premises.iter().filter(|effect| {
        matches!(
            evidence.sightings.get(&effect.sighting).map(|sighting| &sighting.seen),
            Some(Seen::MeterNumber { .. } | Seen::MeterPhoto { .. })
        )
    });
    read.map(|effect| NumberRead {
        sighting: &effect.sighting,
        stay: &effect.stay,
        owner: named_by(effect),
    })
    .collect()
}

fn sets(drawn: &Drawn) -> Vec<SetFact<'_>> {
    drawn
        .sets
        .iter()
        .filter(|effect| effect.ground != Ground::ConductorDiffers)
        .map(|effect| SetFact {
            sightings: &effect.sightings,
            stays: effect.rests_on.iter().map(|rests| &rests.stay).collect(),
            at: &effect.set,
            kind: match (&effect.excludes, effect.ground) {
                (_, Ground::LoadedMeterOut) => SetFactKind::LoadedMeterOut,
                (Excludes::AllBut(Candidate::Set(_)), _) => SetFactKind::For,
                _ => SetFactKind::Against,
            },
        })
        .collect()
}

fn stays<'a>(drawn: &'a Drawn, found: &'a Found) -> BTreeMap<&'a StayId, Whereabouts<'a>> {
    let by_number = |effect: &&PremisesEffect| effect.causes.contains(&Cause::MeterRecords);
    let mut stays = BTreeMap::new();
    for (stay, verdict) in &found.premises {
        let here = || drawn.premises.iter().filter(move |effect| effect.stay == *stay);
        let at = match verdict {
            PremisesVerdict::Identified { service } => Some(Whereabouts::At(service)),
            PremisesVerdict::Unsettled { .. } => {
                if here().any(|effect| !by_number(&effect)) {
                    one(here().filter(|effect| !by_number(effect))).map(Whereabouts::At)
                } else {
                    one(here()).map(Whereabouts::NumberOf)
                }
            }
        };
        stays.extend(at.map(|at| (stay, at)));
    }
    stays
}

/// The one service that all of these name.
fn one<'a>(effects: impl Iterator<Item = &'a PremisesEffect>) -> Option<&'a AssetId> {
    let mut all = effects.map(named_by);
    let first = all.next()??;
    all.all(|other| other == Some(first)).then_some(first)
}
