//! Surprises: what can be otherwise in the ground and at the premises than anyone was told.
//! A record drawn before a surprise does not know of it.

mod splice;

use crate::conductor::{Leg, Metal, Size};
use crate::entry::Entry;
use crate::habit::Habit;
use crate::load::{Across, Appliance, Profile};
use crate::world::{CableSet, CustomerSource, FieldError, Pad, Section, Sky, SourceKind, World};

/// Characters gone from a tag that is called unreadable; it has six.
const WORN_CHARACTERS: u32 = 5;

/// One surprise.
#[derive(Debug, Clone, PartialEq)]
pub enum Surprise {
    /// A set goes on in another metal and size from a splice in its middle.
    StraightSplice {
        /// The set.
        set: String,
        /// Metal of its far half.
        metal: Metal,
        /// Size of its far half.
        size: Size,
    },
    /// A neighbour is fed through a buried splice on a service's own set; the set that the
    /// neighbour was drawn on is a dead-ended stub.
    SharedSet {
        /// The service.
        service: String,
        /// The neighbour.
        neighbour: String,
    },
    /// A load is tapped ahead of a service's meter.
    UnmeteredTap {
        /// The service.
        service: String,
        /// Amps on leg 1 at nominal volts.
        amps: f64,
    },
    /// Two premises' meters were put into each other's bases.
    SwappedMeters {
        /// One service.
        a: String,
        /// The other.
        b: String,
    },
    /// Two premises carry each other's plates.
    SwappedPlates {
        /// One service.
        a: String,
        /// The other.
        b: String,
    },
    /// Two pads carry each other's tags.
    SwappedTags {
        /// One pad.
        a: String,
        /// The other.
        b: String,
    },
    /// The pad ends of two sets carry each other's marks.
    SwappedMarks {
        /// One set.
        a: String,
        /// The other.
        b: String,
    },
    /// The pad end of one set carries another's mark.
    RepeatedMark {
        /// The set whose mark it is.
        from: String,
        /// The set that carries it too.
        onto: String,
    },
    /// A source without a transfer switch that nobody was told of.
    UntoldSource {
        /// The service.
        service: String,
        /// What it is.
        kind: SourceKind,
        /// Rating, kW.
        kw: f64,
        /// It runs when the crew comes.
        running: bool,
    },
    /// A large load that comes and goes at moments nobody knows.
    Restless {
        /// The service.
        service: String,
        /// Amps at nominal volts.
        amps: f64,
        /// Seconds of a window; it runs once in each, for two fifths of it.
        window_s: f64,
        /// The key of its habits.
        key: u64,
    },
    /// A street light is fed through a buried splice on a service's own set.
    StreetLight {
        /// The service.
        service: String,
        /// Amps of its lamp at nominal volts.
        amps: f64,
    },
    /// A set lies as two runs side by side.
    SecondRun {
        /// The set.
        set: String,
    },
    /// A set's neutral is broken where it starts.
    BrokenNeutral {
        /// The set.
        set: String,
    },
    /// A pad's common neutral is poor.
    PoorNeutral {
        /// The pad.
        pad: String,
    },
    /// Premises have another meter than before.
    NewMeter {
        /// The service.
        service: String,
        /// The number on it.
        number: String,
    },
    /// A pad carries one new tag in place of its old ones.
    NewTag {
        /// The pad.
        pad: String,
        /// What is painted on it.
        tag: String,
    },
    /// Most of a pad's newest tag is gone.
    WornTag {
        /// The pad.
        pad: String,
    },
    /// Walls hide the sky at a pad.
    HiddenSky {
        /// The pad.
        pad: String,
    },
    /// Whether a load can be switched at premises is otherwise than usual.
    Entry {
        /// The service.
        service: String,
        /// What is so.
        entry: Entry,
    },
    /// A neighbour whose loads go on and off exactly when the service's do.
    SameHabits {
        /// The service.
        service: String,
        /// The neighbour.
        neighbour: String,
    },
    /// A house that stands empty.
    Vacated {
        /// The service.
        service: String,
    },
}

impl World {
    /// Puts a surprise into the world. Fails, leaving the world as it was, when the surprise
    /// names something that is not there.
    pub fn surprise(&mut self, surprise: &Surprise) -> Result<(), FieldError> {
        match surprise {
            Surprise::StraightSplice { set, metal, size } => self.splice(set, *metal, *size),
            Surprise::SharedSet { service, neighbour } => self.share(service, neighbour),
            Surprise::UnmeteredTap { service, amps } => {
                self.service_mut(service)?.unmetered_amps = *amps;
                Ok(())
            }
            Surprise::SwappedMeters { a, b } => {
                let first = self.service(a)?.meter.clone();
                let second = core::mem::replace(&mut self.service_mut(b)?.meter, first);
                self.service_mut(a)?.meter = second;
                Ok(())
            }
            Surprise::SwappedPlates { a, b } => {
                let first = self.service(a)?.plate.clone();
                let second = core::mem::replace(&mut self.service_mut(b)?.plate, first);
                self.service_mut(a)?.plate = second;
                Ok(())
            }
            Surprise::SwappedTags { a, b } => self.swap_tags(a, b),
            Surprise::SwappedMarks { a, b } => self.swap_marks(a, b),
            Surprise::RepeatedMark { from, onto } => {
                let mark = self.set(from)?.mark_at_start.clone();
                self.set_mut(onto)?.mark_at_start = mark;
                Ok(())
            }
            Surprise::UntoldSource { service, kind, kw, running } => {
                let source = CustomerSource::at_rest(*kind, *kw, false);
                let source = CustomerSource { running: *running, ..source };
                self.service_mut(service)?.sources.push(source);
                Ok(())
            }
            Surprise::Restless { service, amps, window_s, key } => {
                let load = restless(*amps, *window_s, *key);
                self.service_mut(service)?.profile.appliances.push(load);
                Ok(())
            }
            Surprise::StreetLight { service, amps } => self.hang_light(service, *amps),
            Surprise::SecondRun { set } => {
                self.set_mut(set)?.runs = 2;
                Ok(())
            }
            Surprise::BrokenNeutral { set } => {
                self.set_mut(set)?.neutral_broken = true;
                Ok(())
            }
            Surprise::PoorNeutral { pad } => {
                self.pad_mut(pad)?.poor_neutral = true;
                Ok(())
            }
            Surprise::NewMeter { service, number } => {
                self.service_mut(service)?.meter = Some(number.clone());
                Ok(())
            }
            Surprise::NewTag { pad, tag } => {
                self.pad_mut(pad)?.tags = vec![tag.clone()];
                Ok(())
            }
            Surprise::WornTag { pad } => {
                self.pad_mut(pad)?.tag_characters_lost = WORN_CHARACTERS;
                Ok(())
            }
            Surprise::HiddenSky { pad } => {
                self.pad_mut(pad)?.sky = Sky::Walls;
                Ok(())
            }
            Surprise::Entry { service, entry } => {
                self.service_mut(service)?.entry = *entry;
                Ok(())
            }
            Surprise::SameHabits { service, neighbour } => {
                let profile = self.service(service)?.profile.clone();
                self.service_mut(neighbour)?.profile = profile;
                Ok(())
            }
            Surprise::Vacated { service } => {
                let service = self.service_mut(service)?;
                service.habit = Habit::Vacant;
                service.profile = Profile::default();
                Ok(())
            }
        }
    }

    fn service_mut(&mut self, id: &str) -> Result<&mut crate::world::Service, FieldError> {
        self.services.get_mut(id).ok_or_else(|| FieldError::UnknownService(id.to_owned()))
    }

    fn set_mut(&mut self, id: &str) -> Result<&mut CableSet, FieldError> {
        self.sets.get_mut(id).ok_or_else(|| FieldError::UnknownSet(id.to_owned()))
    }

    fn pad_mut(&mut self, id: &str) -> Result<&mut Pad, FieldError> {
        self.pads.get_mut(id).ok_or_else(|| FieldError::UnknownPad(id.to_owned()))
    }

    fn splice(&mut self, set: &str, metal: Metal, size: Size) -> Result<(), FieldError> {
        let sections = &mut self.set_mut(set)?.sections;
        if let Some(last) = sections.last_mut() {
            last.length_m *= 0.5;
            let length_m = last.length_m;
            sections.push(Section { metal, size, length_m });
        }
        Ok(())
    }

    fn swap_tags(&mut self, a: &str, b: &str) -> Result<(), FieldError> {
        let first = self.pad(a)?.tags.clone();
        let second = self.pad(b)?.tags.clone();
        self.pad_mut(a)?.tags = second;
        self.pad_mut(b)?.tags = first;
        Ok(())
    }

    fn swap_marks(&mut self, a: &str, b: &str) -> Result<(), FieldError> {
        let first = self.set(a)?.mark_at_start.clone();
        let second = core::mem::replace(&mut self.set_mut(b)?.mark_at_start, first);
        self.set_mut(a)?.mark_at_start = second;
        Ok(())
    }
}

/// A heater that runs once in every window, for two fifths of it.
fn restless(amps: f64, window_s: f64, key: u64) -> Appliance {
    Appliance {
        name: "heater on a thermostat",
        across: Across::LegToNeutral(if key.is_multiple_of(2) { Leg::L1 } else { Leg::L2 }),
        amps,
        power_factor: 1.0,
        window_s,
        run_s: 0.4 * window_s,
        chance: 1.0,
        key,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::Conductor;
    use crate::record::Record;
    use crate::small::small;
    use crate::switching::Switching;

    /// A world with two lived-in services alone on sets of one pad, and their ids.
    fn two_alone() -> (World, String, String) {
        for seed in 0..200 {
            let world = small(seed);
            let alone: Vec<String> = world
                .services
                .values()
                .filter(|s| s.habit == Habit::LivedIn && s.sources.is_empty())
                .filter(|s| world.pad_of(&s.id).unwrap() == "P01")
                .filter(|s| world.path_to(&s.id).unwrap().len() == 1)
                .map(|s| s.id.clone())
                .collect();
            if let [first, second, ..] = alone.as_slice() {
                return (world.clone(), first.clone(), second.clone());
            }
        }
        panic!("no such world in two hundred");
    }

    #[test]
    fn a_shared_set_feeds_both_and_leaves_a_stub() {
        let (mut world, service, neighbour) = two_alone();
        let record = Record::as_drawn(&world);
        let stub = world.feeding_set(&neighbour).unwrap().to_owned();
        let surprise =
            Surprise::SharedSet { service: service.clone(), neighbour: neighbour.clone() };
        world.surprise(&surprise).unwrap();
        let trunk = world.feeding_set(&service).unwrap().to_owned();
        assert_eq!(world.feeding_set(&neighbour).unwrap(), trunk);
        assert!(world.services_on(&stub).unwrap().is_empty());
        assert_eq!(record.feeding_set(&neighbour).unwrap(), stub, "the record does not know");
        let mut switching = Switching::default();
        switching.lift(&trunk, Conductor::L1);
        switching.lift(&trunk, Conductor::L2);
        let flow = world.flow("P01", 0.0, &switching).unwrap();
        assert!(flow.services[&neighbour].line.v1n() < 5.0);
    }

    #[test]
    fn swapping_twice_is_nothing() {
        let (world, a, b) = two_alone();
        let (set_a, set_b) =
            (world.feeding_set(&a).unwrap().to_owned(), world.feeding_set(&b).unwrap().to_owned());
        for swap in [
            Surprise::SwappedMeters { a: a.clone(), b: b.clone() },
            Surprise::SwappedPlates { a: a.clone(), b: b.clone() },
            Surprise::SwappedMarks { a: set_a, b: set_b },
        ] {
            let mut changed = world.clone();
            changed.surprise(&swap).unwrap();
            if !matches!(swap, Surprise::SwappedMarks { .. }) {
                assert_ne!(changed, world, "{swap:?}");
            }
            changed.surprise(&swap).unwrap();
            assert_eq!(changed, world, "{swap:?}");
        }
    }

    #[test]
    fn a_straight_splice_shows_another_metal_at_the_base() {
        let (mut world, service, _) = two_alone();
        let set = world.feeding_set(&service).unwrap().to_owned();
        let (metal, size) = (Metal::Cu, Size::Kcmil500);
        world.surprise(&Surprise::StraightSplice { set: set.clone(), metal, size }).unwrap();
        let base = world.look_at_base(&service).unwrap();
        assert_eq!((base.metal, base.size), (metal, size));
        assert_ne!(world.look_at_pad(&set).unwrap(), base);
    }

    #[test]
    fn what_cannot_be_leaves_the_world_as_it_was() {
        let (mut world, a, _) = two_alone();
        let before = world.clone();
        for surprise in [
            Surprise::SharedSet { service: a.clone(), neighbour: "V99".to_owned() },
            Surprise::SharedSet { service: a.clone(), neighbour: a.clone() },
            Surprise::SwappedMeters { a: a.clone(), b: "V99".to_owned() },
            Surprise::SwappedTags { a: "P01".to_owned(), b: "P99".to_owned() },
            Surprise::Vacated { service: "V99".to_owned() },
        ] {
            assert!(world.surprise(&surprise).is_err());
            assert_eq!(world, before, "{surprise:?}");
        }
    }
}
