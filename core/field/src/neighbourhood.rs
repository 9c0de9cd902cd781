//! The neighbourhood that a simulated job is played in: two to five pads on a spur, two to six
//! sets each, most of them alone with their house.
//!
//! What is unusual here is no falsehood: pedestals, parallel runs, street lights, dead stubs,
//! empty houses, houses that nobody can switch a load in, own sources, marked cables. The record
//! drawn of it is true but for the stubs, which no map shows. All shares are invented.

use crate::build::{Builder, ORIGIN};
use crate::conductor::{Metal, Size};
use crate::entry::Entry;
use crate::fix::moved;
use crate::habit::Habit;
use crate::names;
use crate::network::{Device, Supply, Switch};
use crate::seed::{Draw, stream};
use crate::wiring::{self, Out};
use crate::world::{CableSet, End, JunctionKind, LonLat, World};

/// Metres between pads along the road.
const STEP_M: f64 = 38.0;

/// Makes the neighbourhood of this seed. Its first pad has two lived-in houses, each alone on its
/// set; so has its second.
pub fn neighbourhood(seed: u64) -> World {
    let mut builder = Builder::new(seed, "neighbourhood");
    let street = builder.unused(names::street);
    let head = moved(ORIGIN, -60.0, 40.0);
    supply(&mut builder, head);
    let pads = builder.draw.whole(2, 5);
    let mut upstream = ("SUB:out".to_owned(), head);
    for k in 0..pads {
        let id = format!("P{:02}", k + 1);
        let on_the_road = moved(ORIGIN, f64::from(k) * STEP_M, 0.0);
        let at = builder.near(on_the_road, 5.0, 4.0);
        let kva = *builder.draw.pick(&[25.0, 37.5, 50.0, 75.0]).unwrap_or(&37.5);
        builder.pad(&id, at, kva, "A");
        let out = if k + 1 < pads { Out::Closed } else { Out::Absent };
        wiring::pad(&mut builder.world.network, &id, at, out);
        wiring::cable(&mut builder.world.network, &upstream, (&format!("{id}:in"), at), "1/0");
        upstream = (format!("{id}:out"), at);
        let sets = builder.draw.whole(2, 6);
        for position in 0..sets {
            add_set(&mut builder, &id, (at, &street), k < 2 && position < 2);
        }
    }
    let mut draw = stream(seed, "neighbourhood people");
    second_tags(&mut builder);
    mark_cables(&mut builder.world, &mut draw);
    for service in builder.world.services.values_mut() {
        service.entry = entry(service.habit, &mut draw);
        for source in &mut service.sources {
            source.locked = draw.chance(0.05);
        }
    }
    builder.world
}

/// Metered services that a job can be about, in id order.
pub fn metered(world: &World) -> Vec<&str> {
    world.services.values().filter(|s| s.meter.is_some()).map(|s| s.id.as_str()).collect()
}

fn supply(builder: &mut Builder, at: LonLat) {
    let network = &mut builder.world.network;
    network.supplies.push(Supply {
        id: "SUB".to_owned(),
        at,
        node: "SUB:bus".to_owned(),
        volts_line_to_line: 12_470.0,
        fault_amps: 6_000.0,
        x_over_r: 6.0,
    });
    network.switches.push(Switch {
        id: "SUB-breaker".to_owned(),
        device: Device::Breaker,
        from: "SUB:bus".to_owned(),
        to: "SUB:out".to_owned(),
        normally_closed: true,
        pad: None,
        at,
        single_phase: false,
    });
}

const MAKES: [(Metal, Size); 7] = [
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg1o0),
    (Metal::Al, Size::Kcmil350),
    (Metal::Cu, Size::Awg2o0),
    (Metal::Cu, Size::Awg4),
];

fn make(draw: &mut Draw) -> (Metal, Size) {
    *draw.pick(&MAKES).unwrap_or(&(Metal::Al, Size::Awg4o0))
}

fn add_set(builder: &mut Builder, pad: &str, place: (LonLat, &str), plain: bool) {
    let (metal, size) = make(&mut builder.draw);
    let kind = if plain { 0.0 } else { builder.draw.unit() };
    if kind < 0.84 {
        let habit = if plain { Habit::LivedIn } else { customer(&mut builder.draw) };
        let service = add_house(builder, place, habit);
        let parallel = builder.draw.chance(0.04);
        let (metal, size) = if parallel { (Metal::Al, Size::Kcmil350) } else { (metal, size) };
        let set = builder.set_from_pad(pad, End::Service(service), metal, size);
        if let Some(set) = builder.world.sets.get_mut(&set).filter(|_| parallel) {
            set.runs = 2;
        }
    } else if kind < 0.92 {
        let id = format!("D{:02}", builder.world.junctions.len().saturating_add(1));
        let there = builder.near(place.0, 15.0, 15.0);
        builder.junction(&id, JunctionKind::Pedestal, there);
        builder.set_from_pad(pad, End::Junction(id.clone()), metal, size);
        for _ in 0..builder.draw.whole(2, 3) {
            let habit = customer(&mut builder.draw);
            let service = add_house(builder, (there, place.1), habit);
            builder.set_from_junction(&id, End::Service(service), Metal::Al, Size::Awg1o0);
        }
    } else if kind < 0.96 {
        let number = builder.world.services.len().saturating_add(1);
        let id = format!("V{number:02}");
        let at = builder.near(place.0, 20.0, 8.0);
        builder.service(&id, &format!("Street light {number}"), at, Habit::StreetLight);
        builder.set_from_pad(pad, End::Service(id), Metal::Cu, Size::Awg6);
    } else {
        builder.set_from_pad(pad, End::Dead, metal, size);
    }
}

fn customer(draw: &mut Draw) -> Habit {
    match draw.below(20) {
        0 | 1 => Habit::Vacant,
        2 => Habit::Workshop,
        _ => Habit::LivedIn,
    }
}

fn add_house(builder: &mut Builder, place: (LonLat, &str), habit: Habit) -> String {
    let number = builder.world.services.len().saturating_add(1);
    let id = format!("V{number:02}");
    let at = builder.near(place.0, 19.0, 22.0);
    builder.service(&id, &format!("{number} {}", place.1), at, habit);
    id
}

/// Some pads carry an older tag besides.
fn second_tags(builder: &mut Builder) {
    let pads: Vec<String> = builder.world.pads.keys().cloned().collect();
    for id in pads {
        if builder.draw.chance(0.15) {
            let old = builder.unused(names::tag);
            if let Some(pad) = builder.world.pads.get_mut(&id) {
                pad.tags.push(old);
            }
        }
    }
}

/// At some pads every set is marked at both ends, each with a text of its own; elsewhere none is.
fn mark_cables(world: &mut World, draw: &mut Draw) {
    for set in world.sets.values_mut() {
        (set.mark_at_start, set.mark_at_end) = (None, None);
    }
    for pad in world.pads.values() {
        if !draw.chance(0.3) {
            continue;
        }
        let first = draw.whole(1, 80);
        for (number, id) in (first..).zip(&pad.sets) {
            if let Some(CableSet { mark_at_start, mark_at_end, .. }) = world.sets.get_mut(id) {
                *mark_at_start = Some(format!("M{number:02}"));
                mark_at_end.clone_from(mark_at_start);
            }
        }
    }
}

fn entry(habit: Habit, draw: &mut Draw) -> Entry {
    let chance = draw.unit();
    match habit {
        Habit::StreetLight => Entry::Open,
        Habit::Vacant if chance < 0.35 => Entry::NoSupply,
        Habit::Vacant if chance < 0.7 => Entry::NobodyThere,
        _ if chance < 0.01 => Entry::UnsafeWiring,
        _ if chance < 0.05 => Entry::NobodyThere,
        _ => Entry::Open,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::Record;

    #[test]
    fn neighbourhoods_have_what_they_are_to_have() {
        let worlds: Vec<World> = (0..300).map(neighbourhood).collect();
        let mut seen = std::collections::BTreeSet::new();
        for world in &worlds {
            assert!((2..=5).contains(&world.pads.len()));
            for pad in world.pads.values() {
                assert!((2..=6).contains(&pad.sets.len()));
                if pad.tags.len() > 1 {
                    seen.insert("second tag");
                }
            }
            for set in world.sets.values() {
                seen.insert(if set.runs > 1 { "parallel run" } else { "single run" });
                seen.insert(if set.to == End::Dead { "stub" } else { "led on" });
                if set.mark_at_start.is_some() {
                    assert_eq!(set.mark_at_start, set.mark_at_end);
                    seen.insert("marked");
                }
            }
            for service in world.services.values() {
                seen.insert(match service.entry {
                    Entry::Open => "open",
                    Entry::NobodyThere => "nobody",
                    Entry::NoSupply => "no supply",
                    Entry::UnsafeWiring => "unsafe",
                });
                if service.street_light() {
                    seen.insert("light");
                }
                if service.sources.iter().any(|s| s.locked) {
                    seen.insert("locked");
                }
            }
            let record = Record::true_of(world);
            assert_eq!(Record::as_drawn(world), record, "nothing is buried here");
        }
        assert_eq!(seen.len(), 12, "{seen:?}");
        let houses: usize = worlds.iter().map(|w| metered(w).len()).sum();
        let alone: usize = worlds
            .iter()
            .map(|w| metered(w).into_iter().filter(|id| w.alone(id).unwrap()).count())
            .sum();
        assert!(alone * 10 > houses * 7, "{alone} of {houses}");
    }

    #[test]
    fn the_same_seed_is_the_same_neighbourhood() {
        for seed in 0..20 {
            assert_eq!(neighbourhood(seed), neighbourhood(seed));
        }
        assert_ne!(neighbourhood(1), neighbourhood(2));
    }
}
