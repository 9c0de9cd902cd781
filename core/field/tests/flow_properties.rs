//! The secondary flow of random worlds: circuit law at every node, whatever is open or closed.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops where it finds something wrong, its own steps too"
)]

mod anything;

use anything::anything;
use coldlug_field::conductor::{Conductor, Leg, ohms_per_metre, reactance_per_metre};
use coldlug_field::flow::{Amps, BaseFlow, PadFlow, Pair, Place, Potentials, Side, rms};
use coldlug_field::small::small;
use coldlug_field::switching::{Switching, TestLoad};
use coldlug_field::tester::{HIGH_IMPEDANCE_OHMS, LOW_IMPEDANCE_OHMS};
use coldlug_field::world::{CableSet, End, Service, SourceKind, Start, World};
use num_complex::Complex64;
use proptest::prelude::*;

fn sum(amps: &Amps) -> Complex64 {
    amps.leg1 + amps.leg2 + amps.neutral
}

fn near_zero(what: &str, amps: Complex64, scale: f64) -> Result<(), TestCaseError> {
    prop_assert!(rms(amps) <= 1e-9 * scale.max(1.0), "{}: {} of {}", what, rms(amps), scale);
    Ok(())
}

/// Kirchhoff's current law at the bus, conductor by conductor.
fn bus_balances(world: &World, flow: &PadFlow) -> Result<(), TestCaseError> {
    for conductor in Conductor::ALL {
        let at_pad = world.pad(&flow.pad).unwrap().sets.iter().map(|id| {
            let set = &flow.sets[id];
            set.amps.in_conductor(conductor)
        });
        let mut out: Complex64 = at_pad.sum();
        if conductor == Conductor::N {
            out += flow.earth;
        }
        let supplied = flow.transformer.in_conductor(conductor);
        near_zero("bus", supplied - out, rms(supplied))?;
    }
    near_zero("transformer", sum(&flow.transformer), rms(flow.transformer.leg1))
}

fn series_ohms(set: &CableSet) -> Complex64 {
    set.sections
        .iter()
        .map(|s| {
            let ohms = Complex64::new(ohms_per_metre(s.metal, s.size), reactance_per_metre(s.size));
            ohms * s.length_m
        })
        .sum()
}

/// Ohm's law along a set: what is lost on the way is what the conductor's impedance takes.
fn drop_is_ohmic(set: &CableSet, flow: &PadFlow, far: &Potentials) -> Result<(), TestCaseError> {
    let state = &flow.sets[&set.id];
    let ohms = series_ohms(set);
    for (from, to, amps) in [
        (state.start.l1, far.l1, state.amps.leg1),
        (state.start.l2, far.l2, state.amps.leg2),
        (state.start.n, far.n, state.amps.neutral),
    ] {
        prop_assert!(rms(from - to - amps * ohms) < 1e-9, "{}", set.id);
    }
    Ok(())
}

/// Ohm's law at a base whose meter is in, main closed and own sources off: the amps that enter
/// are those that its loads draw at its voltages, within what the insulation leaks.
fn base_is_ohmic(
    service: &Service,
    base: &BaseFlow,
    t_s: f64,
    switching: &Switching,
) -> Result<(), TestCaseError> {
    let open =
        switching.meters_out.contains(&service.id) || switching.mains_open.contains(&service.id);
    let live_source = service.sources.iter().enumerate().any(|(k, s)| {
        let rest = s.kind == SourceKind::Pv;
        *switching.sources.get(&service.id).and_then(|m| m.get(&k)).unwrap_or(&rest)
    });
    if open || live_source {
        return Ok(());
    }
    let demand = service.profile.demand(t_s);
    let Potentials { l1, l2, n } = base.line;
    let plugged: f64 = switching
        .test_loads
        .iter()
        .filter(|l| l.on && l.service == service.id)
        .map(|l| 1.0 / l.ohms)
        .sum();
    let first = (l1 - n) * (demand.l1 / 120.0 + plugged + service.unmetered_amps / 120.0)
        + (l1 - l2) * demand.l12 / 240.0;
    let second = (l2 - n) * demand.l2 / 120.0 + (l2 - l1) * demand.l12 / 240.0;
    let back = n / service.ground_ohms - first - second;
    for (what, enters, drawn) in [
        ("leg 1", base.amps.leg1, first),
        ("leg 2", base.amps.leg2, second),
        ("neutral", base.amps.neutral, back),
    ] {
        prop_assert!(
            rms(enters - drawn) < 2e-3,
            "{} {}: {}",
            service.id,
            what,
            rms(enters - drawn)
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    #[test]
    fn circuit_law_holds_at_every_node(seed: u64, also: u64, t_s in 0.0..20_000.0f64) {
        let world = small(seed);
        let switching = anything(&world, also);
        for pad in world.pads.keys() {
            let flow = world.flow(pad, t_s, &switching).unwrap();
            bus_balances(&world, &flow)?;
            for id in flow.sets.keys() {
                let set = world.set(id).unwrap();
                match &set.to {
                    End::Service(service) => {
                        let base = &flow.services[service];
                        drop_is_ohmic(set, &flow, &base.line)?;
                        prop_assert_eq!(base.amps, flow.sets[id].amps);
                        base_is_ohmic(world.service(service).unwrap(), base, t_s, &switching)?;
                    }
                    End::Junction(junction) => {
                        let beyond = &world.junction(junction).unwrap().sets;
                        if let Some(landed) =
                            beyond.iter().find(|s| !switching.lifted.contains_key(*s))
                        {
                            drop_is_ohmic(set, &flow, &flow.sets[landed].start)?;
                        }
                        for conductor in Conductor::ALL {
                            let out: Complex64 = beyond
                                .iter()
                                .map(|s| flow.sets[s].amps.in_conductor(conductor))
                                .sum();
                            let into = flow.sets[id].amps.in_conductor(conductor);
                            // Insulation and trench take a milliamp at most.
                            prop_assert!(rms(into - out) < 2e-3, "{}", junction);
                        }
                    }
                    End::Dead => prop_assert!(flow.sets[id].amps.leg(Leg::L1) < 2e-3),
                }
            }
        }
    }

    #[test]
    fn power_in_is_power_used(seed: u64, also: u64, t_s in 0.0..20_000.0f64) {
        let world = small(seed);
        let switching = anything(&world, also);
        for pad in world.pads.values() {
            let flow = world.flow(&pad.id, t_s, &switching).unwrap();
            let power = |at: &Potentials, amps: &Amps| {
                (at.l1 * amps.leg1.conj() + at.l2 * amps.leg2.conj() + at.n * amps.neutral.conj()).re
            };
            let supplied = power(&flow.bus, &flow.transformer);
            let mut used = flow.bus.n.norm_sqr() / pad.ground_ohms;
            for id in flow.sets.keys() {
                let set = world.set(id).unwrap();
                let state = &flow.sets[id];
                let squares = [state.amps.leg1, state.amps.leg2, state.amps.neutral];
                used += squares.iter().map(Complex64::norm_sqr).sum::<f64>() * series_ohms(set).re;
                // A lifted conductor passes no power between bus and free end.
                if let End::Service(service) = &set.to {
                    let base = &flow.services[service];
                    used += power(&base.line, &base.amps);
                }
            }
            prop_assert!((supplied - used).abs() < 0.5 + 1e-6 * supplied.abs(), "{} {}", supplied, used);
        }
    }

    #[test]
    fn a_lifted_set_carries_nothing_and_its_bases_are_dead(seed: u64, t_s in 0.0..20_000.0f64) {
        let world = small(seed);
        for (id, set) in &world.sets {
            let Start::Pad { pad, .. } = &set.from else { continue };
            let mut switching = Switching::default();
            switching.lift(id, Conductor::L1);
            switching.lift(id, Conductor::L2);
            let flow = world.flow(pad, t_s, &switching).unwrap();
            let amps = &flow.sets[id].amps;
            prop_assert!(amps.leg(Leg::L1) <= 0.0 && amps.leg(Leg::L2) <= 0.0);
            for service in world.services_on(id).unwrap() {
                let line = &flow.services[service].line;
                // Something is always plugged in at a lived-in house: no ghost there.
                if !world.service(service).unwrap().vacant() {
                    prop_assert!(line.v1n() < 5.0, "{} {}", service, line.v1n());
                }
            }
            for (other, base) in &flow.services {
                if world.feeding_set(other).unwrap() != id {
                    prop_assert!(base.line.v1n() > 100.0, "{}", other);
                }
            }
        }
    }

    #[test]
    fn a_known_load_steps_its_own_set_alone(seed: u64, t_s in 0.0..20_000.0f64, first: bool) {
        let world = small(seed);
        let leg = if first { Leg::L1 } else { Leg::L2 };
        for service in world.services.values().filter(|s| s.sources.is_empty()) {
            let (pad, own) =
                (world.pad_of(&service.id).unwrap(), world.feeding_set(&service.id).unwrap());
            let mut switching = Switching::default();
            // Own generation elsewhere on the set could turn the sum round.
            for other in world.services.keys() {
                switching.set_source(other, 0, false);
                switching.set_source(other, 1, false);
            }
            let off = world.flow(pad, t_s, &switching).unwrap();
            switching.plug_in(TestLoad::of_amps(&service.id, leg, 12.5));
            let on = world.flow(pad, t_s, &switching).unwrap();
            for set in &world.pad(pad).unwrap().sets {
                for at in Leg::ALL {
                    let step = on.sets[set].amps.leg(at) - off.sets[set].amps.leg(at);
                    if set == own && at == leg {
                        prop_assert!((0.6 * 12.5..1.15 * 12.5).contains(&step), "{}", step);
                    } else {
                        prop_assert!(step.abs() < 0.5, "{} {}", set, step);
                    }
                }
            }
        }
    }

    #[test]
    fn a_low_impedance_tester_shows_what_is_open_dead(seed: u64, t_s in 0.0..20_000.0f64) {
        let world = small(seed);
        for service in world.services.keys() {
            let mut switching = Switching::default();
            let set = world.feeding_set(service).unwrap();
            switching.lift(set, Conductor::L1);
            switching.lift(set, Conductor::L2);
            // Mains open, so that nothing but the tester holds the conductors down.
            for other in world.services_on(set).unwrap() {
                switching.set_main_open(other, true);
            }
            let place = Place::Base { service: service.clone(), side: Side::Line };
            for pair in [
                Pair::LegNeutral(Leg::L1),
                Pair::LegNeutral(Leg::L2),
                Pair::LegLeg,
                Pair::LegGround(Leg::L1),
                Pair::NeutralGround,
            ] {
                let volts = world.volts(&place, pair, LOW_IMPEDANCE_OHMS, t_s, &switching).unwrap();
                prop_assert!(volts < 4.0, "{} {:?} {}", service, pair, volts);
            }
        }
    }

    #[test]
    fn an_instrument_hardly_loads_what_is_live(seed: u64, t_s in 0.0..20_000.0f64) {
        let world = small(seed);
        let switching = Switching::default();
        for service in world.services.keys() {
            let pad = world.pad_of(service).unwrap();
            let line = world.flow(pad, t_s, &switching).unwrap().services[service].line;
            for side in [Side::Line, Side::Load] {
                let place = Place::Base { service: service.clone(), side };
                for ohms in [LOW_IMPEDANCE_OHMS, HIGH_IMPEDANCE_OHMS] {
                    let volts = world.volts(&place, Pair::LegLeg, ohms, t_s, &switching).unwrap();
                    prop_assert!((volts - line.v12()).abs() < 0.1);
                }
            }
        }
    }

    #[test]
    fn opening_the_feeding_set_and_no_other_kills_a_service(seed: u64, t_s in 0.0..20_000.0f64) {
        let world = small(seed);
        for service in world.services.keys() {
            let feeding = world.feeding_set(service).unwrap();
            let pad = world.pad_of(service).unwrap();
            for set in &world.pad(pad).unwrap().sets {
                let mut switching = Switching::default();
                switching.set_main_open(service, true);
                for conductor in [Conductor::L1, Conductor::L2] {
                    switching.lift(set, conductor);
                }
                let base = world.flow(pad, t_s, &switching).unwrap().services[service];
                prop_assert_eq!(base.line.v1n() < 60.0, set == feeding, "{} {}", service, set);
            }
        }
    }
}
