//! What a device keeps for itself survives reopening: its name and desk, its count of messages, its
//! secrets, and what the desk has.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test that cannot go on fails")]

use std::collections::BTreeMap;

use coldlug_core::{
    event::{Body, examples, parse_events},
    log::{DeviceKey, Entry, Log, LogError},
    quantity::{DeviceId, JobId, PersonId},
};
use coldlug_store::{Appended, Own, OwnDesk, OwnInstrument, Store, StoreError};

fn key() -> DeviceKey {
    DeviceKey::from_seed(&[3; 32])
}

fn job() -> JobId {
    JobId::new("J-0417").unwrap()
}

fn device() -> DeviceId {
    DeviceId::new("phone-a").unwrap()
}

fn entries(count: usize) -> Vec<Entry> {
    let mut log = Log::new(job());
    log.enrol(device(), key().public()).unwrap();
    let mut events = parse_events(examples().as_bytes()).unwrap();
    events.truncate(count);
    events
        .into_iter()
        .map(|mut event| {
            event.device = device();
            log.append(event, &key()).unwrap()
        })
        .collect()
}

fn own(desk: Option<OwnDesk>) -> Own {
    let desk_url = "http://127.0.0.1:7477".to_owned();
    Own { device: device(), public_key: key().public(), desk_url, desk }
}

#[test]
fn a_device_knows_itself_after_reopening() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = Store::open(&path).unwrap();
    assert_eq!(store.own().unwrap(), None);
    store.set_own(&own(None)).unwrap();
    store.close().unwrap();
    let mut store = Store::open(&path).unwrap();
    assert_eq!(store.own().unwrap(), Some(own(None)));
    let person = PersonId::new("lineworker-1").unwrap();
    let desk = OwnDesk { device: DeviceId::new("desk").unwrap(), key: key().public(), person };
    store.set_own(&own(Some(desk.clone()))).unwrap();
    assert_eq!(store.own().unwrap(), Some(own(Some(desk))));
}

#[test]
fn no_number_is_given_twice_whatever_is_closed_in_between() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = Store::open(&path).unwrap();
    store.set_own(&own(None)).unwrap();
    for wanted in 2..5 {
        assert_eq!(store.take_number().unwrap(), wanted);
        store = Store::open(&path).unwrap();
        store.set_own(&own(None)).unwrap();
    }
}

#[test]
fn entries_and_secrets_are_kept_all_or_none() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = Store::open(&path).unwrap();
    store.enrol(&job(), &device(), &key().public()).unwrap();
    let secrets = BTreeMap::from([("run:r1".to_owned(), "0110".to_owned())]);
    let all = entries(4);
    let with_gap = [all[0].clone(), all[2].clone()];
    assert!(matches!(
        store.append_all(&job(), &with_gap, &secrets),
        Err(StoreError::Entry(LogError::Gap { .. }))
    ));
    assert!(store.load(&job()).unwrap().is_empty());
    assert!(store.secrets(&job()).unwrap().is_empty());
    assert_eq!(store.append_all(&job(), &all[..3], &secrets).unwrap(), [Appended::New; 3]);
    drop(store);
    let mut store = Store::open(&path).unwrap();
    assert_eq!(store.load(&job()).unwrap().len(), 3);
    assert_eq!(store.secrets(&job()).unwrap(), secrets);
    let again = store.append_all(&job(), &all, &secrets).unwrap();
    assert_eq!(again, [Appended::Already, Appended::Already, Appended::Already, Appended::New]);
}

#[test]
fn a_name_used_twice_in_one_job_is_still_only_a_secret_of_that_job() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(&folder.path().join("jobs.sqlite")).unwrap();
    let one = |text: &str| BTreeMap::from([("run:r1".to_owned(), text.to_owned())]);
    store.append_all(&job(), &[], &one("first")).unwrap();
    store.append_all(&job(), &[], &one("second")).unwrap();
    store.append_all(&JobId::new("J-2").unwrap(), &[], &one("other")).unwrap();
    assert_eq!(store.secrets(&job()).unwrap(), one("second"));
}

#[test]
fn what_the_desk_has_is_what_it_said_last() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(&folder.path().join("jobs.sqlite")).unwrap();
    let says = |a: u64| BTreeMap::from([(device(), a)]);
    store.acknowledge(&job(), &says(7)).unwrap();
    assert_eq!(store.acknowledged(&job()).unwrap(), says(7));
    store.acknowledge(&job(), &says(3)).unwrap();
    assert_eq!(store.acknowledged(&job()).unwrap(), says(3));
    store.acknowledge(&job(), &says(0)).unwrap();
    assert!(store.acknowledged(&job()).unwrap().is_empty());
}

#[test]
fn an_instrument_is_kept_as_it_was_entered_last_until_it_is_dropped() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = Store::open(&path).unwrap();
    assert_eq!(store.instruments().unwrap(), []);
    let examples = parse_events(examples().as_bytes()).unwrap();
    let entered = examples.iter().find_map(|event| match &event.body {
        Body::Instrument(entered) => Some(entered.instrument.clone()),
        _ => None,
    });
    let first = entered.unwrap();
    let mut later = first.clone();
    later.calibration_due_ms += 1;
    let keeps = |store: &mut Store, one: OwnInstrument| {
        store.append_own(&job(), &[], &BTreeMap::new(), &[one]).unwrap();
    };
    keeps(&mut store, OwnInstrument::Kept(first.clone()));
    keeps(&mut store, OwnInstrument::Kept(later.clone()));
    store.close().unwrap();
    let mut store = Store::open(&path).unwrap();
    assert_eq!(store.instruments().unwrap(), [later]);
    keeps(&mut store, OwnInstrument::Dropped(first.id));
    assert_eq!(store.instruments().unwrap(), []);
}
