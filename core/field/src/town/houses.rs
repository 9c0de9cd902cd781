//! What hangs on each pad of the town.

use crate::build::Builder;
use crate::conductor::{Metal, Size};
use crate::fix::moved;
use crate::habit::Habit;
use crate::world::{End, JunctionKind, LonLat};

/// Pads of three sets, two of them alike; 5 and 6 are neighbours round the ring, on the quay.
const THREE_SETS: [u32; 12] = [3, 5, 6, 9, 15, 19, 23, 28, 33, 41, 50, 58];
/// Pads with a pedestal, which stands for one of their sets.
const WITH_PEDESTAL: [u32; 8] = [8, 12, 17, 26, 31, 38, 47, 60];

pub(super) fn three_sets(pad: u32) -> bool {
    THREE_SETS.contains(&pad)
}

/// Sets of a three-set pad: the first two alike, the third another metal or size.
const ALIKE: [[(Metal, Size); 3]; 3] = [
    [(Metal::Al, Size::Awg4o0), (Metal::Al, Size::Awg4o0), (Metal::Cu, Size::Awg2o0)],
    [(Metal::Cu, Size::Awg1o0), (Metal::Al, Size::Awg4o0), (Metal::Al, Size::Awg4o0)],
    [(Metal::Al, Size::Awg1o0), (Metal::Al, Size::Kcmil350), (Metal::Al, Size::Awg1o0)],
];
const MIXED: [(Metal, Size); 6] = [
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg4o0),
    (Metal::Al, Size::Awg1o0),
    (Metal::Al, Size::Kcmil350),
    (Metal::Cu, Size::Awg1o0),
    (Metal::Cu, Size::Awg2o0),
];

/// Fills a pad with its sets and services.
pub(super) fn fill(builder: &mut Builder, pad: &str, number: u32, place: (LonLat, &str)) {
    if three_sets(number) {
        let makes = *builder.draw.pick(&ALIKE).unwrap_or(&ALIKE[0]);
        for (k, (metal, size)) in (0u32..).zip(makes) {
            let service = house(builder, place, k, Habit::LivedIn);
            builder.set_from_pad(pad, End::Service(service), metal, size);
        }
        return;
    }
    let sets = 6 + number % 3;
    let pedestal = WITH_PEDESTAL.contains(&number);
    for k in 0..sets {
        let (metal, size) = *builder.draw.pick(&MIXED).unwrap_or(&MIXED[0]);
        if pedestal && k == 0 {
            let id = format!("D{number:02}");
            let at = builder.near(place.0, 18.0, 12.0);
            builder.junction(&id, JunctionKind::Pedestal, at);
            builder.set_from_pad(pad, End::Junction(id.clone()), Metal::Al, Size::Kcmil350);
            for j in 0..builder.draw.whole(3, 4) {
                let habit = customer(builder);
                let service = house(builder, (at, place.1), sets + j, habit);
                builder.set_from_junction(&id, End::Service(service), Metal::Al, Size::Awg1o0);
            }
            continue;
        }
        let habit = customer(builder);
        let service = house(builder, place, k, habit);
        builder.set_from_pad(pad, End::Service(service), metal, size);
    }
    if number.is_multiple_of(4) {
        let light = format!("L{number:02}");
        let at = builder.near(place.0, 12.0, 6.0);
        builder.service(&light, &format!("Street light {number}"), at, Habit::StreetLight);
        builder.set_from_pad(pad, End::Service(light), Metal::Cu, Size::Awg6);
    }
}

fn customer(builder: &mut Builder) -> Habit {
    match builder.draw.below(25) {
        0..=1 => Habit::Vacant,
        2 => Habit::Workshop,
        _ => Habit::LivedIn,
    }
}

/// A house near a pad: even places above the street, odd ones below, going along it.
fn house(builder: &mut Builder, place: (LonLat, &str), k: u32, habit: Habit) -> String {
    let number = builder.world.services.len().saturating_add(1);
    let id = format!("V{number:03}");
    let side = if k.is_multiple_of(2) { 1.0 } else { -1.0 };
    let along = -18.0 + 9.0 * f64::from(k / 2);
    let spot = moved(place.0, along, side * 13.0);
    let at = builder.near(spot, 2.0, 2.0);
    let street = place.1;
    let premises = {
        let mut last = builder.world.services.len() / 2;
        builder.unused(|_| {
            last += 1;
            format!("{last} {street}")
        })
    };
    builder.service(&id, &premises, at, habit);
    if habit == Habit::LivedIn && builder.draw.chance(0.015) {
        let why = *builder.draw.pick(&["life-support", "well-pump"]).unwrap_or(&"well-pump");
        if let Some(service) = builder.world.services.get_mut(&id) {
            service.critical = Some(why);
        }
    }
    id
}
