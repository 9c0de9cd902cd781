//! Pads by the tags the record gives them.

use std::collections::{BTreeMap, BTreeSet};

use super::feature::Plant;
use crate::quantity::AssetId;

/// Which pads should carry which tag. Tags are compared without regard to case and spaces.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TagIndex {
    pads: BTreeMap<String, BTreeSet<AssetId>>,
}

impl TagIndex {
    /// The index of a plant's pads.
    pub fn of(plant: &Plant) -> Self {
        let mut index = Self::default();
        for pad in plant.pads.values() {
            for tag in &pad.tags {
                index.pads.entry(Self::plain(tag)).or_default().insert(pad.id.clone());
            }
        }
        index
    }

    /// A tag as it is compared: upper case, without white space.
    pub fn plain(tag: &str) -> String {
        tag.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_uppercase).collect()
    }

    /// The pads that should carry this very tag.
    pub fn pads(&self, tag: &str) -> BTreeSet<AssetId> {
        self.pads.get(&Self::plain(tag)).cloned().unwrap_or_default()
    }

    /// Every tag as it is compared, with its pads, in the order of the tags.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &BTreeSet<AssetId>)> {
        self.pads.iter().map(|(tag, pads)| (tag.as_str(), pads))
    }
}
