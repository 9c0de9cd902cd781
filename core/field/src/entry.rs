//! Entry: whether somebody who comes to the premises can switch a load there.

use crate::switching::Switching;
use crate::world::{FieldError, SourceKind, World};

/// What stands in the way of a known load at the premises. The meter base is outdoors and can be
/// reached in every case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Entry {
    /// Nothing: an outlet can be used.
    Open,
    /// Nobody is there to let anybody in.
    NobodyThere,
    /// The main breaker is off and stays off: no outlet has supply.
    NoSupply,
    /// The wiring is not safe to load.
    UnsafeWiring,
}

impl Entry {
    /// Every case.
    pub const ALL: [Self; 4] = [Self::Open, Self::NobodyThere, Self::NoSupply, Self::UnsafeWiring];

    /// Whether a known load can be switched.
    pub fn allows_a_load(self) -> bool {
        self == Self::Open
    }
}

impl World {
    /// The state of everything switchable when the crew comes: what runs runs, and where there is
    /// no supply behind the meter the main is open.
    pub fn as_found(&self) -> Switching {
        let mut found = Switching::default();
        for service in self.services.values() {
            if service.entry == Entry::NoSupply {
                found.set_main_open(&service.id, true);
            }
            for (index, source) in service.sources.iter().enumerate() {
                if source.running != (source.kind == SourceKind::Pv) {
                    found.set_source(&service.id, index, source.running);
                }
            }
        }
        found
    }

    /// Puts a sticker with a code on the meter base of a service. Fails for one that is not there.
    pub fn put_sticker(&mut self, service: &str, code: &str) -> Result<(), FieldError> {
        let id = self.service(service)?.id.clone();
        self.stickers.insert(id, code.to_owned());
        Ok(())
    }

    /// The code on the sticker at a meter base, if there is one.
    pub fn sticker_on(&self, service: &str) -> Option<&str> {
        self.stickers.get(service).map(String::as_str)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::small::small;

    #[test]
    fn a_house_without_supply_draws_nothing_and_its_base_is_live() {
        let mut world = small(3);
        let target = world.services_on(&world.pads["P01"].sets[0]).unwrap()[0].to_owned();
        world.services.get_mut(&target).unwrap().entry = Entry::NoSupply;
        world.services.get_mut(&target).unwrap().unmetered_amps = 0.0;
        let flow = world.flow("P01", 0.0, &world.as_found()).unwrap();
        let base = flow.services[&target];
        assert!(base.line.v1n() > 110.0);
        assert!(base.amps.leg(crate::conductor::Leg::L1) < 0.05);
    }

    #[test]
    fn a_sticker_is_where_it_was_put() {
        let mut world = small(3);
        let target = world.services.keys().next().unwrap().clone();
        assert_eq!(world.sticker_on(&target), None);
        world.put_sticker(&target, "invented code").unwrap();
        assert_eq!(world.sticker_on(&target), Some("invented code"));
        assert!(world.put_sticker("V99", "invented code").is_err());
    }
}
