//! A tone and markers, where no load can be switched: two people hear and read them.

use super::*;
use crate::sighting::{Deed, DeedKind, Lack, ToneLevel};

/// Who is at the house and who at the pad.
type People = (&'static str, &'static str);

type Look = fn(&mut Job, People);

fn stay_of(house: &str) -> crate::quantity::StayId {
    if house == "ana" { "stay" } else { "next" }.try_into().unwrap()
}

/// A tone from the house, loud on set 1.
fn tone(job: &mut Job, (house, pad): People) {
    let id: crate::quantity::DeedId = job.name("deed").as_str().try_into().unwrap();
    let at = job.tick(house);
    let deed = Deed {
        id: id.clone(),
        stay: stay_of(house),
        doer: house.try_into().unwrap(),
        kind: DeedKind::ToneOn,
        number_in_hand: None,
        at,
    };
    job.evidence.deeds.insert(id.clone(), deed);
    let level = |position: &str, on: &str| ToneLevel {
        handle: Handle::Position { position: position.into() },
        on_level: on.parse().unwrap(),
        off_level: "2".parse().unwrap(),
    };
    let levels = vec![level("1", "80"), level("2", "10")];
    let instrument = "tone".try_into().unwrap();
    job.note(pad, Seen::Tone { deed: id, instrument, pad: "P1".try_into().unwrap(), levels });
}

/// The same marker at the base and on set 1.
fn markers(job: &mut Job, (house, pad): People) {
    let end = End::Base { stay: stay_of(house) };
    job.note(house, Seen::Marker { end, text: "17".into() });
    let handle = Handle::Mark { marks: "marks-P1".try_into().unwrap(), mark: "A".into() };
    let end = End::Lug { pad: "P1".try_into().unwrap(), handle };
    job.note(pad, Seen::Marker { end, text: "17".into() });
}

fn without_supply() -> Job {
    let mut job = Job::at_the_house();
    let lack = Lack::Supply;
    job.note("ana", Seen::Lacking { stay: "stay".try_into().unwrap(), lack });
    job
}

fn change_places(job: &mut Job) {
    let (ended, begun) = (job.tick("ana"), job.tick("bo"));
    for stay in job.evidence.stays.values_mut() {
        stay.ended = Some(ended.clone());
    }
    let (id, person): (crate::quantity::StayId, _) = (stay_of("bo"), "bo".try_into().unwrap());
    let next = Stay { id: id.clone(), person, begun, ended: None, withdrawn: false };
    job.evidence.stays.insert(id.clone(), next);
    job.note("bo", Seen::MeterNumber { stay: id.clone(), number: "M-V1".into() });
    let service = Some("V1".try_into().unwrap());
    job.note("bo", Seen::AddressPlate { stay: id.clone(), plate: "plate".into(), service });
    let taken_at = job.tick("bo");
    let seen = Seen::MeterPhoto {
        stay: id,
        run: None,
        taken_by: "bo".try_into().unwrap(),
        taken_at,
        photo: "0".repeat(64),
        number: "M-V1".into(),
    };
    job.note("ana", seen);
}

fn next(job: &Job) -> Vec<Test> {
    job.judge().settling.into_iter().map(|next| next.test).collect()
}

const PAD: &str = "P1";

fn heard() -> Test {
    Test::Tone { pad: PAD.try_into().unwrap() }
}

fn read() -> Test {
    Test::ReadMarkers { pad: PAD.try_into().unwrap() }
}

#[test]
fn who_makes_up_a_tone_makes_up_the_markers_to_go_with_it() {
    let mut job = without_supply();
    tone(&mut job, ("ana", "bo"));
    markers(&mut job, ("ana", "bo"));
    assert_eq!(job.judge().identified(), None);
    assert_eq!(next(&job).first(), Some(&Test::ChangePlaces));
}

#[test]
fn two_who_heard_and_read_the_same_name_the_set() {
    for first in [heard(), read()] {
        let mut job = without_supply();
        let (before, after): (Look, Look) =
            if first == heard() { (tone, markers) } else { (markers, tone) };
        before(&mut job, ("ana", "bo"));
        assert_eq!(job.judge().identified(), None);
        change_places(&mut job);
        assert_eq!(job.judge().identified(), None);
        after(&mut job, ("bo", "ana"));
        assert_eq!(job.judge().identified(), Some(&set_at("P1", "1")), "{first:?} first");
    }
}

#[test]
fn what_is_advised_comes_to_an_end() {
    let mut job = without_supply();
    let mut people: People = ("ana", "bo");
    let mut done = Vec::new();
    while job.judge().identified().is_none() {
        let test = next(&job).first().cloned().expect("something is advised");
        match test.id() {
            "test-tone" => tone(&mut job, people),
            "test-read-markers" => markers(&mut job, people),
            "test-change-places" => {
                change_places(&mut job);
                people = ("bo", "ana");
            }
            other => panic!("{other} after {done:?}"),
        }
        done.push(test.id());
        assert!(done.len() <= 4, "{done:?}");
    }
    assert_eq!(job.judge().identified(), Some(&set_at("P1", "1")));
    assert!(done.contains(&"test-change-places"), "{done:?}");
}
