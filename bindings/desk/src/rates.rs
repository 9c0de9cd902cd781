//! How often somebody may try.
//!
//! A token bucket for each: a number of tries at once, then so many a minute. Common practice, no
//! source for the numbers. Kept in memory: a restart forgives.

use std::collections::BTreeMap;

/// Most buckets that are kept. Beyond, those that are full again go, and then all of them.
const MOST_BUCKETS: usize = 20_000;
/// What one try takes out of a bucket.
const ONE: i64 = 60_000;

/// What tries are counted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Tries {
    /// Anything, from one address.
    Anything,
    /// A password, a code, a link's token, from one address.
    Guess,
    /// The password of one person, from anywhere.
    Account,
    /// Messages of one device.
    Device,
    /// Use of one link.
    Link,
}

impl Tries {
    /// At once, and a minute.
    const fn most(self) -> (i64, i64) {
        match self {
            Self::Anything => (600, 600),
            Self::Guess => (20, 10),
            Self::Account => (20, 5),
            Self::Device => (300, 300),
            Self::Link => (120, 60),
        }
    }
}

#[derive(Debug)]
struct Bucket {
    left: i64,
    at_ms: i64,
}

/// Every bucket.
#[derive(Debug)]
pub(crate) struct Rates {
    times: i64,
    buckets: BTreeMap<(Tries, String), Bucket>,
}

impl Rates {
    /// All full; `times` as many tries at once as usual.
    pub(crate) fn new(times: u32) -> Self {
        Self { times: i64::from(times.max(1)), buckets: BTreeMap::new() }
    }

    /// Counts one try; false: too many.
    pub(crate) fn take(&mut self, tries: Tries, who: &str, now_ms: i64) -> bool {
        if self.buckets.len() >= MOST_BUCKETS {
            self.make_room(now_ms);
        }
        let (at_once, _) = tries.most();
        let full = at_once * self.times * ONE;
        let bucket = self
            .buckets
            .entry((tries, who.to_owned()))
            .or_insert(Bucket { left: full, at_ms: now_ms });
        bucket.left = filled(tries, bucket, now_ms).min(full);
        bucket.at_ms = now_ms;
        let enough = bucket.left >= ONE;
        if enough {
            bucket.left -= ONE;
        }
        enough
    }

    fn make_room(&mut self, now_ms: i64) {
        let times = self.times;
        self.buckets.retain(|(tries, _), bucket| {
            filled(*tries, bucket, now_ms) < tries.most().0 * times * ONE
        });
        if self.buckets.len() >= MOST_BUCKETS {
            self.buckets.clear();
        }
    }
}

fn filled(tries: Tries, bucket: &Bucket, now_ms: i64) -> i64 {
    let (_, a_minute) = tries.most();
    // One try is 60,000 parts, so a minute's worth of n tries is n parts a millisecond.
    let passed = now_ms.saturating_sub(bucket.at_ms).max(0);
    bucket.left.saturating_add(passed.saturating_mul(a_minute))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tries_run_out_and_come_back_with_time() {
        let mut rates = Rates::new(1);
        let (at_once, a_minute) = Tries::Guess.most();
        let taken = (0..100).filter(|_| rates.take(Tries::Guess, "a", 0)).count();
        assert_eq!(i64::try_from(taken), Ok(at_once));
        assert!(rates.take(Tries::Guess, "b", 0), "somebody else is not kept out");
        assert!(rates.take(Tries::Device, "a", 0), "nor for something else");
        let later = (0..100).filter(|_| rates.take(Tries::Guess, "a", 60_000)).count();
        assert_eq!(i64::try_from(later), Ok(a_minute));
    }

    #[test]
    fn a_clock_that_goes_back_gives_nothing() {
        let mut rates = Rates::new(1);
        while rates.take(Tries::Guess, "a", 1_000_000) {}
        assert!(!rates.take(Tries::Guess, "a", 0));
    }

    #[test]
    fn many_strangers_do_not_fill_the_memory() {
        let mut rates = Rates::new(1);
        for n in 0..3 * MOST_BUCKETS {
            rates.take(Tries::Anything, &n.to_string(), 0);
        }
        assert!(rates.buckets.len() <= MOST_BUCKETS);
    }
}
