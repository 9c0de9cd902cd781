//! Each kind of mistake does to a record what its name says, and nothing else.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops where it finds something wrong, its own steps too"
)]

use coldlug_field::conductor::Size;
use coldlug_field::fix::metres_between;
use coldlug_field::mistake::{Mistake, MistakeKind};
use coldlug_field::record::Record;
use coldlug_field::seed::stream;
use coldlug_field::town::{boathouse, hillside, target};
use coldlug_field::world::World;
use std::collections::BTreeSet;

fn town() -> (World, Record) {
    let world = hillside(5);
    let record = Record::true_of(&world);
    (world, record)
}

/// Two services of one pad, and their pad.
fn two(world: &World) -> (String, String, String) {
    let target = target(world).unwrap();
    let other = world.pad(&target.pad).unwrap().sets.iter().find(|s| **s != target.set).unwrap();
    let other = world.services_on(other).unwrap()[0].to_owned();
    (target.service, other, target.pad)
}

fn applied(record: &Record, mistake: &Mistake) -> Record {
    let mut wrong = record.clone();
    wrong.apply(mistake).unwrap();
    wrong
}

#[test]
fn a_service_on_the_wrong_pad_leaves_its_own() {
    let (world, record) = town();
    let house = boathouse(&world).unwrap();
    let wrong = applied(
        &record,
        &Mistake::WrongPad { service: house.service.clone(), pad: house.wrong_pad.clone() },
    );
    assert_eq!(wrong.pad_of(&house.service).unwrap(), house.wrong_pad);
    let count = |record: &Record, pad: &str| record.sets_at(pad).len();
    assert_eq!(count(&wrong, &house.wrong_pad), count(&record, &house.wrong_pad) + 1);
    assert_eq!(count(&wrong, &house.true_pad) + 1, count(&record, &house.true_pad));
    let positions: BTreeSet<u8> = wrong.sets_at(&house.wrong_pad).iter().map(|(p, _)| *p).collect();
    assert_eq!(positions.len(), count(&wrong, &house.wrong_pad), "no lug is used twice");
}

#[test]
fn what_is_swapped_twice_is_as_before() {
    let (world, record) = town();
    let (a, b, _) = two(&world);
    for swap in [
        Mistake::SwappedMeters { a: a.clone(), b: b.clone() },
        Mistake::SwappedSets { a: a.clone(), b: b.clone() },
        Mistake::SwappedTags { a: "P01".to_owned(), b: "P02".to_owned() },
        Mistake::WrongMetal { set: record.feeding_set(&a).unwrap().to_owned() },
    ] {
        let once = applied(&record, &swap);
        assert_ne!(once, record, "{swap:?}");
        assert_eq!(applied(&once, &swap), record, "{swap:?}");
    }
}

#[test]
fn swapped_sets_feed_each_other() {
    let (world, record) = town();
    let (a, b, pad) = two(&world);
    let wrong = applied(&record, &Mistake::SwappedSets { a: a.clone(), b: b.clone() });
    assert_eq!(wrong.feeding_set(&a).unwrap(), record.feeding_set(&b).unwrap());
    assert_eq!(wrong.feeding_set(&b).unwrap(), record.feeding_set(&a).unwrap());
    assert_eq!(wrong.pad_of(&a).unwrap(), pad);
}

#[test]
fn missing_and_extra_change_the_count_of_sets() {
    let (world, record) = town();
    let (a, _, pad) = two(&world);
    let before = record.sets_at(&pad).len();
    let fewer = applied(&record, &Mistake::MissingService { service: a.clone() });
    assert_eq!(fewer.sets_at(&pad).len(), before - 1);
    assert!(!fewer.services.contains_key(&a));
    let mistake = Mistake::ExtraService {
        pad: pad.clone(),
        premises: "1 Nowhere Row".to_owned(),
        meter: "59999999".to_owned(),
    };
    let more = applied(&record, &mistake);
    assert_eq!(more.sets_at(&pad).len(), before + 1);
    assert!(more.services.values().any(|s| s.premises == "1 Nowhere Row"));
}

#[test]
fn a_moved_pad_is_moved_by_as_much_as_said() {
    let (world, record) = town();
    let mistake = Mistake::PadMoved { pad: "P09".to_owned(), east_m: 30.0, north_m: -40.0 };
    let wrong = applied(&record, &mistake);
    let metres = metres_between(wrong.pads["P09"].at, world.pads["P09"].at);
    assert!((metres - 50.0).abs() < 0.05, "{metres}");
}

#[test]
fn what_is_not_on_the_record_cannot_be_mistaken() {
    let (_, record) = town();
    let none = || "none".to_owned();
    for mistake in [
        Mistake::WrongPad { service: "V001".to_owned(), pad: none() },
        Mistake::WrongPad { service: none(), pad: "P01".to_owned() },
        Mistake::SwappedTags { a: "P01".to_owned(), b: none() },
        Mistake::MissingService { service: none() },
        Mistake::WrongMetal { set: none() },
        Mistake::WrongSize { set: none(), size: Size::Awg2 },
        Mistake::WrongMeterNumber { service: none(), number: none() },
        Mistake::SwappedMeters { a: "V001".to_owned(), b: none() },
        Mistake::SwappedMeters { a: none(), b: "V001".to_owned() },
        Mistake::PadMoved { pad: none(), east_m: 1.0, north_m: 1.0 },
        Mistake::SwappedSets { a: "V001".to_owned(), b: none() },
        Mistake::HiddenSplice { junction: none() },
        Mistake::ExtraService { pad: none(), premises: none(), meter: none() },
    ] {
        let mut untouched = record.clone();
        assert!(untouched.apply(&mistake).is_err(), "{mistake:?}");
        assert_eq!(untouched, record, "{mistake:?}");
    }
}

#[test]
fn every_kind_can_be_drawn_in_a_town() {
    let (world, record) = town();
    let (service, ..) = two(&world);
    for kind in MistakeKind::ALL {
        let mistake = kind.draw(&record, &service, &mut stream(3, "kinds")).unwrap();
        assert_ne!(applied(&record, &mistake), record, "{kind:?}");
        let again = kind.draw(&record, &service, &mut stream(3, "kinds")).unwrap();
        assert_eq!(mistake, again);
    }
}
