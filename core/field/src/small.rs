//! Small random worlds, for tests that need many: one to three pads, two to six sets each, some
//! shared, some spliced, some dead-ended; neighbours whose loads come and go as they please.

use crate::build::{Builder, ORIGIN};
use crate::conductor::{Metal, Size};
use crate::fix::moved;
use crate::habit::Habit;
use crate::network::{Device, Supply, Switch};
use crate::seed::Draw;
use crate::wiring;
use crate::world::{End, JunctionKind, LonLat, World};

/// Makes the small world of this seed. It always has a metered service alone on its set at its
/// first pad.
pub fn small(seed: u64) -> World {
    let mut builder = Builder::new(seed, "small");
    builder.world.network.supplies.push(Supply {
        id: "SUB".to_owned(),
        at: moved(ORIGIN, -60.0, 40.0),
        node: "SUB:bus".to_owned(),
        volts_line_to_line: 12_470.0,
        fault_amps: 6_000.0,
        x_over_r: 6.0,
    });
    builder.world.network.switches.push(Switch {
        id: "SUB-breaker".to_owned(),
        device: Device::Breaker,
        from: "SUB:bus".to_owned(),
        to: "SUB:out".to_owned(),
        normally_closed: true,
        pad: None,
        at: moved(ORIGIN, -60.0, 40.0),
        single_phase: false,
    });
    let pads = builder.draw.whole(1, 3);
    let mut upstream = ("SUB:out".to_owned(), moved(ORIGIN, -60.0, 40.0));
    for k in 0..pads {
        let id = format!("P{:02}", k + 1);
        let at = moved(ORIGIN, f64::from(k) * 38.0, 0.0);
        let kva = *builder.draw.pick(&[25.0, 37.5, 50.0]).unwrap_or(&37.5);
        builder.pad(&id, at, kva, "A");
        let out = if k + 1 < pads { wiring::Out::Closed } else { wiring::Out::Absent };
        wiring::pad(&mut builder.world.network, &id, at, out);
        wiring::cable(&mut builder.world.network, &upstream, (&format!("{id}:in"), at), "1/0");
        upstream = (format!("{id}:out"), at);
        let sets = builder.draw.whole(2, 6);
        for position in 0..sets {
            add_set(&mut builder, &id, at, position == 0);
        }
    }
    builder.world
}

const MAKES: [(Metal, Size); 5] = [
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg1o0),
    (Metal::Cu, Size::Awg2o0),
    (Metal::Cu, Size::Awg4),
];

fn make(draw: &mut Draw) -> (Metal, Size) {
    *draw.pick(&MAKES).unwrap_or(&(Metal::Al, Size::Awg4o0))
}

fn add_set(builder: &mut Builder, pad: &str, at: LonLat, plain: bool) {
    let (metal, size) = make(&mut builder.draw);
    let kind = if plain { 0.0 } else { builder.draw.unit() };
    if kind < 0.63 {
        let habit = if plain { Habit::LivedIn } else { customer(&mut builder.draw) };
        let service = add_service(builder, at, habit);
        let set = builder.set_from_pad(pad, End::Service(service), metal, size);
        if builder.draw.chance(0.1) {
            let (metal, size) = make(&mut builder.draw);
            builder.splice_in(&set, metal, size);
        }
    } else if kind < 0.87 {
        let (kind, letter) = if kind < 0.76 {
            (JunctionKind::Pedestal, "D")
        } else {
            (JunctionKind::BuriedSplice, "B")
        };
        let id = format!("{letter}{:02}", builder.world.junctions.len().saturating_add(1));
        let there = builder.near(at, 15.0, 15.0);
        builder.junction(&id, kind, there);
        builder.set_from_pad(pad, End::Junction(id.clone()), metal, size);
        for _ in 0..builder.draw.whole(2, 3) {
            let habit = customer(&mut builder.draw);
            let service = add_service(builder, there, habit);
            let (metal, size) = make(&mut builder.draw);
            builder.set_from_junction(&id, End::Service(service), metal, size);
        }
    } else if kind < 0.93 {
        builder.set_from_pad(pad, End::Dead, metal, size);
    } else {
        let light = add_service(builder, at, Habit::StreetLight);
        builder.set_from_pad(pad, End::Service(light), Metal::Cu, Size::Awg6);
    }
}

fn customer(draw: &mut Draw) -> Habit {
    match draw.below(20) {
        0..=2 => Habit::Vacant,
        3 => Habit::Workshop,
        _ => Habit::LivedIn,
    }
}

fn add_service(builder: &mut Builder, near: LonLat, habit: Habit) -> String {
    let number = builder.world.services.len().saturating_add(1);
    let id = format!("V{number:02}");
    let at = builder.near(near, 25.0, 25.0);
    let plate = match habit {
        Habit::StreetLight => format!("Street light {number}"),
        _ => format!("{number} {} Row", builder.world.name),
    };
    builder.service(&id, &plate, at, habit);
    id
}
