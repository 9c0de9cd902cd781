//! Which false claims could have raised a contradiction.

use std::collections::BTreeSet;

use super::{
    claim::{FalseClaim, in_order},
    facts::SetFactKind,
    finding::Contradiction,
    view::{Carries, View},
};
use crate::{quantity::AssetId, sighting::SetAt};

/// Adds every claim that, false, could by itself or with others take a contradiction away.
pub(super) fn propose(view: View<'_>, what: &Contradiction, into: &mut BTreeSet<FalseClaim>) {
    let mut propose = Propose { view, into };
    match what {
        Contradiction::Tag { pad } => propose.tag(pad),
        Contradiction::Place { pad } => propose.place(pad),
        Contradiction::SetCount { pad } => propose.count(pad),
        Contradiction::Conductor { set } => propose.conductor(set),
        Contradiction::MeterNumber { service } => propose.number(service),
        Contradiction::FedByAnother { service, at } => propose.fed_by_another(service, at),
        Contradiction::NotFed { service, at } => propose.not_fed(service, at),
        Contradiction::LoadedMeterOut { service, at } => propose.loaded(service, at),
    }
}

struct Propose<'a, 'b> {
    view: View<'a>,
    into: &'b mut BTreeSet<FalseClaim>,
}

impl Propose<'_, '_> {
    fn add(&mut self, claim: FalseClaim) {
        self.into.insert(claim);
    }

    /// The pads that, by tag or fix, it can be that the crew calls so: one of both speaks for them
    /// and none against.
    fn others_it_can_be(&self, called: &AssetId) -> Vec<AssetId> {
        let facts = self.view.facts;
        let tags = || facts.tags.iter().filter(|read| read.at == called);
        let fixes = || facts.fixes.iter().filter(|fix| fix.at == called);
        let can_be = |pad: &AssetId| {
            let tag = tags().all(|read| {
                read.clear.map_or_else(|| read.fits.contains(pad), |clear| clear == pad)
            });
            let place = fixes().all(|fix| fix.fits.contains(pad));
            let told = tags().next().is_some() || fixes().any(|fix| !fix.fits.contains(called));
            tag && place && told
        };
        let pads = self.view.near.pads.keys();
        pads.filter(|pad| **pad != called && can_be(pad)).map(|pad| (*pad).clone()).collect()
    }

    /// The crew took one pad for another.
    fn mistaken(&mut self, called: &AssetId) {
        for is in self.others_it_can_be(called) {
            self.add(FalseClaim::PadMistaken { taken: called.clone(), is });
        }
    }

    /// A crew that went by a swapped tag took one pad for another: the tag reads as the pad's own.
    fn misled_by_tag(&mut self, called: &AssetId) {
        let own = |read: &&_| -> bool {
            let read: &super::facts::TagRead<'_> = read;
            read.at == called && read.clear == Some(called)
        };
        if self.view.facts.tags.iter().any(|read| own(&read)) {
            let others: Vec<AssetId> =
                self.view.near.pads.keys().map(|pad| (*pad).clone()).collect();
            for other in others.into_iter().filter(|other| other != called) {
                let (one, other) = in_order(called, &other);
                self.add(FalseClaim::TagsSwapped { one, other });
            }
        }
    }

    fn tag(&mut self, called: &AssetId) {
        self.add(FalseClaim::TagReplaced { pad: called.clone() });
        self.mistaken(called);
        let clear: BTreeSet<AssetId> = self
            .view
            .facts
            .tags
            .iter()
            .filter(|read| read.at == called)
            .filter_map(|read| read.clear.cloned())
            .collect();
        for other in clear.into_iter().filter(|other| other != called) {
            self.add(FalseClaim::TagReplaced { pad: other.clone() });
            let (one, other) = in_order(called, &other);
            self.add(FalseClaim::TagsSwapped { one, other });
        }
    }

    fn place(&mut self, called: &AssetId) {
        self.add(FalseClaim::PadMoved { pad: called.clone() });
        self.mistaken(called);
        self.misled_by_tag(called);
    }

    fn count(&mut self, called: &AssetId) {
        self.mistaken(called);
        self.misled_by_tag(called);
        let view = self.view;
        let Some((mapped, _)) = view.sets_in(called) else { return };
        for count in view.facts.counts.iter().filter(|count| count.at == called) {
            let more = i64::from(count.count) - mapped;
            // One of them can be a service that was drawn elsewhere.
            for sets in [more.unsigned_abs(), more.unsigned_abs().saturating_sub(1)] {
                let Ok(sets) = u16::try_from(sets) else { continue };
                if sets > 0 {
                    let pad = called.clone();
                    self.add(if more > 0 {
                        FalseClaim::SetMissing { pad, sets }
                    } else {
                        FalseClaim::SetExtra { pad, sets }
                    });
                }
            }
            let target = view.facts.target.clone();
            let Some(way) = view.near.ways.get(&target) else { continue };
            if more > 0 && way.at.pad != *called {
                self.add(wrong_pad(&target, Some(called), None));
            } else if more < 0 && way.at.pad == *called {
                self.elsewhere(&target);
            }
        }
    }

    /// Fed from another pad: one that holds more sets than the record has, or one not seen yet.
    fn elsewhere(&mut self, service: &AssetId) {
        self.add(wrong_pad(service, None, None));
        let view = self.view;
        let own = view.near.ways.get(service).map(|way| &way.at.pad);
        for count in &view.facts.counts {
            let mapped = view.sets_in(count.at).map_or(i64::MAX, |(_, most)| most);
            if Some(count.at) != own && i64::from(count.count) > mapped {
                self.add(wrong_pad(service, Some(count.at), None));
            }
        }
    }

    fn conductor(&mut self, set: &AssetId) {
        self.add(FalseClaim::WrongConductor { set: set.clone() });
        self.add(FalseClaim::Splice { set: set.clone() });
        let near = self.view.near;
        let Some(lug) = near.lugs.iter().find(|(_, at)| at.id == *set).map(|(lug, _)| lug) else {
            return;
        };
        self.mistaken(&lug.pad);
        self.misled_by_tag(&lug.pad);
        for other in near.lugs.keys().filter(|other| other.pad == lug.pad) {
            self.lugs_swapped(lug, other);
        }
        let on: Vec<AssetId> = near.on(lug).cloned().collect();
        for service in on {
            self.swapped_with_each(&service);
            if service == *self.view.facts.target {
                self.elsewhere(&service);
            }
        }
    }

    /// Two sets that look unlike: with two that look alike it is all one as a swap of what they feed.
    fn lugs_swapped(&mut self, this: &SetAt, that: &SetAt) {
        let look = |at| self.view.near.lugs.get(at).map(|set| (set.metal, &set.size));
        let (Some(here), Some(there)) = (look(this), look(that)) else { return };
        if here != there {
            let (one, other) = in_order(&this.position, &that.position);
            self.add(FalseClaim::LugsSwapped { pad: this.pad.clone(), one, other });
        }
    }

    /// On the set of another service of the same pad.
    fn swapped_with_each(&mut self, service: &AssetId) {
        let near = self.view.near;
        let Some(way) = near.ways.get(service) else { return };
        let others: Vec<AssetId> = near.of_pad(&way.at.pad).cloned().collect();
        for other in others {
            self.sets_swapped(service, &other);
        }
    }

    fn sets_swapped(&mut self, service: &AssetId, other: &AssetId) {
        let at = |service| self.view.near.ways.get(service).map(|way| &way.at);
        if at(service) != at(other) {
            let (one, other) = in_order(service, other);
            self.add(FalseClaim::SetsSwapped { one, other });
        }
    }

    fn number(&mut self, service: &AssetId) {
        self.add(FalseClaim::WrongMeterNumber { service: service.clone() });
        let owners: BTreeSet<AssetId> =
            self.view.facts.numbers.iter().filter_map(|read| read.owner.cloned()).collect();
        for owner in owners.into_iter().filter(|owner| owner != service) {
            self.add(FalseClaim::WrongMeterNumber { service: owner.clone() });
            self.meters_swapped(service, &owner);
        }
    }

    fn meters_swapped(&mut self, service: &AssetId, other: &AssetId) {
        if self.view.number(service) == Carries::That(service) {
            let (one, other) = in_order(service, other);
            self.add(FalseClaim::MetersSwapped { one, other });
        }
    }

    /// The set really stands at this pad: the one the crew names, or another that it can be.
    fn fed_by_another(&mut self, service: &AssetId, at: &SetAt) {
        let near = self.view.near;
        self.mistaken(&at.pad);
        self.misled_by_tag(&at.pad);
        let Some(own) = near.ways.get(service).map(|way| way.at.clone()) else { return };
        let on: Vec<AssetId> = near.on(at).cloned().collect();
        let same_pad = own.pad == at.pad;
        let position = at.position.clone();
        for other in &on {
            self.meters_swapped(service, other);
            self.add(wrong_pad(other, None, None));
            if same_pad {
                self.sets_swapped(service, other);
            }
        }
        self.add(FalseClaim::WrongMeterNumber { service: service.clone() });
        if !on.is_empty() {
            self.add(FalseClaim::SharedSet { at: at.clone(), service: Some(service.clone()) });
        }
        if same_pad {
            self.add(FalseClaim::WrongPosition { service: service.clone(), at: at.clone() });
            self.lugs_swapped(&own, at);
        } else {
            self.add(wrong_pad(service, Some(&at.pad), Some(&position)));
        }
    }

    fn not_fed(&mut self, service: &AssetId, at: &SetAt) {
        self.mistaken(&at.pad);
        self.misled_by_tag(&at.pad);
        self.swapped_with_each(service);
        self.elsewhere(service);
        self.add(FalseClaim::WrongMeterNumber { service: service.clone() });
        // Where it was seen instead, if it was.
        for fact in &self.view.facts.sets {
            if fact.kind == SetFactKind::For && self.view.about(fact) == Some(service) {
                self.fed_by_another(service, fact.at);
            }
        }
    }

    fn loaded(&mut self, service: &AssetId, at: &SetAt) {
        self.add(FalseClaim::SharedSet { at: at.clone(), service: None });
        self.add(FalseClaim::UnmeteredLoad { at: at.clone() });
        self.not_fed(service, at);
    }
}

fn wrong_pad(service: &AssetId, pad: Option<&AssetId>, position: Option<&String>) -> FalseClaim {
    FalseClaim::WrongPad {
        service: service.clone(),
        pad: pad.cloned(),
        position: position.cloned(),
    }
}
