//! The time of the made-up field: it follows from the seed, and passes only when somebody works.

use std::sync::{
    Arc,
    atomic::{AtomicBool, AtomicI64, Ordering},
};

use coldlug_core::quantity::Instant;

/// 2026-06-08 13:00 UTC, a Monday: when the first job of seed 0 begins.
const FIRST_MS: i64 = 1_780_923_600_000;
/// Jobs of neighbouring seeds begin this far apart, so that no two seeds share an instant.
const APART_MS: i64 = 3_600_000;
/// Seeds beyond a century of hours begin again.
const SEEDS: u64 = 876_000;

/// One clock for the field, its phones and its desk; each device counts from its own boot.
#[derive(Debug, Clone)]
pub(crate) struct Clock {
    began_ms: i64,
    passed_ms: Arc<AtomicI64>,
    goes_by_itself: Arc<AtomicBool>,
}

impl Clock {
    /// The clock of a seed, before anything has happened.
    pub(crate) fn of_seed(seed: u64) -> Self {
        let hours = i64::try_from(seed % SEEDS).unwrap_or(0);
        let began_ms = FIRST_MS + hours * APART_MS;
        Self { began_ms, passed_ms: Arc::default(), goes_by_itself: Arc::default() }
    }

    /// Lets time pass.
    pub(crate) fn pass_s(&self, seconds: u32) {
        self.passed_ms.fetch_add(i64::from(seconds) * 1000, Ordering::SeqCst);
    }

    /// Lets time pass until so many seconds after the field began, where it is earlier than that.
    pub(crate) fn wait_until_s(&self, seconds: u32) {
        self.passed_ms.fetch_max(i64::from(seconds) * 1000, Ordering::SeqCst);
    }

    /// From now on every look at it takes a second: nobody plays, and no two things that somebody
    /// writes down may stand at one instant.
    pub(crate) fn go_by_itself(&self) {
        self.goes_by_itself.store(true, Ordering::SeqCst);
    }

    fn passed_ms(&self) -> i64 {
        self.passed_ms.load(Ordering::SeqCst)
    }

    /// Seconds since the field began, for its loads.
    pub(crate) fn field_s(&self) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "a few hours in milliseconds")]
        let ms = self.passed_ms() as f64;
        ms / 1000.0
    }

    /// This moment as a device writes it. Devices booted a while before, each at its own time.
    pub(crate) fn instant(&self, device: &str) -> Instant {
        if self.goes_by_itself.load(Ordering::SeqCst) {
            self.pass_s(1);
        }
        let before: i64 = device.bytes().map(i64::from).sum::<i64>() * 977;
        Instant {
            wall_ms: self.began_ms + self.passed_ms(),
            boot: format!("{device}-boot-1"),
            mono_ms: before + self.passed_ms(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn same_seed_same_instants_and_only_work_takes_time() {
        let clock = Clock::of_seed(7);
        let before = clock.instant("a");
        assert_eq!(before, Clock::of_seed(7).instant("a"));
        clock.clone().pass_s(60);
        let later = clock.instant("a");
        assert_eq!(later.mono_ms - before.mono_ms, 60_000);
        assert_eq!(later.wall_ms - before.wall_ms, 60_000);
        assert_ne!(later.boot, clock.instant("b").boot);
        clock.wait_until_s(30);
        assert_eq!(clock.instant("a"), later);
        clock.go_by_itself();
        assert!(clock.instant("a").mono_ms > later.mono_ms);
    }
}
