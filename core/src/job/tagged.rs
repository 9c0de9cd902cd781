//! Which tags and locks still hang on what is to be closed, landed or set.

use super::state::State;
use crate::{
    plant::{Device, Plant, Switch},
    quantity::{AssetId, IdError},
    sighting::SetAt,
};

impl State {
    /// The tags and locks on the things that `is` is true of, by name.
    pub(super) fn tagged(&self, is: impl Fn(&AssetId) -> bool) -> Vec<String> {
        let physical = &self.physical;
        let tags = physical.tags.keys().filter(|what| is(what)).map(|what| format!("tag {what}"));
        let locks = physical.locks.keys().filter(|what| is(what));
        tags.chain(locks.map(|what| format!("lock {what}"))).collect()
    }

    /// Those on the lugs of a set.
    pub(crate) fn tagged_lugs(&self, plant: &Plant, set: &SetAt) -> Vec<String> {
        self.tagged(|what| plant.switches.get(what).is_some_and(|lug| is_lug_of(lug, set)))
    }

    /// Those on a service's meter, main or own source, by the name that is derived for it; what
    /// hangs on the service as a whole holds each of them.
    pub(crate) fn tagged_at(
        &self,
        service: &AssetId,
        name: fn(&AssetId) -> Result<AssetId, IdError>,
    ) -> Vec<String> {
        let name = name(service).ok();
        self.tagged(|what| what == service || Some(what) == name.as_ref())
    }

    /// Those on any of a service's own sources, the record's or others: they are let on in one go.
    pub(crate) fn tagged_sources(&self, service: &AssetId) -> Vec<String> {
        let source = format!("{service}/source-");
        self.tagged(|what| what == service || what.as_str().starts_with(&source))
    }
}

/// Whether a switch is a lug pair of a set as people name it.
pub(crate) fn is_lug_of(switch: &Switch, set: &SetAt) -> bool {
    switch.device == Device::LugPair
        && switch.pad.as_ref() == Some(&set.pad)
        && switch.position.as_deref() == Some(&set.position)
}
