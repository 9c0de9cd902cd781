//! Who the demonstration's jobs are for.

use crate::build::cable_metres;
use crate::fix::moved;
use crate::habit::Habit;
use crate::world::{End, World};

/// A service that suits the job where field and map agree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// The service: lived in, alone on its set, no source of its own, nothing unmetered.
    pub service: String,
    /// Its set: one of two alike at a pad of three.
    pub set: String,
    /// Its pad; two characters of its tag cannot be read.
    pub pad: String,
}

/// The service that suits the job where the map is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Boathouse {
    /// The boathouse.
    pub service: String,
    /// Its set.
    pub set: String,
    /// The pad it truly hangs on.
    pub true_pad: String,
    /// The pad before that round the ring, on which the record will draw it.
    pub wrong_pad: String,
}

/// The pads the two jobs are at.
const TARGET_PAD: &str = "P15";
const BOATHOUSE_PAD: &str = "P06";
const WRONG_PAD: &str = "P05";

/// Makes the two services plain: lived in or a workshop, no own sources, nothing unmetered, an
/// ordinary tag on the pads but for two characters lost at the target's.
pub(super) fn prepare(world: &mut World) {
    for (pad, lost) in [(TARGET_PAD, 2), (BOATHOUSE_PAD, 0), (WRONG_PAD, 0)] {
        if let Some(pad) = world.pads.get_mut(pad) {
            pad.tag_characters_lost = lost;
        }
    }
    let quay = first_service(world, BOATHOUSE_PAD)
        .and_then(|id| world.services.get(&id))
        .and_then(|s| s.plate.split_once(' '))
        .map(|(_, street)| street.to_owned());
    for pad in [TARGET_PAD, BOATHOUSE_PAD] {
        let Some(id) = first_service(world, pad) else { continue };
        if let Some(service) = world.services.get_mut(&id) {
            service.sources.clear();
            service.unmetered_amps = 0.0;
            service.critical = None;
            if let (BOATHOUSE_PAD, Some(quay)) = (pad, &quay) {
                service.plate = format!("Boathouse, {quay}");
            }
        }
        if pad == BOATHOUSE_PAD {
            move_to_the_water(world, &id);
        }
    }
}

/// Puts a service on the seaward side of its pad, its cable with it.
fn move_to_the_water(world: &mut World, service: &str) {
    let Ok(set) = world.feeding_set(service).map(str::to_owned) else { return };
    let Some(from) = world.pads.get(BOATHOUSE_PAD).map(|p| p.at) else { return };
    let at = moved(from, -7.0, -24.0);
    if let Some(service) = world.services.get_mut(service) {
        service.at = at;
    }
    if let Some(section) = world.sets.get_mut(&set).and_then(|s| s.sections.first_mut()) {
        section.length_m = cable_metres(from, at);
    }
}

/// The service on the first set of a pad that has a twin.
fn first_service(world: &World, pad: &str) -> Option<String> {
    let pad = world.pads.get(pad)?;
    let looks: Vec<_> = pad.sets.iter().map(|set| world.look_at_pad(set).ok()).collect();
    pad.sets.iter().zip(&looks).find_map(|(set, look)| {
        let twins = looks.iter().filter(|l| *l == look).count();
        match &world.sets.get(set)?.to {
            End::Service(id) if twins == 2 => Some(id.clone()),
            _ => None,
        }
    })
}

/// The service for the job where field and map agree. None in a world that is not a
/// [`hillside`](super::hillside) town.
pub fn target(world: &World) -> Option<Target> {
    let service = first_service(world, TARGET_PAD)?;
    let found = world.services.get(&service)?;
    let plain = found.habit == Habit::LivedIn && found.sources.is_empty();
    let pad = world.pad_of(&service).ok()?.to_owned();
    let set = world.feeding_set(&service).ok()?.to_owned();
    let alone = world.services_on(&set).ok()?.len() == 1;
    (plain && alone).then_some(Target { service, set, pad })
}

/// The boathouse. None in a world that is not a [`hillside`](super::hillside) town.
pub fn boathouse(world: &World) -> Option<Boathouse> {
    let service = first_service(world, BOATHOUSE_PAD)?;
    let true_pad = world.pad_of(&service).ok()?.to_owned();
    let set = world.feeding_set(&service).ok()?.to_owned();
    let wrong_pad = WRONG_PAD.to_owned();
    let near = world.network.ring_neighbours(&true_pad).contains(&WRONG_PAD);
    near.then_some(Boathouse { service, set, true_pad, wrong_pad })
}
