//! What has grown old pairs with nothing.

use super::*;
use crate::sighting::{Limits, draw};

#[test]
fn what_is_drawn_from_two_sightings_needs_both_of_them_fresh() {
    let mut job = Job::at_the_house();
    let base = End::Base { stay: "stay".try_into().unwrap() };
    job.note("ana", Seen::Marker { end: base, text: "17".into() });
    let lug = End::Lug {
        pad: "P1".try_into().unwrap(),
        handle: Handle::Position { position: "1".into() },
    };
    let pairs = |job: &Job| {
        let limits = Limits::of(&RuleSheet::default(), &job.evidence);
        draw(&job.plant, &limits, &job.evidence, Conditions::ALL).sets.len()
    };
    let read = Seen::Marker { end: lug, text: "17".into() };
    job.note("bo", read.clone());
    assert_eq!(pairs(&job), 1);
    job.clock_ms += 13 * 3_600_000;
    job.note("bo", read);
    let now = job.tick("bo");
    job.evidence.come_to(&now);
    assert_eq!(pairs(&job), 0, "the marker at the base is of yesterday");
}
