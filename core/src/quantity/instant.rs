//! When something was written down: the wall clock for people, the monotonic clock for freshness.

use chrono::{DateTime, SecondsFormat};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::unit::{Time, seconds};

/// A moment as a device knew it.
///
/// The monotonic clock counts within one boot of one device and cannot be set, so a changed phone
/// clock can never stretch a freshness window.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Instant {
    /// Milliseconds since 1970-01-01T00:00:00 UTC by the device's wall clock.
    pub wall_ms: i64,
    /// Which boot of which device counted `mono_ms`.
    pub boot: String,
    /// Milliseconds of the monotonic clock of that boot.
    pub mono_ms: i64,
}

/// How much time lies between two instants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Age {
    /// Both instants were counted by the same boot: this much time, never negative.
    Known(Time),
    /// Other boot or other device, or the later one is first: no clock can say.
    Unknown,
}

impl Instant {
    /// How old `earlier` is at this instant.
    pub fn age_of(&self, earlier: &Self) -> Age {
        let gap = self.mono_ms.checked_sub(earlier.mono_ms);
        match gap {
            Some(ms) if self.boot == earlier.boot && ms >= 0 => {
                #[allow(
                    clippy::cast_precision_loss,
                    reason = "milliseconds of one boot are far below 2^52"
                )]
                let s = ms as f64 / 1000.0;
                Age::Known(seconds(s))
            }
            _ => Age::Unknown,
        }
    }

    /// The wall clock as UTC text (RFC 3339), or the bare number where no calendar has it.
    pub fn to_text(&self) -> String {
        DateTime::from_timestamp_millis(self.wall_ms).map_or_else(
            || self.wall_ms.to_string(),
            |t| t.to_rfc3339_opts(SecondsFormat::Secs, true),
        )
    }

    /// Hours and minutes of the wall clock, UTC, for words that need no day.
    pub fn to_clock(&self) -> String {
        DateTime::from_timestamp_millis(self.wall_ms)
            .map_or_else(|| self.wall_ms.to_string(), |t| t.format("%H:%M UTC").to_string())
    }
}

impl Age {
    /// True when the age is known and at most `window`; an unknown age is never within a window.
    pub fn within(self, window: Time) -> bool {
        match self {
            Self::Known(age) => age <= window,
            Self::Unknown => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(boot: &str, wall_ms: i64, mono_ms: i64) -> Instant {
        Instant { wall_ms, boot: boot.into(), mono_ms }
    }

    #[test]
    fn a_changed_wall_clock_does_not_change_an_age() {
        let read = at("b1", 1_000_000, 10_000);
        let later = at("b1", 0, 310_000);
        assert_eq!(later.age_of(&read), Age::Known(seconds(300.0)));
    }

    #[test]
    fn across_boots_or_backwards_nothing_is_fresh() {
        let read = at("b1", 0, 10_000);
        assert_eq!(at("b2", 1000, 11_000).age_of(&read), Age::Unknown);
        assert_eq!(at("b1", 1000, 9_000).age_of(&read), Age::Unknown);
        assert!(!Age::Unknown.within(seconds(1e9)));
    }

    #[test]
    fn wall_clock_reads_as_utc() {
        assert_eq!(at("b", 1_790_000_000_000, 0).to_text(), "2026-09-21T14:13:20Z");
        assert_eq!(at("b", 1_790_000_000_000, 0).to_clock(), "14:13 UTC");
    }
}
