//! The town as a whole.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops where it finds something wrong, its own steps too"
)]

use coldlug_field::clamp::Clamp;
use coldlug_field::conductor::Leg;
use coldlug_field::fix::take;
use coldlug_field::mistake::Mistake;
use coldlug_field::record::Record;
use coldlug_field::seed::{hash_text, mix, stream};
use coldlug_field::switching::Switching;
use coldlug_field::tester::Tester;
use coldlug_field::town::{boathouse, hillside, target};
use coldlug_field::world::{CableSet, Section};
use std::collections::BTreeSet;

fn check_seeds(check: impl Fn(u64)) {
    for seed in 0..6 {
        check(seed);
    }
}

#[test]
fn the_town_is_as_large_as_it_is_said_to_be() {
    check_seeds(|seed| {
        let world = hillside(seed);
        assert_eq!(world.pads.len(), 64);
        let customers = world.services.values().filter(|s| !s.street_light()).count();
        assert!(customers >= 350, "{customers}");
        assert_eq!(world.network.rings.len(), 2);
        assert_eq!(world.junctions.len(), 8);
        assert!(world.services.values().filter(|s| s.street_light()).count() >= 8);
        assert!(world.services.values().filter(|s| !s.sources.is_empty()).count() >= 8);
    });
}

#[test]
fn the_same_seed_gives_the_same_sheet_and_another_seed_another() {
    let sheet = |seed| {
        let world = hillside(seed);
        Record::true_of(&world).map_sheet(&world).to_string()
    };
    assert_eq!(sheet(1), sheet(1));
    assert_ne!(sheet(1), sheet(2));
}

/// The bytes of the town, its flow and its instruments are pinned: the same on every platform. A
/// change of the generator changes them; then look at what else it changes, and pin them anew.
#[test]
fn the_bytes_of_seed_one_are_pinned() {
    let world = hillside(1);
    assert_eq!(hash_text(&format!("{world:?}")), 3_621_481_094_567_055_084, "town");
    let mut words = Vec::new();
    let mut draw = stream(1, "kit");
    let (clamp, tester) = (Clamp::sound(&mut draw), Tester::sound(&mut draw));
    for (k, pad) in (0u64..).zip(world.pads.values()) {
        let flow = world.flow(&pad.id, 777.0, &Switching::default()).unwrap();
        words.push(flow.bus.l1.re.to_bits());
        for set in flow.sets.values() {
            words.push(set.amps.leg2.im.to_bits());
            words.push(clamp.read(set.amps.leg(Leg::L1), 3.0, k).to_bits());
        }
        words.push(tester.read(flow.bus.v12(), k).to_bits());
        words.push(take(pad.at, pad.sky, k).at.lon.to_bits());
    }
    assert_eq!(words.into_iter().fold(0, mix), 11_981_101_821_074_807_276, "field");
}

#[test]
fn numbers_plates_and_tags_are_given_once() {
    check_seeds(|seed| {
        let world = hillside(seed);
        let meters: Vec<&String> =
            world.services.values().filter_map(|s| s.meter.as_ref()).collect();
        assert_eq!(meters.iter().collect::<BTreeSet<_>>().len(), meters.len());
        let plates: BTreeSet<&String> = world.services.values().map(|s| &s.plate).collect();
        assert_eq!(plates.len(), world.services.len());
        let tags: BTreeSet<&String> = world.pads.values().flat_map(|p| &p.tags).collect();
        assert_eq!(tags.len(), world.pads.len());
    });
}

#[test]
fn every_pad_is_healthy_at_rest() {
    check_seeds(|seed| {
        let world = hillside(seed);
        for pad in world.pads.keys() {
            let flow = world.flow(pad, 1_000.0, &Switching::default()).unwrap();
            assert!((114.0..126.0).contains(&flow.bus.v1n()), "{pad} {}", flow.bus.v1n());
            for (id, base) in &flow.services {
                for volts in [base.line.v1n(), base.line.v2n()] {
                    assert!((108.0..127.0).contains(&volts), "{id} {volts}");
                }
            }
        }
    });
}

#[test]
fn the_target_is_one_of_two_alike_at_a_pad_of_three() {
    check_seeds(|seed| {
        let world = hillside(seed);
        let target = target(&world).unwrap();
        let pad = world.pad(&target.pad).unwrap();
        assert_eq!(pad.sets.len(), 3);
        assert_eq!(pad.tag_characters_lost, 2);
        assert_eq!(world.services_on(&target.set).unwrap(), vec![target.service.as_str()]);
        let looks: Vec<_> = pad.sets.iter().map(|s| world.look_at_pad(s).unwrap()).collect();
        let mine = world.look_at_pad(&target.set).unwrap();
        assert_eq!(looks.iter().filter(|look| **look == mine).count(), 2);
        let sections = |set: &CableSet| -> Vec<Section> { set.sections.clone() };
        assert_eq!(sections(world.set(&target.set).unwrap()).len(), 1);
    });
}

#[test]
fn the_boathouse_hangs_on_the_next_pad_round_the_ring() {
    check_seeds(|seed| {
        let world = hillside(seed);
        let boathouse = boathouse(&world).unwrap();
        assert!(world.service(&boathouse.service).unwrap().plate.starts_with("Boathouse, "));
        assert_eq!(world.pad_of(&boathouse.service).unwrap(), boathouse.true_pad);
        assert!(
            world
                .network
                .ring_neighbours(&boathouse.true_pad)
                .contains(&boathouse.wrong_pad.as_str())
        );
        let mut record = Record::true_of(&world);
        let mistake = Mistake::WrongPad {
            service: boathouse.service.clone(),
            pad: boathouse.wrong_pad.clone(),
        };
        record.apply(&mistake).unwrap();
        assert_eq!(record.pad_of(&boathouse.service).unwrap(), boathouse.wrong_pad);
        assert_eq!(record.sets_at(&boathouse.wrong_pad).len(), 4);
        assert_eq!(record.sets_at(&boathouse.true_pad).len(), 2);
    });
}
