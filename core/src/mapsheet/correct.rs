//! The record with one claim corrected by what was found in the field.

use crate::plant::{FeedError, Plant};
use crate::quantity::AssetId;

/// Why a correction cannot be drawn into the record.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CorrectError {
    /// The record does not name one feed to move.
    #[error(transparent)]
    Feed(#[from] FeedError),
    /// The feed of the service is drawn without a lug pair and set.
    #[error("the set of service '{service}' is not drawn as one set on one lug pair")]
    NotOneSet {
        /// The service.
        service: AssetId,
    },
    /// The pad is not on the sheet, or has no transformer there.
    #[error("pad '{pad}' is not on the map sheet with one transformer")]
    NoSuchPad {
        /// The pad.
        pad: AssetId,
    },
    /// Something else is drawn at that lug position.
    #[error("position {position} of pad '{pad}' is drawn with '{taken}' already: correct that too")]
    Taken {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
        /// What is drawn there.
        taken: AssetId,
    },
}

impl Plant {
    /// The record with the set of a service drawn at another pad and lug position.
    ///
    /// Nothing else moves: the set keeps its metal, size and length until somebody corrects those.
    pub fn with_service_at(
        &self,
        service: &AssetId,
        pad: &AssetId,
        position: &str,
    ) -> Result<Self, CorrectError> {
        let feed = self.feed_of(service)?;
        let not_one = || CorrectError::NotOneSet { service: service.clone() };
        let lug = feed.lug.ok_or_else(not_one)?;
        let set = feed.sets.first().cloned().ok_or_else(not_one)?;
        let set_starts = self.sets.get(&set).map(|set| set.from.clone()).ok_or_else(not_one)?;
        let taken = self.switches.values().find(|switch| {
            switch.id != lug
                && switch.pad.as_ref() == Some(pad)
                && switch.position.as_deref() == Some(position)
        });
        if let Some(taken) = taken {
            let (pad, position) = (pad.clone(), position.to_owned());
            return Err(CorrectError::Taken { pad, position, taken: taken.id.clone() });
        }
        let mut transformers = self.transformers.values().filter(|t| t.pad == *pad);
        let no_pad = || CorrectError::NoSuchPad { pad: pad.clone() };
        let bus = match (transformers.next(), transformers.next()) {
            (Some(one), None) => one.secondary.clone(),
            _ => return Err(no_pad()),
        };
        let mut corrected = self.clone();
        let switch = corrected.switches.get_mut(&lug).ok_or_else(not_one)?;
        if switch.to == set_starts {
            switch.from = bus;
        } else {
            switch.to = bus;
        }
        switch.pad = Some(pad.clone());
        switch.position = Some(position.to_owned());
        let drawn = corrected.sets.get_mut(&set).ok_or_else(not_one)?;
        let from_pad = drawn.pad.replace(pad.clone());
        drawn.position = Some(position.to_owned());
        if let Some(old) = from_pad.and_then(|old| corrected.pads.get_mut(&old)) {
            old.contains.retain(|id| *id != lug && *id != set);
        }
        let new = corrected.pads.get_mut(pad).ok_or_else(no_pad)?;
        for id in [lug, set] {
            if !new.contains.contains(&id) {
                new.contains.push(id);
            }
        }
        Ok(corrected)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{canonical_bytes, fixture, read};
    use super::*;

    fn id(text: &str) -> AssetId {
        AssetId::new(text).unwrap()
    }

    #[test]
    fn a_service_drawn_elsewhere_is_fed_from_there_and_the_sheet_still_holds() {
        let plant = fixture::plant_of(&fixture::features());
        let moved = plant.with_service_at(&id("P1V1"), &id("P2"), "9").unwrap();
        let feed = moved.feed_of(&id("P1V1")).unwrap();
        assert_eq!(feed.pad, Some(id("P2")));
        assert_eq!(feed.position.as_deref(), Some("9"));
        let bytes = canonical_bytes(&moved).unwrap();
        assert!(read(&bytes).is_ok());
    }

    #[test]
    fn what_is_drawn_there_already_is_named() {
        let plant = fixture::plant_of(&fixture::features());
        let there = plant.feed_of(&id("P2V1")).unwrap();
        let position = there.position.unwrap();
        let taken = plant.with_service_at(&id("P1V1"), &id("P2"), &position);
        assert!(matches!(taken, Err(CorrectError::Taken { .. })), "{taken:?}");
        assert!(plant.with_service_at(&id("P1V1"), &id("P99"), "1").is_err());
    }
}
