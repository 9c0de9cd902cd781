//! Sleeping, waking, closing; what is watched; what calls back.

use std::sync::{Arc, Mutex, mpsc};

use coldlug_phone::{Observer, Phone, PhoneError, PortError, Reply, Transport};

use super::{
    fake_desk::FakeDesk,
    shell::{Hand, Way, briefing, opened, stay, two_phones},
};

#[test]
fn asleep_says_so_and_awake_goes_on() {
    let (_, a, _) = two_phones();
    a.phone.suspend().unwrap();
    assert!(matches!(a.acts(&[briefing()]), Err(PhoneError::Asleep { .. })));
    a.phone.resume().unwrap();
    a.acts(&[briefing()]).unwrap();
    a.phone.close().unwrap();
    a.phone.close().unwrap();
    assert!(matches!(a.acts(&[briefing()]), Err(PhoneError::Closed { .. })));
    assert!(matches!(a.phone.jobs(), Err(PhoneError::Closed { .. })));
    let again = opened(&a.folder, &a.drawer).unwrap();
    assert_eq!(again.look("J-1", |_, _, log| log.len()).unwrap(), 2);
}

struct Ear(Mutex<mpsc::Sender<u64>>);

impl Observer for Ear {
    fn changed(&self, revision: u64) -> Result<(), PortError> {
        let _ = self.0.lock().unwrap().send(revision);
        Ok(())
    }
}

#[test]
fn a_watch_tells_the_present_and_what_comes() {
    let (_, a, _) = two_phones();
    let (tell, hear) = mpsc::channel();
    let watch = a.phone.watch(Arc::new(Ear(Mutex::new(tell)))).unwrap();
    assert_eq!(hear.recv().unwrap(), a.phone.revision());
    let receipt = a.acts(&[briefing()]).unwrap();
    assert_eq!(hear.recv().unwrap(), receipt.revision);
    drop(watch);
    a.acts(&[stay(true, "st-1")]).unwrap();
    assert!(hear.recv().is_err());
}

/// A way that calls back into the phone while it is being called.
struct Nosy(Arc<Way>, Arc<Phone>, Mutex<Vec<PhoneError>>);

impl Transport for Nosy {
    fn send(&self, url: String, body: Vec<u8>) -> Result<Reply, PortError> {
        self.1.jobs().unwrap();
        let _ = self.1.act("J-1".into(), "lw-a".into(), vec![stay(true, "st-9").to_string()]);
        let again = self.1.sync(Arc::clone(&self.0) as Arc<dyn Transport>).unwrap_err();
        self.2.lock().unwrap().push(again);
        self.0.send(url, body)
    }
}

#[test]
fn a_shell_may_call_back_and_a_second_sync_waits_its_turn() {
    let (desk, a, _) = two_phones();
    let nosy = Arc::new(Nosy(Way::new(&desk), Arc::clone(&a.phone), Mutex::default()));
    let report = a.phone.sync(Arc::clone(&nosy) as Arc<dyn Transport>).unwrap();
    // What was written meanwhile goes along with a later round of the same sync.
    assert_eq!((report.sent, report.complete), (1, true), "{report:?}");
    let told = nosy.2.lock().unwrap();
    assert!(told.iter().all(|error| matches!(error, PhoneError::Busy { .. })), "{told:?}");
    assert!(a.syncs().complete);
}

#[test]
fn a_file_that_is_no_store_is_left_as_it_is() {
    let desk = Arc::new(FakeDesk::new());
    let a = Hand::new(&desk, "lw-a");
    a.phone.close().unwrap();
    let file = a.folder.join("jobs.sqlite");
    std::fs::write(&file, b"not a store, and long enough to be looked at as one").unwrap();
    let error = opened(&a.folder, &a.drawer).unwrap_err();
    assert!(matches!(error, PhoneError::Corrupt { .. }), "{error:?}");
    assert!(std::fs::read(&file).unwrap().starts_with(b"not a store"));
}
