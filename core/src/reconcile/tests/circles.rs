//! Advice that would go in circles leads out of them.

use super::*;
use crate::sighting::Lack;

#[test]
fn who_is_at_another_meter_inside_a_run_goes_back_and_begins_anew() {
    let mut job = Job::at_the_house();
    job.step(("P1", "1"), By::Mark, L1, false, true);
    let next = |job: &Job| job.judge().settling.first().map(|next| next.test.clone());
    assert_ne!(next(&job), Some(Test::BeginStayAnew));
    for sighting in job.evidence.sightings.values_mut() {
        if let Seen::MeterPhoto { run: Some(_), number, .. } = &mut sighting.seen {
            *number = "M-V2".into();
        }
    }
    assert_eq!(next(&job), Some(Test::BeginStayAnew));
    // Where every look has the same wrong number it is the record that may be wrong.
    for sighting in job.evidence.sightings.values_mut() {
        match &mut sighting.seen {
            Seen::MeterNumber { number, .. } | Seen::MeterPhoto { number, .. } => {
                *number = "M-V2".into();
            }
            _ => {}
        }
    }
    assert_ne!(next(&job), Some(Test::BeginStayAnew));
}

#[test]
fn nobody_changes_places_for_ever() {
    let mut job = Job::new();
    job.begin_stay();
    for pad in ["P1", "P2"] {
        job.mark(pad, 2);
    }
    for lack in [Lack::Supply, Lack::MeterNumber, Lack::Plate, Lack::Tone, Lack::Marker] {
        job.note("ana", Seen::Lacking { stay: "stay".try_into().unwrap(), lack });
    }
    let offered = |job: &Job| -> Vec<Test> {
        job.judge().settling.into_iter().map(|next| next.test).collect()
    };
    assert_eq!(offered(&job), [Test::ChangePlaces]);
    let (begun, ended) = (job.tick("bo"), job.tick("ana"));
    for stay in job.evidence.stays.values_mut() {
        stay.ended = Some(ended.clone());
    }
    let (id, person) = ("next".try_into().unwrap(), "bo".try_into().unwrap());
    let next = Stay { id, person, begun, ended: None, withdrawn: false };
    job.evidence.stays.insert(next.id.clone(), next);
    assert_eq!(offered(&job), [Test::CallDesk]);
}
