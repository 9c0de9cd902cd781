//! The secondary flow of many worlds, to the last bit: what makes it faster must not change it.
//! Demo files and saved failures depend on it.
#![allow(clippy::unwrap_used, reason = "a test stops where it finds something wrong")]

mod anything;

use anything::anything;
use coldlug_field::conductor::Leg;
use coldlug_field::flow::{Amps, Pair, Place, Potentials, Side};
use coldlug_field::seed::{mix, stream};
use coldlug_field::small::small;
use coldlug_field::switching::Switching;
use coldlug_field::world::World;
use num_complex::Complex64;

/// Anything, and some sets shorted besides.
fn anything_and_shorts(world: &World, seed: u64) -> Switching {
    let mut draw = stream(seed, "pinned");
    let mut switching = anything(world, seed);
    for set in world.sets.keys() {
        switching.set_shorted(set, draw.chance(0.05));
    }
    switching
}

/// Mixes a number's bits in; the sign of a zero is no difference.
fn number(hash: &mut u64, x: f64) {
    *hash = mix(*hash, (x + 0.0).to_bits());
}

fn phasors(hash: &mut u64, all: [Complex64; 3]) {
    for phasor in all {
        number(hash, phasor.re);
        number(hash, phasor.im);
    }
}

fn amps(hash: &mut u64, amps: Amps) {
    phasors(hash, [amps.leg1, amps.leg2, amps.neutral]);
}

fn volts(hash: &mut u64, volts: Potentials) {
    phasors(hash, [volts.l1, volts.l2, volts.n]);
}

fn measured(hash: &mut u64, world: &World, pad: &str, t_s: f64, switching: &Switching) {
    let bus = Place::Bus { pad: pad.to_owned() };
    let mut places = vec![(bus, vec![Pair::LegLeg, Pair::NeutralGround])];
    for set in &world.pad(pad).unwrap().sets {
        let start = Place::SetStart { set: set.clone() };
        places.push((start, vec![Pair::LegNeutral(Leg::L1), Pair::LegGround(Leg::L2)]));
        for service in world.services_on(set).unwrap() {
            for side in [Side::Line, Side::Load] {
                let base = Place::Base { service: service.to_owned(), side };
                places.push((base, vec![Pair::LegNeutral(Leg::L2), Pair::Jaws(Leg::L1)]));
            }
        }
    }
    for (place, pairs) in places {
        for pair in pairs {
            for ohms in [3_000.0, 1e7] {
                number(hash, world.volts(&place, pair, ohms, t_s, switching).unwrap());
            }
        }
    }
}

#[test]
fn the_flow_of_sixty_worlds_never_changes() {
    let mut hash = 0;
    for seed in 0..60u32 {
        let world = small(u64::from(seed));
        for (k, switching) in [Switching::default(), anything_and_shorts(&world, u64::from(seed))]
            .into_iter()
            .enumerate()
        {
            for pad in world.pads.keys() {
                let t_s = 731.0 * f64::from(seed);
                let flow = world.flow(pad, t_s, &switching).unwrap();
                volts(&mut hash, flow.bus);
                amps(&mut hash, flow.transformer);
                phasors(&mut hash, [flow.earth, Complex64::ZERO, Complex64::ZERO]);
                number(&mut hash, flow.primary_volts);
                for (id, set) in &flow.sets {
                    hash = mix(hash, coldlug_field::seed::hash_text(id));
                    amps(&mut hash, set.amps);
                    volts(&mut hash, set.start);
                }
                for (id, base) in &flow.services {
                    hash = mix(hash, coldlug_field::seed::hash_text(id));
                    amps(&mut hash, base.amps);
                    volts(&mut hash, base.line);
                    volts(&mut hash, base.load);
                }
                if k == 1 {
                    measured(&mut hash, &world, pad, t_s, &switching);
                }
            }
        }
    }
    assert_eq!(hash, PINNED);
}
const PINNED: u64 = 12_932_265_214_143_433_367;
