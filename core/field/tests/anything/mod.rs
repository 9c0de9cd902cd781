//! Everything that can be switched, switched at random.

use coldlug_field::conductor::{Conductor, Leg};
use coldlug_field::seed::stream;
use coldlug_field::switching::{Switching, TestLoad};
use coldlug_field::world::World;

/// Opens, lifts, kills and plugs in at random.
pub(crate) fn anything(world: &World, seed: u64) -> Switching {
    let mut draw = stream(seed, "switching");
    let mut switching = Switching::default();
    for service in world.services.values() {
        switching.set_meter_out(&service.id, !service.street_light() && draw.chance(0.2));
        switching.set_main_open(&service.id, draw.chance(0.2));
        for index in 0..service.sources.len() {
            switching.set_source(&service.id, index, draw.chance(0.5));
        }
        if draw.chance(0.2) {
            switching.plug_in(TestLoad::of_amps(&service.id, Leg::L1, draw.between(1.0, 15.0)));
        }
    }
    for set in world.sets.keys() {
        for conductor in Conductor::ALL {
            if draw.chance(0.12) {
                switching.lift(set, conductor);
            }
        }
    }
    for pad in world.pads.keys() {
        switching.set_pad_dead(pad, draw.chance(0.15));
    }
    switching
}
