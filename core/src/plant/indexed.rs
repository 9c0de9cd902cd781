//! The record of one map sheet, with what finds things in it without reading all of it.

use std::{
    collections::BTreeMap,
    fmt,
    ops::{Deref, DerefMut},
    sync::{Arc, OnceLock},
};

use super::{feature::Features, joins::Joins, place::PlaceIndex, plain::plain, tag::TagIndex};
use crate::quantity::AssetId;

/// The record of one map sheet: its [`Features`], and indexes of them.
///
/// An index is made when it is first asked for, and kept. Whoever changes a feature borrows the
/// features mutably, and that lets go of every index: none is ever older than the features. Two
/// plants are equal when their features are.
#[derive(Clone, Default)]
pub struct Plant {
    features: Features,
    index: Arc<Index>,
}

#[derive(Default)]
struct Index {
    joins: OnceLock<Joins>,
    meters: OnceLock<BTreeMap<String, Vec<AssetId>>>,
    tags: OnceLock<TagIndex>,
    pads: OnceLock<PlaceIndex>,
}

impl Plant {
    /// A plant of these features.
    pub fn of(features: Features) -> Self {
        Self { features, index: Arc::default() }
    }

    /// Pads by the tags they should carry.
    pub fn tags(&self) -> &TagIndex {
        self.index.tags.get_or_init(|| {
            let pads = self.pads.values();
            TagIndex::of(
                pads.flat_map(|pad| pad.tags.iter().map(|tag| (tag.as_str(), pad.id.clone()))),
            )
        })
    }

    /// Pads by where they stand.
    pub fn pads_by_place(&self) -> &PlaceIndex {
        self.index.pads.get_or_init(|| PlaceIndex::of_pads(self))
    }

    /// The services whose record holds a meter number, by name. Numbers are compared [`plain`].
    pub fn services_with_meter(&self, number: &str) -> &[AssetId] {
        let meters = self.index.meters.get_or_init(|| {
            let mut meters: BTreeMap<String, Vec<AssetId>> = BTreeMap::new();
            for service in self.services.values() {
                for number in &service.meters {
                    meters.entry(plain(number)).or_default().push(service.id.clone());
                }
            }
            for services in meters.values_mut() {
                services.dedup();
            }
            meters
        });
        meters.get(&plain(number)).map_or(&[], Vec::as_slice)
    }

    /// What meets at which node, and what is in which pad.
    pub(super) fn joins(&self) -> &Joins {
        self.index.joins.get_or_init(|| Joins::of(self))
    }
}

impl Deref for Plant {
    type Target = Features;

    fn deref(&self) -> &Features {
        &self.features
    }
}

impl DerefMut for Plant {
    fn deref_mut(&mut self) -> &mut Features {
        self.index = Arc::default();
        &mut self.features
    }
}

impl PartialEq for Plant {
    fn eq(&self, other: &Self) -> bool {
        self.features == other.features
    }
}

impl fmt::Debug for Plant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Plant").field(&self.features).finish()
    }
}

#[cfg(test)]
mod tests;
