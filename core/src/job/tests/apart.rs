//! Logs of phones that write apart.

use crate::{
    event::Event,
    log::{DeviceKey, Log},
    quantity::{DeviceId, JobId},
};

/// The key of a device in tests: its name, padded.
pub(crate) fn key(device: &str) -> DeviceKey {
    let mut seed = [0; 32];
    seed.iter_mut().zip(device.bytes()).for_each(|(to, from)| *to = from);
    DeviceKey::from_seed(&seed)
}

/// A log of the crew without entries.
pub(crate) fn empty() -> Log {
    let mut log = Log::new(JobId::new("J-1").unwrap());
    for device in ["phone-a", "phone-b", "phone-c", "phone-d", "phone-e"] {
        log.enrol(DeviceId::new(device).unwrap(), key(device).public()).unwrap();
    }
    log
}

/// Signs an event on its own phone into this log.
pub(crate) fn write(log: &mut Log, event: Event) {
    let key = key(event.device.as_str());
    log.append(event, &key).unwrap();
}

/// Events signed as they were written, each phone seeing the others' all.
pub(crate) fn signed(events: &[Event]) -> Log {
    let mut log = empty();
    for event in events {
        write(&mut log, event.clone());
    }
    log
}

/// Takes over what another log has.
pub(crate) fn meet(log: &mut Log, other: &Log) {
    for entry in other.in_order() {
        let have = log.chain(entry.device()).len();
        if usize::try_from(entry.seq()).unwrap() > have {
            log.admit(entry.clone()).unwrap();
        }
    }
}
