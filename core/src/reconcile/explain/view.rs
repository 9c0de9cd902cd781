//! The record as it would be if some of its claims were false.

use super::{
    claim::FalseClaim,
    facts::{Facts, SetFact, TagRead, Whereabouts},
    near::Near,
    slot::Slot,
};
use crate::{
    plant::Set,
    quantity::{AssetId, StayId},
    sighting::SetAt,
};

/// The record of the neighbourhood with some claims taken as false.
#[derive(Clone, Copy)]
pub(super) struct View<'a> {
    pub(super) near: &'a Near<'a>,
    pub(super) facts: &'a Facts<'a>,
    pub(super) falsified: &'a [&'a FalseClaim],
}

/// What a pad or service carries: the tag or number the record gives to this one, or another than
/// the record gives to this one.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Carries<'a> {
    That(&'a AssetId),
    NotThat(&'a AssetId),
}

/// How a service is fed.
#[derive(Clone, PartialEq, Eq)]
pub(super) enum Fed {
    /// From this lug.
    At(SetAt),
    /// From this pad, at a position nobody has seen.
    From(AssetId),
    /// From where nobody has looked.
    Unseen,
}

/// Metal and size of a set.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Conductor {
    /// As the record has it.
    AsMapped,
    /// Not as the record has it.
    Other,
    /// As the record has it at one end alone.
    TwoKinds,
}

impl<'a> View<'a> {
    /// Which pad it is that the crew calls so. Where two tags are swapped, a crew whose reads show one
    /// of them stood at the pad that carries it.
    pub(super) fn pad(&self, called: &'a AssetId) -> &'a AssetId {
        for claim in self.falsified {
            match claim {
                FalseClaim::PadMistaken { taken, is } if taken == called => return is,
                FalseClaim::TagsSwapped { one, other } if one == called || other == called => {
                    if self.shows(called, one, other) {
                        return other;
                    }
                    if self.shows(called, other, one) {
                        return one;
                    }
                }
                _ => {}
            }
        }
        called
    }

    /// Whether what was read there is the tag of `this` pad and not of `that`.
    fn shows(&self, called: &AssetId, this: &AssetId, that: &AssetId) -> bool {
        let mut reads = self.facts.tags.iter().filter(|read| read.at == called).peekable();
        let fits = |read: &TagRead<'_>| match read.clear {
            Some(clear) => clear == this,
            None => read.fits.contains(this) && !read.fits.contains(that),
        };
        reads.peek().is_some() && reads.all(fits)
    }

    /// The set where the crew says that it was.
    pub(super) fn lug(&self, seen: &'a SetAt) -> SetAt {
        SetAt { pad: self.pad(&seen.pad).clone(), position: seen.position.clone() }
    }

    /// The tag on a pad.
    pub(super) fn tag(&self, pad: &'a AssetId) -> Carries<'a> {
        let claim = self.falsified.iter().find_map(|claim| match claim {
            FalseClaim::TagsSwapped { one, other } if one == pad => Some(Carries::That(other)),
            FalseClaim::TagsSwapped { one, other } if other == pad => Some(Carries::That(one)),
            FalseClaim::TagReplaced { pad: at } if at == pad => Some(Carries::NotThat(pad)),
            _ => None,
        });
        claim.unwrap_or(Carries::That(pad))
    }

    /// The number on a service's meter.
    pub(super) fn number(&self, service: &'a AssetId) -> Carries<'a> {
        let claim = self.falsified.iter().find_map(|claim| match claim {
            FalseClaim::MetersSwapped { one, other } if one == service => {
                Some(Carries::That(other))
            }
            FalseClaim::MetersSwapped { one, other } if other == service => {
                Some(Carries::That(one))
            }
            FalseClaim::WrongMeterNumber { service: of } if of == service => {
                Some(Carries::NotThat(service))
            }
            _ => None,
        });
        claim.unwrap_or(Carries::That(service))
    }

    /// The service whose meter carries the number that the record gives to `owner`.
    fn bearer(&self, owner: &'a AssetId) -> Option<&'a AssetId> {
        match self.number(owner) {
            // A swap of two leads back to the first from either side.
            Carries::That(bearer) => Some(bearer),
            Carries::NotThat(_) => None,
        }
    }

    /// The service where a stay was.
    pub(super) fn at(&self, stay: &StayId) -> Option<&'a AssetId> {
        match self.facts.stays.get(stay)? {
            Whereabouts::At(service) => Some(service),
            Whereabouts::NumberOf(owner) => self.bearer(owner),
        }
    }

    /// The service that a sighting of a set is about.
    pub(super) fn about(&self, fact: &SetFact<'_>) -> Option<&'a AssetId> {
        let mut stays = fact.stays.iter().map(|stay| self.at(stay));
        let Some(first) = stays.next() else { return Some(self.facts.target) };
        stays.all(|other| other == first).then_some(first)?
    }

    /// Whether a pad stands elsewhere than it is drawn.
    pub(super) fn moved(&self, pad: &AssetId) -> bool {
        self.falsified
            .iter()
            .any(|claim| matches!(claim, FalseClaim::PadMoved { pad: at } if at == pad))
    }

    /// Where a set stands that the record has at this lug.
    fn stands(&self, at: &SetAt) -> SetAt {
        let position = self.falsified.iter().find_map(|claim| match claim {
            FalseClaim::LugsSwapped { pad, one, other } if *pad == at.pad => {
                if *one == at.position {
                    Some(other)
                } else {
                    (*other == at.position).then_some(one)
                }
            }
            _ => None,
        });
        let position = position.unwrap_or(&at.position).clone();
        SetAt { pad: at.pad.clone(), position }
    }

    /// The set at a lug; none: the record has none there.
    pub(super) fn set(&self, at: &SetAt) -> Option<&'a Set> {
        // A swap of two leads back from either side.
        self.near.lugs.get(&self.stands(at)).copied()
    }

    /// The service in whose place on the record this one is fed: its own, or that of the one with
    /// which it is swapped.
    fn place<'s>(&'s self, service: &'s AssetId) -> &'s AssetId {
        let swapped = self.falsified.iter().find_map(|claim| match claim {
            FalseClaim::SetsSwapped { one, other } if one == service => Some(other),
            FalseClaim::SetsSwapped { one, other } if other == service => Some(one),
            _ => None,
        });
        swapped.unwrap_or(service)
    }

    /// How a service is fed, where that is not by any set the record has for somebody.
    fn fed_otherwise(&self, service: &AssetId) -> Option<Fed> {
        self.falsified.iter().find_map(|claim| match claim {
            FalseClaim::WrongPosition { service: of, at }
            | FalseClaim::SharedSet { service: Some(of), at }
                if of == service =>
            {
                Some(Fed::At(at.clone()))
            }
            FalseClaim::WrongPad { service: of, pad, position } if of == service => {
                Some(match (pad.clone(), position.clone()) {
                    (Some(pad), Some(position)) => Fed::At(SetAt { pad, position }),
                    (Some(pad), None) => Fed::From(pad),
                    (None, _) => Fed::Unseen,
                })
            }
            _ => None,
        })
    }

    /// How a service is fed; none: the record does not say.
    pub(super) fn fed(&self, service: &AssetId) -> Option<Fed> {
        let mapped = || Some(Fed::At(self.stands(&self.near.ways.get(self.place(service))?.at)));
        self.fed_otherwise(service).or_else(mapped)
    }

    /// Services that share this one's set although the record has them apart.
    pub(super) fn strangers(&self, service: &AssetId) -> Vec<&'a AssetId> {
        let near = self.near;
        let Some(Fed::At(lug)) = self.fed(service) else { return Vec::new() };
        let mapped = |service: &AssetId| near.ways.get(self.place(service)).map(|way| &way.at);
        let moved = self.fed_otherwise(service).is_some();
        let here = |other: &AssetId| match self.fed_otherwise(other) {
            Some(fed) => matches!(fed, Fed::At(at) if at == lug),
            None => mapped(other).is_some_and(|at| at.pad == lug.pad && self.stands(at) == lug),
        };
        near.ways
            .keys()
            .filter(|other| *other != service && here(other))
            .filter(|other| {
                moved || self.fed_otherwise(other).is_some() || mapped(other) != mapped(service)
            })
            .collect()
    }

    /// The set that ends at a service; none: the record does not have it.
    pub(super) fn last_set(&self, service: &AssetId) -> Option<&'a Set> {
        if self.fed_otherwise(service).is_some() {
            return None;
        }
        self.near.plant.sets.get(&self.near.ways.get(self.place(service))?.last)
    }

    /// Metal and size of a set.
    pub(super) fn conductor(&self, set: &AssetId) -> Conductor {
        let claim = self.falsified.iter().find_map(|claim| match claim {
            FalseClaim::WrongConductor { set: of } if of == set => Some(Conductor::Other),
            FalseClaim::Splice { set: of } if of == set => Some(Conductor::TwoKinds),
            _ => None,
        });
        claim.unwrap_or(Conductor::AsMapped)
    }

    /// Whether somebody or something hangs on a set that the record does not have there.
    pub(super) fn shared(&self, set: &SetAt) -> bool {
        self.falsified.iter().any(|claim| match claim {
            FalseClaim::SharedSet { at, .. } | FalseClaim::UnmeteredLoad { at } => at == set,
            _ => false,
        })
    }

    /// The fewest and the most sets that a pad can hold; none: not a pad that was looked into.
    pub(super) fn sets_in(&self, pad: &AssetId) -> Option<(i64, i64)> {
        let mapped = i64::from(*self.near.counts.get(pad)?);
        let (mut least, mut most) = (mapped, mapped);
        for claim in self.falsified {
            match claim {
                FalseClaim::SetMissing { pad: at, sets } if at == pad => {
                    least += i64::from(*sets);
                    most += i64::from(*sets);
                }
                FalseClaim::SetExtra { pad: at, sets } if at == pad => {
                    least -= i64::from(*sets);
                    most -= i64::from(*sets);
                }
                FalseClaim::WrongPad { service, pad: to, .. } => {
                    if self.near.has_own_set(service, pad) {
                        least -= 1;
                        most -= 1;
                    }
                    if to.as_ref() == Some(pad) {
                        least += 1;
                        most += 1;
                    }
                }
                // What is drawn for it may lie there unused.
                FalseClaim::SharedSet { service: Some(service), .. }
                    if self.near.has_own_set(service, pad) =>
                {
                    least -= 1;
                }
                _ => {}
            }
        }
        Some((least, most))
    }
}

/// Every part of the record that a claim bears on: those it changes, and the counts of pads that a
/// service leaves or comes to.
pub(super) fn touches<'a>(near: &'a Near<'_>, claim: &'a FalseClaim) -> Vec<Slot<'a>> {
    let mut slots = claim.changes();
    match claim {
        FalseClaim::WrongPad { service, pad, .. } => {
            slots.extend(near.ways.get(service).map(|way| Slot::Sets(&way.at.pad)));
            slots.extend(pad.as_ref().map(Slot::Sets));
        }
        FalseClaim::SharedSet { service: Some(service), .. } => {
            slots.extend(near.ways.get(service).map(|way| Slot::Sets(&way.at.pad)));
        }
        FalseClaim::SetMissing { pad, .. } | FalseClaim::SetExtra { pad, .. } => {
            slots.push(Slot::Sets(pad));
        }
        _ => {}
    }
    slots
}
