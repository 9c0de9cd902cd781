//! A tone sent into a set at the meter base and listened for in the pad.
//!
//! The tone goes back through the common neutral too, so it is heard on every set: loudest on its
//! own as a rule, but where the neutral is poor it may be as loud on another. All numbers are
//! invented; the shape (bleed through common neutrals) is common practice, no source.

use crate::seed::{hash_text, mix, unit_of};
use crate::world::{FieldError, World};
use std::collections::BTreeMap;

/// How much of the tone comes back on other sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bleed {
    /// A sound neutral: at most two fifths of the tone.
    Ordinary,
    /// A poor neutral: up to more than the tone itself.
    Heavy,
}

impl World {
    /// How loud a tone from the base of `service` is on each set at the lugs of `pad`: about 1 on
    /// the set that feeds it, relative to that. With the tone off, nothing is heard anywhere.
    /// `draw` is this listening's chance.
    pub fn tone(
        &self,
        service: &str,
        pad: &str,
        bleed: Bleed,
        draw: u64,
    ) -> Result<BTreeMap<String, f64>, FieldError> {
        let own = self.feeding_set(service)?;
        let at_home = self.pad_of(service)? == pad;
        let most = match (bleed, at_home) {
            (Bleed::Ordinary, true) => 0.4,
            (Bleed::Heavy, true) => 1.3,
            // Beyond the transformer only what the primary's neutral carries.
            (_, false) => 0.05,
        };
        let heard = self.pad(pad)?.sets.iter().map(|set| {
            let chance = unit_of(mix(draw, hash_text(set)));
            let level =
                if set == own { 0.85 + 0.3 * chance } else { 0.02 + (most - 0.02) * chance };
            (set.clone(), level)
        });
        Ok(heard.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::small::small;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn with_a_sound_neutral_its_own_set_is_loudest(seed: u64, draw: u64) {
            let world = small(seed);
            for service in world.services.keys() {
                let pad = world.pad_of(service).unwrap();
                let heard = world.tone(service, pad, Bleed::Ordinary, draw).unwrap();
                let own = world.feeding_set(service).unwrap();
                for (set, level) in &heard {
                    prop_assert_eq!(*level > 0.6, set == own);
                }
            }
        }
    }

    #[test]
    fn a_poor_neutral_can_make_another_set_louder() {
        let misled = (0..200).filter(|seed| {
            let world = small(*seed);
            let Some(service) = world.services.keys().next() else { return false };
            let pad = world.pad_of(service).unwrap();
            let heard = world.tone(service, pad, Bleed::Heavy, *seed).unwrap();
            let own = heard[world.feeding_set(service).unwrap()];
            heard.values().any(|level| *level > own)
        });
        assert!(misled.count() > 10);
    }
}
