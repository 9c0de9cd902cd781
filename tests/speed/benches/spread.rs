//! How times are spread: the middle one, the one that 99 of 100 stay below, the longest.
//!
//! Times are those that the thread had a processor: what else the machine does meanwhile would make the
//! longest ones any length.

use std::time::Duration;

use rustix::time::{ClockId, clock_gettime};

/// What something gives, and how long it kept the processor.
pub(crate) fn timed<T>(what: impl FnOnce() -> T) -> (T, Duration) {
    let begun = on_processor();
    let given = what();
    (given, on_processor().saturating_sub(begun))
}

fn on_processor() -> Duration {
    let time = clock_gettime(ClockId::ThreadCPUTime);
    let (s, ns) = (u64::try_from(time.tv_sec), u32::try_from(time.tv_nsec));
    Duration::new(s.unwrap_or_default(), ns.unwrap_or_default())
}

/// Times of one thing done many times.
pub(crate) struct Spread(Vec<Duration>);

impl Spread {
    /// The spread of some times.
    pub(crate) fn of(mut times: Vec<Duration>) -> Self {
        times.sort_unstable();
        Self(times)
    }

    /// The time that so many of 1000 stay at or below.
    pub(crate) fn of_1000(&self, share: usize) -> Duration {
        let at = (self.0.len() * share).div_ceil(1000).max(1) - 1;
        self.0.get(at).copied().unwrap_or_default()
    }

    /// Middle, 99 % and longest, in microseconds.
    pub(crate) fn line(&self) -> String {
        let us = |share| self.of_1000(share).as_secs_f64() * 1e6;
        format!(
            "{} times on the processor: middle {:.0} us, 99 % within {:.0} us, longest {:.0} us",
            self.0.len(),
            us(500),
            us(990),
            us(1000)
        )
    }
}
