//! The record, as it is or with some claims taken as false, against everything that was seen.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    facts::{Look, LookEnd, SetFact, SetFactKind, Whereabouts},
    finding::Contradiction,
    slot::Slot,
    view::{Carries, Conductor, Fed, View},
};
use crate::{
    plant::Set,
    quantity::{AssetId, SightingId, StayId},
};

/// A contradiction, with the parts of the record on which it rests: with none of them changed it
/// stays.
#[derive(Debug, Default)]
pub(super) struct Raised<'a> {
    pub(super) sightings: BTreeSet<&'a SightingId>,
    pub(super) rests: BTreeSet<Slot<'a>>,
}

/// Every contradiction that is left.
pub(super) type All<'a> = BTreeMap<Contradiction, Raised<'a>>;

/// Every contradiction.
pub(super) fn contradictions(view: View<'_>) -> All<'_> {
    let mut compare = Compare { view, all: All::new() };
    for part in Compare::PARTS {
        part(&mut compare);
    }
    compare.all
}

/// Whether there is none: told as soon as one is found.
pub(super) fn consistent(view: View<'_>) -> bool {
    let mut compare = Compare { view, all: All::new() };
    Compare::PARTS.iter().all(|part| {
        part(&mut compare);
        compare.all.is_empty()
    })
}

struct Compare<'a> {
    view: View<'a>,
    all: All<'a>,
}

impl<'a> Compare<'a> {
    const PARTS: [fn(&mut Self); 6] =
        [Self::tags, Self::places, Self::counts, Self::sets, Self::numbers, Self::conductors];

    fn raise(
        &mut self,
        what: Contradiction,
        sightings: impl IntoIterator<Item = &'a SightingId>,
        rests: impl IntoIterator<Item = Slot<'a>>,
    ) {
        let raised = self.all.entry(what).or_default();
        raised.sightings.extend(sightings);
        raised.rests.extend(rests);
    }

    fn tags(&mut self) {
        let view = self.view;
        for read in &view.facts.tags {
            let pad = view.pad(read.at);
            let Some(mapped) = view.near.pads.get(pad) else { continue };
            let right = match view.tag(pad) {
                Carries::That(of) => {
                    let mapped = if of == pad { Some(mapped) } else { view.near.pads.get(of) };
                    mapped.is_none_or(|mapped| mapped.tags.is_empty())
                        || read.clear.map_or_else(|| read.fits.contains(of), |clear| clear == of)
                }
                // Another tag than this: and not one that some other pad carries.
                Carries::NotThat(of) => read
                    .clear
                    .is_none_or(|clear| clear != of && view.tag(clear) != Carries::That(clear)),
            };
            if !right {
                let rests = [Slot::Tag(pad), Slot::Named(read.at)];
                let what = Contradiction::Tag { pad: read.at.clone() };
                self.raise(
                    what,
                    [read.sighting],
                    rests.into_iter().chain(read.clear.map(Slot::Tag)),
                );
            }
        }
    }

    fn places(&mut self) {
        let view = self.view;
        for fix in &view.facts.fixes {
            let pad = view.pad(fix.at);
            let known = view.near.pads.contains_key(pad);
            if known && fix.fits.contains(pad) == view.moved(pad) {
                let what = Contradiction::Place { pad: fix.at.clone() };
                self.raise(what, [fix.sighting], [Slot::Place(pad), Slot::Named(fix.at)]);
            }
        }
    }

    fn counts(&mut self) {
        let view = self.view;
        for count in &view.facts.counts {
            let pad = view.pad(count.at);
            let Some((least, most)) = view.sets_in(pad) else { continue };
            if !(least..=most).contains(&i64::from(count.count)) {
                let what = Contradiction::SetCount { pad: count.at.clone() };
                self.raise(what, [count.sighting], [Slot::Sets(pad), Slot::Named(count.at)]);
            }
        }
    }

    fn conductors(&mut self) {
        let view = self.view;
        let mut by_set: BTreeMap<&AssetId, Ends<'a>> = BTreeMap::new();
        for look in &view.facts.looks {
            let (set, rests) = match &look.end {
                LookEnd::Lug(at) => {
                    let lug = view.lug(at);
                    let Some(set) = view.set(&lug) else { continue };
                    (set, vec![Slot::Named(&at.pad), Slot::Lugs(view.pad(&at.pad))])
                }
                LookEnd::Base(stay) => {
                    let Some(service) = view.at(stay) else { continue };
                    let Some(set) = view.last_set(service) else { continue };
                    let by = self.whereabouts(stay);
                    (set, [Slot::Way(service)].into_iter().chain(by).collect())
                }
            };
            let ends = by_set.entry(&set.id).or_insert_with(|| Ends::of(set));
            ends.rests.extend(rests);
            ends.looks.push(look);
        }
        for (id, ends) in by_set {
            let wrong = ends.wrong(view.conductor(id));
            if !wrong.is_empty() {
                let rests = ends.rests.into_iter().chain([Slot::Conductor(&ends.set.id)]);
                let what = Contradiction::Conductor { set: id.clone() };
                self.raise(what, wrong, rests);
            }
        }
    }

    fn numbers(&mut self) {
        let view = self.view;
        for read in &view.facts.numbers {
            let Some(Whereabouts::At(service)) = view.facts.stays.get(read.stay) else { continue };
            let mapped = view.near.plant.services.get(*service);
            if mapped.is_none_or(|mapped| mapped.meters.is_empty()) {
                continue;
            }
            let right = match view.number(service) {
                Carries::That(of) => read.owner == Some(of),
                // Another number than this: and not one that some other meter carries.
                Carries::NotThat(of) => read
                    .owner
                    .is_none_or(|owner| owner != of && view.number(owner) != Carries::That(owner)),
            };
            if !right {
                let rests =
                    [service].into_iter().chain(read.owner.iter()).map(|&s| Slot::Numbers(s));
                let what = Contradiction::MeterNumber { service: (*service).clone() };
                self.raise(what, [read.sighting], rests);
            }
        }
    }

    fn sets(&mut self) {
        for fact in &self.view.facts.sets {
            self.set(fact);
        }
    }

    fn set(&mut self, fact: &'a SetFact<'a>) {
        let view = self.view;
        let Some(service) = view.about(fact) else { return };
        let Some(fed) = view.fed(service) else { return };
        let lug = view.lug(fact.at);
        let here = matches!(&fed, Fed::At(at) if *at == lug);
        let way = view.near.ways.get(service);
        let strangers: Vec<&'a AssetId> = match fact.kind {
            SetFactKind::For if here && !view.falsified.is_empty() => view.strangers(service),
            _ => Vec::new(),
        };
        let right = match fact.kind {
            SetFactKind::For => here && (strangers.is_empty() || view.shared(&lug)),
            SetFactKind::Against => !here,
            SetFactKind::LoadedMeterOut => {
                !here || view.shared(&lug) || way.is_some_and(|way| !way.alone)
            }
        };
        if right {
            return;
        }
        let pad = view.pad(&fact.at.pad);
        let mut rests = vec![
            Slot::Way(service),
            Slot::Named(&fact.at.pad),
            Slot::Lugs(pad),
            Slot::Others(pad, &fact.at.position),
        ];
        rests.extend(way.map(|way| Slot::Lugs(&way.at.pad)));
        rests.extend(strangers.into_iter().map(Slot::Way));
        rests.extend(fact.stays.iter().filter_map(|stay| self.whereabouts(stay)));
        let (service, at) = (service.clone(), fact.at.clone());
        let what = match fact.kind {
            SetFactKind::For => Contradiction::FedByAnother { service, at },
            SetFactKind::Against => Contradiction::NotFed { service, at },
            SetFactKind::LoadedMeterOut => Contradiction::LoadedMeterOut { service, at },
        };
        self.raise(what, fact.sightings, rests);
    }

    /// The part of the record on which it rests where a stay was.
    fn whereabouts(&self, stay: &StayId) -> Option<Slot<'a>> {
        match self.view.facts.stays.get(stay)? {
            Whereabouts::At(_) => None,
            Whereabouts::NumberOf(owner) => Some(Slot::Numbers(owner)),
        }
    }
}

/// The looks at one set of the record.
struct Ends<'a> {
    set: &'a Set,
    looks: Vec<&'a Look<'a>>,
    rests: Vec<Slot<'a>>,
}

impl<'a> Ends<'a> {
    fn of(set: &'a Set) -> Self {
        Self { set, looks: Vec::new(), rests: Vec::new() }
    }

    fn as_mapped(&self, look: &Look<'_>) -> bool {
        look.metal == self.set.metal && look.size.is_none_or(|size| size == self.set.size)
    }

    /// The looks that cannot be right.
    fn wrong(&self, conductor: Conductor) -> Vec<&'a SightingId> {
        let that = |mapped: bool| {
            self.looks.iter().filter(move |look| self.as_mapped(look) == mapped).copied()
        };
        let all = || self.looks.iter().map(|look| look.sighting).collect();
        match conductor {
            Conductor::AsMapped => that(false).map(|look| look.sighting).collect(),
            Conductor::Other if that(true).next().is_some() => {
                that(true).map(|look| look.sighting).collect()
            }
            Conductor::Other => {
                if alike(that(false)) {
                    Vec::new()
                } else {
                    all()
                }
            }
            Conductor::TwoKinds => {
                let lug = |look: &&Look<'_>| matches!(look.end, LookEnd::Lug(_));
                // Each end is of one kind, and only one of them as the record has it.
                let apart = that(true).all(|look| lug(&look))
                    && that(false).all(|look| !lug(&look))
                    || that(true).all(|look| !lug(&look)) && that(false).all(|look| lug(&look));
                if apart && alike(that(false)) { Vec::new() } else { all() }
            }
        }
    }
}

/// Whether all of these can be looks at one conductor.
fn alike<'a>(looks: impl Iterator<Item = &'a Look<'a>> + Clone) -> bool {
    let others = looks.clone();
    looks.enumerate().all(|(i, one)| {
        others.clone().skip(i + 1).all(|other| {
            one.metal == other.metal
                && one.size.zip(other.size).is_none_or(|(one, other)| one == other)
        })
    })
}
