//! Messages that are malformed, oversized, forged, replayed or late: each has its reason, nothing of
//! it is applied, and nothing is learned.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::{collections::BTreeMap, sync::Arc};

use coldlug_core::{
    event::{Event, strict_value},
    exchange::{
        MOST_OFFER_BYTES, MOST_OTHER_BYTES, MOST_PHOTO_BYTES, Offer, OfferAnswer, Outcome,
        PhotoAsked, PhotoGiven, PhotoHere, PhotoKept, SheetAsked, SheetHere, SheetKind, counts,
        write_entries,
    },
    log::sha256,
    quantity::JobId,
};
use people::{Browser, Made, Phone, sheet, start};

struct Scene {
    folder: tempfile::TempDir,
    made: Arc<Made>,
    desk: coldlug_desk::Running,
    dispatcher: Browser,
    phone: Phone,
    job: JobId,
}

fn scene() -> Scene {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let dispatcher = Browser::first(&desk);
    let mut phone = Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let (map, service) = sheet();
    let job = dispatcher.prepare(&dispatcher.bring(&map), &service, &["phone-pad"]);
    phone.offer();
    Scene { folder, made, desk, dispatcher, phone, job }
}

impl Scene {
    fn offer(&self) -> Offer {
        let have = counts(&self.phone.logs[&self.job]);
        Offer { have: BTreeMap::from([(self.job.clone(), have)]) }
    }

    /// How many entries the desk has, as a dispatcher sees it.
    fn entries(&self) -> usize {
        let record = self.dispatcher.get(&format!("/jobs/{}/record", self.job)).body;
        coldlug_core::log::verify(&record).unwrap().log.len()
    }

    /// Writes an event on the phone.
    fn write(&mut self, kind: &str, body: &str) {
        self.phone.write(&self.job, kind, body);
    }
}

const STOPPED: &str = r#"{"reason":"rain","made_safe":[]}"#;

#[test]
fn a_message_stands_as_it_was_signed_or_not_at_all() {
    let mut scene = scene();
    scene.write("stopped", STOPPED);
    let entries: Vec<_> = scene.phone.logs[&scene.job].chain(&scene.phone.device).to_vec();
    let rest = write_entries(&entries).unwrap();
    let offer = scene.offer();
    let sealed = scene.phone.sealed(offer, &rest);
    let check = |bytes: &[u8], wants: &[&str]| {
        let came = scene.phone.post("offer", bytes);
        assert_ne!(came.status, 200);
        assert!(wants.contains(&came.problem().as_str()), "{wants:?}: {came:?}");
    };
    let broken = ["message-unreadable", "message-not-signed", "message-of-another-kind"];
    for at in (0..sealed.len()).step_by(sealed.len() / 60 + 1) {
        let mut flipped = sealed.clone();
        flipped[at] ^= 1;
        check(&flipped, &broken);
        check(&sealed[..at], &broken);
    }
    let twice = [sealed.clone(), sealed.clone()].concat();
    check(&twice, &broken);
    check(b"", &broken);
    check(b"\n", &broken);
    check(&vec![b'['; MOST_OFFER_BYTES], &["message-unreadable", "message-too-large"]);
    check(&vec![b'a'; MOST_OFFER_BYTES + 1], &["message-too-large"]);
    assert_eq!(scene.entries(), 1, "nothing was taken");
    // Nothing of it used its number up.
    assert_eq!(scene.phone.post("offer", &sealed).status, 200);
    assert_eq!(scene.entries(), 2);
    let again = scene.phone.post("offer", &sealed);
    assert_eq!((again.status, again.problem().as_str()), (409, "message-replayed"));
    // Sent where it was not meant for.
    let offer = scene.offer();
    let sealed = scene.phone.sealed(offer, &[]);
    assert_eq!(scene.phone.post("sheet", &sealed).problem(), "message-of-another-kind");
}

#[test]
fn a_stranger_and_a_forger_get_the_same_answer() {
    let mut scene = scene();
    let offer = || Offer { have: BTreeMap::new() };
    let mut stranger = Phone::new(&scene.dispatcher.root, "phone-nobody");
    let mut forger = Phone::new(&scene.dispatcher.root, "phone-pad");
    forger.key = Phone::new("", "phone-nobody").key;
    forger.number = 100;
    let answers = [&mut stranger, &mut forger].map(|phone| {
        let sealed = phone.sealed(offer(), &[]);
        let came = phone.post("offer", &sealed);
        (came.status, came.body)
    });
    assert_eq!(answers[0], answers[1]);
    assert_eq!(answers[0].0, 401);
    // The number that the forger used is not used up for the phone.
    scene.phone.offer();
    // Somebody else's job is not there.
    let other = Phone::enrolled(&scene.dispatcher, "phone-other", "lineworker-9");
    let mut other = other;
    assert_eq!(other.offer().jobs.len(), 0);
    let asked =
        |job: &str| SheetAsked { job: JobId::new(job).unwrap(), sheet: SheetKind::MapSheet };
    for job in [scene.job.as_str(), "J-9999", "no/such:job"] {
        let refused = other.say::<_, SheetHere>("sheet", asked(job), &[]).unwrap_err();
        assert_eq!(refused, "job-not-for-this-device");
    }
}

#[test]
fn a_revoked_device_is_told_so_and_nothing_is_taken() {
    let mut scene = scene();
    let came = scene.dispatcher.post("/devices/phone-pad/revoke", &[]);
    assert_eq!(came.status, 303);
    scene.write("stopped", STOPPED);
    let offer = scene.offer();
    let refused = scene.phone.say::<_, OfferAnswer>("offer", offer, &[]).unwrap_err();
    assert_eq!(refused, "device-not-enrolled");
    assert_eq!(scene.entries(), 1);
    let again = scene.dispatcher.post("/devices", &[("device", "phone-pad"), ("person", "x")]);
    assert_eq!(again.status, 400, "a name that was used is not given twice");
}

#[test]
fn a_code_enrols_one_device_once_and_in_time() {
    let scene = scene();
    let root = scene.dispatcher.root.clone();
    let refused = "code-not-valid";
    let code = scene.dispatcher.code_for("phone-b", "lineworker-2");
    assert_eq!(Phone::new(&root, "phone-b").enrol("ACDEFGHJKM").unwrap_err(), refused);
    assert_eq!(Phone::new(&root, "phone-b").enrol("").unwrap_err(), refused);
    assert_eq!(Phone::new(&root, "phone-b").enrol(&"A".repeat(4000)).unwrap_err(), refused);
    assert_eq!(Phone::new(&root, "phone-c").enrol(&code).unwrap_err(), refused);
    let mut phone = Phone::new(&root, "phone-b");
    phone.enrol(&code.to_lowercase()).unwrap();
    // The answer may have been lost: the same phone asks again. Another one does not come in.
    phone.enrol(&code).unwrap();
    let mut thief = Phone::new(&root, "phone-b");
    thief.key = Phone::new(&root, "thief").key;
    assert_eq!(thief.enrol(&code).unwrap_err(), refused);
    // Enrolling again does not open the door to messages that were sent before.
    let sealed = phone.sealed(Offer { have: BTreeMap::new() }, &[]);
    assert_eq!(phone.post("offer", &sealed).status, 200);
    let number = phone.number;
    phone.enrol(&code).unwrap();
    phone.number = number;
    assert_eq!(phone.post("offer", &sealed).problem(), "message-replayed");

    let late = scene.dispatcher.code_for("phone-d", "lineworker-3");
    scene.made.pass_ms(20 * 60 * 1000 + 1);
    assert_eq!(Phone::new(&root, "phone-d").enrol(&late).unwrap_err(), refused);
    let replaced = scene.dispatcher.code_for("phone-e", "lineworker-4");
    let newer = scene.dispatcher.code_for("phone-e", "lineworker-4");
    assert_eq!(Phone::new(&root, "phone-e").enrol(&replaced).unwrap_err(), refused);
    Phone::new(&root, "phone-e").enrol(&newer).unwrap();
    assert_eq!(Phone::new(&root, "desk").enrol(&newer).unwrap_err(), "device-name-not-free");
}

#[test]
fn each_entry_has_its_receipt_and_a_bad_one_spoils_no_other() {
    let mut scene = scene();
    scene.write("stopped", STOPPED);
    scene.write("stopped", STOPPED);
    let entries = scene.phone.logs[&scene.job].chain(&scene.phone.device).to_vec();
    let mut rest = write_entries(&entries[..1]).unwrap();
    rest.extend(b"{\"not\":\"an entry\"}\n");
    rest.extend(write_entries(&entries).unwrap());
    let offer = scene.offer();
    let (answer, _) = scene.phone.say::<_, OfferAnswer>("offer", offer, &rest).unwrap();
    let became: Vec<&Outcome> = answer.receipts.iter().map(|r| &r.outcome).collect();
    assert!(
        matches!(
            became[..],
            [Outcome::Kept, Outcome::Refused { .. }, Outcome::Already, Outcome::Kept]
        ),
        "{became:?}"
    );
    // A chain that was broken off and written anew is refused, and the first stays.
    let mut forked = scene.phone.logs[&scene.job].clone();
    forked = {
        let mut log = coldlug_core::log::Log::new(forked.job().clone());
        for (device, key) in scene.phone.logs[&scene.job].keys() {
            log.enrol(device.clone(), *key).unwrap();
        }
        log
    };
    let text = r#"{"id":"phone-pad-1","kind":"stopped","version":1,
        "at":{"wall_ms":1790000000009,"boot":"p","mono_ms":0},
        "device":"phone-pad","person":"lineworker-1","body":{"reason":"x","made_safe":[]}}"#;
    let event = Event::from_value(strict_value(text).unwrap()).unwrap();
    let fork = forked.append(event, &scene.phone.key).unwrap();
    let rest = write_entries([&fork]).unwrap();
    let offer = scene.offer();
    let (answer, _) = scene.phone.say::<_, OfferAnswer>("offer", offer, &rest).unwrap();
    assert!(matches!(answer.receipts[0].outcome, Outcome::Refused { .. }));
    assert_eq!(scene.entries(), 3);
    // A cut line is not half taken.
    let offer = scene.offer();
    let cut = scene.phone.say::<_, OfferAnswer>("offer", offer, b"{\"cut").unwrap_err();
    assert_eq!(cut, "message-unreadable");
    let offer = scene.offer();
    let many = b"x\n".repeat(2001);
    let many = scene.phone.say::<_, OfferAnswer>("offer", offer, &many).unwrap_err();
    assert_eq!(many, "message-too-large");
}

#[test]
fn only_the_photo_that_an_entry_names_is_kept() {
    let mut scene = scene();
    let photo = [b"\xff\xd8\xff\xe0".as_slice(), &[7; 5000]].concat();
    let hash = sha256(&photo);
    let given = |scene: &Scene| PhotoGiven { job: scene.job.clone(), photo: hash };
    let asked = |scene: &Scene| PhotoAsked { job: scene.job.clone(), photo: hash };
    let early = given(&scene);
    let early = scene.phone.say::<_, PhotoKept>("photo", early, &photo).unwrap_err();
    assert_eq!(early, "not-on-this-job");
    scene.write("picture", &format!(r#"{{"photo":"{hash}","stay":"st-1"}}"#));
    let answer = scene.phone.offer();
    assert_eq!(answer.jobs[&scene.job].photos_wanted, [hash]);
    let not_here = asked(&scene);
    let not_here = scene.phone.say::<_, PhotoHere>("photo-of", not_here, &[]).unwrap_err();
    assert_eq!(not_here, "not-on-this-job");
    let other = given(&scene);
    let other = scene.phone.say::<_, PhotoKept>("photo", other, b"other bytes").unwrap_err();
    assert_eq!(other, "bytes-not-as-named");
    let large = vec![0; MOST_PHOTO_BYTES + 1];
    assert_eq!(scene.phone.post("photo", &large).problem(), "message-too-large");
    let kept = given(&scene);
    scene.phone.say::<_, PhotoKept>("photo", kept, &photo).unwrap();
    assert_eq!(scene.phone.offer().jobs[&scene.job].photos_wanted, []);
    let wanted = asked(&scene);
    let (_, back) = scene.phone.say::<_, PhotoHere>("photo-of", wanted, &[]).unwrap();
    assert_eq!(back, photo);
    let path = format!("/jobs/{}/photos/{hash}", scene.job);
    let shown = scene.dispatcher.get(&path);
    assert_eq!(shown.body, photo);
    assert_eq!(shown.headers["content-type"], "image/jpeg");
    assert_eq!(shown.headers["x-content-type-options"], "nosniff");
    for path in ["photos/..%2f..%2fdesk.sqlite", "photos/%2e%2e", "photos/x"] {
        assert_eq!(scene.dispatcher.get(&format!("/jobs/{}/{path}", scene.job)).status, 404);
    }
}

#[test]
fn what_was_acknowledged_is_there_after_a_restart() {
    let mut scene = scene();
    scene.write("stopped", STOPPED);
    scene.phone.offer();
    let last = scene.phone.sealed(Offer { have: BTreeMap::new() }, &[]);
    assert_eq!(scene.phone.post("offer", &last).status, 200);
    let before = scene.phone.record(&scene.job);
    scene.desk.stop();
    let desk = start(scene.folder.path(), &scene.made);
    scene.phone.browser.root = format!("http://{}", desk.address());
    assert_eq!(scene.phone.post("offer", &last).problem(), "message-replayed");
    scene.phone.offer();
    assert_eq!(scene.phone.record(&scene.job), before);
    let most = vec![b'a'; MOST_OTHER_BYTES + 1];
    assert_eq!(scene.phone.post("link", &most).problem(), "message-too-large");
}
