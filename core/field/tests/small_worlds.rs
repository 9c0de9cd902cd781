//! Small worlds: what they promise, and that all their kinds occur.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops where it finds something wrong, its own steps too"
)]

use coldlug_field::conductor::Leg;
use coldlug_field::flow::rms;
use coldlug_field::small::small;
use coldlug_field::switching::Switching;
use coldlug_field::world::{End, JunctionKind, SourceKind, Start};
use proptest::prelude::*;
use std::collections::BTreeMap;

#[test]
fn every_kind_of_trouble_occurs() {
    let mut seen: BTreeMap<&str, u32> = BTreeMap::new();
    let mut count = |what, times: usize| {
        *seen.entry(what).or_default() += u32::try_from(times).unwrap();
    };
    for seed in 0..400 {
        let world = small(seed);
        let junctions = |kind| world.junctions.values().filter(|j| j.kind == kind).count();
        let sources = |kind| {
            world.services.values().flat_map(|s| &s.sources).filter(|s| s.kind == kind).count()
        };
        count("pedestal", junctions(JunctionKind::Pedestal));
        count("buried splice", junctions(JunctionKind::BuriedSplice));
        count("straight splice", world.sets.values().filter(|s| s.sections.len() > 1).count());
        count("dead end", world.sets.values().filter(|s| s.to == End::Dead).count());
        count("vacant", world.services.values().filter(|s| s.vacant()).count());
        count("street light", world.services.values().filter(|s| s.street_light()).count());
        count("unmetered", world.services.values().filter(|s| s.unmetered_amps > 0.0).count());
        count("generator", sources(SourceKind::Generator));
        count("pv", sources(SourceKind::Pv));
        count("battery", sources(SourceKind::Battery));
        count("three pads", usize::from(world.pads.len() == 3));
        count("one pad", usize::from(world.pads.len() == 1));
    }
    assert_eq!(seen.len(), 12);
    for (what, times) in seen {
        assert!(times >= 10, "{what}: {times}");
    }
}

#[test]
fn a_neighbour_sometimes_changes_as_a_known_load_would() {
    // Steps of 7.5 to 15 A between readings half a minute apart, on sets with no test load.
    let mut steps = 0;
    for seed in 0..40 {
        let world = small(seed);
        let amps = |set: &str, t_s: f64| {
            let flow = world.flow("P01", t_s, &Switching::default()).unwrap();
            flow.sets[set].amps.leg(Leg::L1)
        };
        for set in &world.pad("P01").unwrap().sets {
            for k in 0..60 {
                let t_s = f64::from(k) * 30.0;
                if (7.5..15.0).contains(&(amps(set, t_s + 30.0) - amps(set, t_s)).abs()) {
                    steps += 1;
                }
            }
        }
    }
    assert!(steps > 100, "{steps}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn a_small_world_is_sound(seed: u64) {
        let world = small(seed);
        prop_assert_eq!(&world, &small(seed));
        prop_assert!((1..=3).contains(&world.pads.len()));
        for pad in world.pads.values() {
            prop_assert!((2..=6).contains(&pad.sets.len()));
            for (k, id) in pad.sets.iter().enumerate() {
                let position = u8::try_from(k + 1).unwrap();
                let start = Start::Pad { pad: pad.id.clone(), position };
                prop_assert_eq!(&world.set(id).unwrap().from, &start);
            }
            let flow = world.flow(&pad.id, 0.0, &Switching::default()).unwrap();
            prop_assert!((114.0..126.0).contains(&flow.bus.v1n()));
        }
        let first = &world.pads["P01"].sets[0];
        let alone = world.services_on(first).unwrap();
        prop_assert_eq!(alone.len(), 1);
        prop_assert!(world.service(alone[0]).unwrap().meter.is_some());
        for service in world.services.keys() {
            let feeding = world.feeding_set(service).unwrap();
            prop_assert!(world.services_on(feeding).unwrap().contains(&service.as_str()));
        }
    }

    #[test]
    fn what_is_not_there_is_named(seed: u64) {
        let world = small(seed);
        let switching = Switching::default();
        prop_assert_eq!(
            world.flow("P99", 0.0, &switching).unwrap_err().to_string(),
            "no pad P99 in this field; name one of its pads"
        );
        prop_assert!(world.feeding_set("V99").is_err());
        prop_assert!(world.look_at_base("V99").is_err());
        prop_assert!(rms(world.flow("P01", 0.0, &switching).unwrap().earth) < 5.0);
    }
}
