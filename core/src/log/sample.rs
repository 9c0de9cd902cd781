//! Small logs for tests.

use super::{chain::Log, key::DeviceKey};
use crate::{
    event::{Event, parse_events},
    quantity::{DeviceId, EventId, JobId},
};

/// The key of a device in tests: its name, padded.
pub(crate) fn key(device: &str) -> DeviceKey {
    let mut seed = [0; 32];
    seed.iter_mut().zip(device.bytes()).for_each(|(to, from)| *to = from);
    DeviceKey::from_seed(&seed)
}

/// Phone A or B by number.
pub(crate) fn phone(number: usize) -> DeviceId {
    DeviceId::new(["phone-a", "phone-b"][number]).unwrap()
}

/// The n-th event of a log: one of the examples under a name and device of its own.
pub(crate) fn event(n: usize, device: DeviceId, wall_ms: i64) -> Event {
    let examples = parse_events(crate::event::examples().as_bytes()).unwrap();
    let mut event = examples[n % examples.len()].clone();
    event.id = EventId::new(format!("{device}-{n}")).unwrap();
    event.device = device;
    event.at.wall_ms = wall_ms;
    event
}

/// An empty log with both phones enrolled.
pub(crate) fn empty() -> Log {
    let mut log = Log::new(JobId::new("J-0417").unwrap());
    for number in 0..2 {
        log.enrol(phone(number), key(phone(number).as_str()).public()).unwrap();
    }
    log
}

/// A log that two phones wrote in turns, each seeing all that was there.
pub(crate) fn job_of_two(turns: &[usize]) -> Log {
    let mut log = empty();
    for (n, &turn) in turns.iter().enumerate() {
        let at = 1_790_000_000_000 + 1000 * i64::try_from(n).unwrap();
        let event = event(n, phone(turn), at);
        log.append(event, &key(phone(turn).as_str())).unwrap();
    }
    log
}
