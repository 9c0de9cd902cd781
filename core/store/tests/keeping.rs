//! What was acknowledged is kept: over reopening, kills, damage and repetition.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test that cannot go on fails; the child says what it kept"
)]

use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Command, Stdio},
};

use coldlug_core::{
    event::{Event, examples, parse_events},
    log::{DeviceKey, Entry, Log, LogError},
    quantity::{DeviceId, EventId, JobId},
};
use coldlug_store::{Appended, BlobKind, Store, StoreError};

fn job() -> JobId {
    JobId::new("J-0417").unwrap()
}

fn phone(letter: &str) -> DeviceId {
    DeviceId::new(format!("phone-{letter}")).unwrap()
}

fn key(device: &DeviceId) -> DeviceKey {
    let mut seed = [0; 32];
    seed.iter_mut().zip(device.as_str().bytes()).for_each(|(to, from)| *to = from);
    DeviceKey::from_seed(&seed)
}

fn event(n: usize, device: &DeviceId) -> Event {
    let examples = parse_events(examples().as_bytes()).unwrap();
    let mut event = examples[n % examples.len()].clone();
    event.id = EventId::new(format!("{device}-{n}")).unwrap();
    event.device = device.clone();
    event.at.wall_ms += i64::try_from(n).unwrap();
    event
}

fn log() -> Log {
    let mut log = Log::new(job());
    for device in [phone("a"), phone("b")] {
        log.enrol(device.clone(), key(&device).public()).unwrap();
    }
    log
}

/// Entries of two phones in turns, each having seen all before.
fn written(count: usize) -> Vec<Entry> {
    let mut log = log();
    (0..count)
        .map(|n| {
            let device = phone(if n % 3 == 1 { "b" } else { "a" });
            log.append(event(n, &device), &key(&device)).unwrap()
        })
        .collect()
}

fn enrolled(path: &Path) -> Store {
    let mut store = Store::open(path).unwrap();
    for device in [phone("a"), phone("b")] {
        store.enrol(&job(), &device, &key(&device).public()).unwrap();
    }
    store
}

#[test]
fn entries_come_back_as_they_were_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let entries = written(12);
    let mut store = enrolled(&path);
    for entry in &entries {
        assert_eq!(store.append(entry).unwrap(), Appended::New);
        assert_eq!(store.append(entry).unwrap(), Appended::Already);
    }
    store.close().unwrap();
    let store = Store::open(&path).unwrap();
    let loaded = store.load(&job()).unwrap();
    let mut whole = log();
    for entry in &entries {
        whole.admit(entry.clone()).unwrap();
    }
    assert_eq!(loaded, whole);
    assert_eq!(store.jobs().unwrap(), [job()]);
    let nowhere = JobId::new("elsewhere").unwrap();
    assert!(matches!(store.load(&nowhere), Err(StoreError::NoSuchJob { .. })));
}

#[test]
fn other_bytes_at_the_same_place_are_a_conflict() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = enrolled(&folder.path().join("jobs.sqlite"));
    let entries = written(4);
    for entry in &entries {
        store.append(entry).unwrap();
    }
    let forked = log().sign(event(7, &phone("a")), &key(&phone("a"))).unwrap();
    assert!(matches!(store.append(&forked), Err(StoreError::Conflict { seq: 1, .. })));
    assert_eq!(store.load(&job()).unwrap().len(), 4);
}

#[test]
fn gaps_strangers_and_unseen_heads_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = enrolled(&folder.path().join("jobs.sqlite"));
    let entries = written(6);
    let refused = |store: &mut Store, n: usize| match store.append(&entries[n]) {
        Err(StoreError::Entry(error)) => error,
        other => panic!("{other:?}"),
    };
    assert!(matches!(refused(&mut store, 2), LogError::Gap { have: 0, .. }));
    assert!(matches!(refused(&mut store, 1), LogError::HeadMissing { .. }));
    let forged = log().sign(event(0, &phone("a")), &key(&phone("b"))).unwrap();
    assert!(matches!(store.append(&forged), Err(StoreError::Entry(LogError::Signature { .. }))));
    let stranger = phone("x");
    let other = log().sign(event(0, &stranger), &key(&stranger)).unwrap();
    assert!(matches!(store.append(&other), Err(StoreError::Entry(LogError::NotEnrolled { .. }))));
    let other_key = key(&phone("b")).public();
    assert!(matches!(
        store.enrol(&job(), &phone("a"), &other_key),
        Err(StoreError::Entry(LogError::OtherKey { .. }))
    ));
    assert!(store.load(&job()).unwrap().is_empty());
}

#[test]
fn blobs_are_kept_under_their_hash() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = enrolled(&folder.path().join("jobs.sqlite"));
    let hash = store.keep(BlobKind::MapSheet, b"a map").unwrap();
    assert_eq!(store.keep(BlobKind::MapSheet, b"a map").unwrap(), hash);
    assert_eq!(store.blob(BlobKind::MapSheet, &hash).unwrap().unwrap(), b"a map");
    assert_eq!(store.blob(BlobKind::Photo, &hash).unwrap(), None);
    assert!(store.has_blob(BlobKind::MapSheet, &hash).unwrap());
    assert!(!store.has_blob(BlobKind::Photo, &hash).unwrap());
    store.pin(&job(), BlobKind::MapSheet, &hash).unwrap();
    store.pin(&job(), BlobKind::MapSheet, &hash).unwrap();
    let other = store.keep(BlobKind::MapSheet, b"another").unwrap();
    assert!(matches!(
        store.pin(&job(), BlobKind::MapSheet, &other),
        Err(StoreError::OtherSheet { .. })
    ));
    assert_eq!(store.sheet_of(&job(), BlobKind::MapSheet).unwrap().unwrap(), b"a map");
    assert_eq!(store.sheet_of(&job(), BlobKind::RuleSheet).unwrap(), None);
}

#[test]
fn asleep_nothing_is_done_and_awake_everything_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = enrolled(&path);
    let entries = written(3);
    store.append(&entries[0]).unwrap();
    store.suspend().unwrap();
    store.suspend().unwrap();
    assert!(matches!(store.append(&entries[1]), Err(StoreError::Asleep)));
    assert!(matches!(store.load(&job()), Err(StoreError::Asleep)));
    store.resume().unwrap();
    store.append(&entries[1]).unwrap();
    assert_eq!(store.load(&job()).unwrap().len(), 2);
}

#[test]
fn a_newer_file_says_so_and_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    enrolled(&path).close().unwrap();
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.execute_batch("PRAGMA user_version = 99").unwrap();
    raw.close().unwrap();
    let before = std::fs::read(&path).unwrap();
    assert!(matches!(Store::open(&path), Err(StoreError::Newer { found: 99, .. })));
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn a_file_of_something_else_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("text");
    let bytes = b"not a database at all, but long enough".repeat(40);
    std::fs::write(&path, &bytes).unwrap();
    assert!(matches!(Store::open(&path), Err(StoreError::Corrupt { .. })));
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
    let path = folder.path().join("other.sqlite");
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.execute_batch("CREATE TABLE birds (name TEXT)").unwrap();
    raw.close().unwrap();
    let before = std::fs::read(&path).unwrap();
    assert!(matches!(Store::open(&path), Err(StoreError::Corrupt { .. })));
    assert_eq!(std::fs::read(&path).unwrap(), before);
    let nowhere = folder.path().join("no/such/folder/jobs.sqlite");
    assert!(matches!(Store::open(&nowhere), Err(StoreError::CannotOpen { .. })));
}

#[test]
fn damage_to_an_entry_is_found_and_nothing_is_deleted() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = enrolled(&path);
    for entry in written(5) {
        store.append(&entry).unwrap();
    }
    store.close().unwrap();
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.execute(
        "UPDATE entries SET bytes = CAST(replace(CAST(bytes AS TEXT), 'lw-', 'lx-') AS BLOB)",
        [],
    )
    .unwrap();
    raw.close().unwrap();
    let store = Store::open(&path).unwrap();
    assert!(matches!(store.load(&job()), Err(StoreError::Corrupt { .. })));
    store.close().unwrap();
    let raw = rusqlite::Connection::open(&path).unwrap();
    let left: i64 = raw.query_row("SELECT count(*) FROM entries", [], |row| row.get(0)).unwrap();
    assert_eq!(left, 5);
}

#[test]
fn every_damaged_page_is_an_error_and_never_a_panic() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let mut store = enrolled(&path);
    for entry in written(20) {
        store.append(&entry).unwrap();
    }
    store.close().unwrap();
    let good = std::fs::read(&path).unwrap();
    let whole = Store::open(&path).unwrap().load(&job()).unwrap();
    for place in (0..good.len()).step_by(997) {
        let mut bad = good.clone();
        for byte in bad.iter_mut().skip(place).take(64) {
            *byte ^= 0xa5;
        }
        let path = folder.path().join(format!("bad-{place}.sqlite"));
        std::fs::write(&path, &bad).unwrap();
        // Damage in free space may go unseen; an entry that comes back is one that was kept.
        if let Ok(store) = Store::open(&path)
            && let Ok(log) = store.load(&job())
        {
            for entry in log.in_order() {
                assert!(whole.in_order().contains(&entry), "byte {place}");
            }
        }
    }
    for cut in [1, 50, 4095, 4096, good.len() / 2, good.len() - 1] {
        let path = folder.path().join(format!("cut-{cut}.sqlite"));
        std::fs::write(&path, &good[..cut]).unwrap();
        let opened = Store::open(&path).and_then(|store| store.load(&job()));
        assert!(opened.is_err(), "cut at {cut}");
    }
}

/// Runs in a process of its own: keeps entries and says each one after it is kept.
#[test]
fn child_that_is_killed() {
    let Ok(path) = std::env::var("COLDLUG_STORE_CHILD") else { return };
    let mut store = enrolled(Path::new(&path));
    let have = store.load(&job()).unwrap().len();
    for entry in written(60).iter().skip(have) {
        store.append(entry).unwrap();
        println!("kept {}", entry.hash());
    }
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jobs.sqlite");
    let entries = written(60);
    for after in [1, 7, 20] {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "child_that_is_killed", "--nocapture"])
            .env("COLDLUG_STORE_CHILD", &path)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let kept: Vec<String> = lines
            .map_while(Result::ok)
            .filter_map(|line| line.split("kept ").nth(1).map(str::to_owned))
            .take(after)
            .collect();
        child.kill().unwrap();
        child.wait().unwrap();
        assert_eq!(kept.len(), after);
        let log = Store::open(&path).unwrap().load(&job()).unwrap();
        let there: Vec<String> =
            log.in_order().iter().map(|entry| entry.hash().to_string()).collect();
        for hash in kept {
            assert!(there.contains(&hash), "an acknowledged entry is gone");
        }
        let wanted: Vec<_> =
            entries.iter().take(there.len()).map(|entry| entry.hash().to_string()).collect();
        assert_eq!(there.len(), wanted.len());
        assert!(wanted.iter().all(|hash| there.contains(hash)), "a chain with a hole");
    }
}
