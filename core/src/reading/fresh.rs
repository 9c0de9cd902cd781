//! Whether something is recent enough, by clocks that cannot be set.

use crate::{
    quantity::{Age, Instant, Time, seconds},
    rule_sheet::RuleSheet,
};

/// True when `then` lies at most `window` before `now`.
///
/// Within one boot of one device the monotonic clock decides alone. Across boots or devices nothing
/// is fresh, unless the rule sheet says how long a wall clock may be trusted: then the wall clocks
/// must lie in order and apart by no more than that and the window. A time that runs backwards
/// within one boot is never fresh.
pub fn is_fresh(now: &Instant, then: &Instant, window: Time, rules: &RuleSheet) -> bool {
    match now.age_of(then) {
        Age::Known(age) => age <= window,
        Age::Unknown if now.boot == then.boot => false,
        Age::Unknown => match now.wall_ms.checked_sub(then.wall_ms) {
            Some(ms) if ms >= 0 => {
                let trusted = i64::from(rules.wall_clock_trust_s).saturating_mul(1000);
                #[allow(clippy::cast_precision_loss, reason = "at most 300 s, in milliseconds")]
                let age = || seconds(ms as f64 / 1000.0);
                trusted > 0 && ms <= trusted && age() <= window
            }
            _ => false,
        },
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(boot: &str, wall_ms: i64, mono_ms: i64) -> Instant {
        Instant { wall_ms, boot: boot.into(), mono_ms }
    }

    fn trusting(s: u32) -> RuleSheet {
        RuleSheet { wall_clock_trust_s: s, ..RuleSheet::default() }
    }

    #[test]
    fn another_boot_is_stale_unless_the_sheet_trusts_its_wall_clock() {
        let (then, now) = (at("b1", 0, 5), at("b2", 60_000, 5));
        let window = seconds(300.0);
        assert!(!is_fresh(&now, &then, window, &RuleSheet::default()));
        assert!(is_fresh(&now, &then, window, &trusting(60)));
        assert!(!is_fresh(&now, &then, window, &trusting(59)));
        assert!(!is_fresh(&now, &then, seconds(30.0), &trusting(60)));
        assert!(!is_fresh(&then, &now, window, &trusting(300)), "backwards");
    }

    #[test]
    fn backwards_within_one_boot_is_stale_whatever_the_wall_clock_says() {
        let (then, now) = (at("b1", 0, 6), at("b1", 10_000, 5));
        assert!(!is_fresh(&now, &then, seconds(300.0), &trusting(300)));
    }

    proptest! {
        #[test]
        fn a_changed_wall_clock_never_stretches_a_window(
            gap in 0_i64..2_000_000, w1: i64, w2: i64, trust in 0_u32..300,
        ) {
            let fresh = is_fresh(&at("b", w2, gap), &at("b", w1, 0), seconds(600.0), &trusting(trust));
            prop_assert_eq!(fresh, gap <= 600_000);
        }

        #[test]
        fn a_shorter_window_never_makes_anything_fresh(gap in 0_i64..2_000_000, w in 0_u32..900) {
            let rules = RuleSheet::default();
            let (now, then) = (at("b", 0, gap), at("b", 0, 0));
            let (long, short) = (seconds(f64::from(w) + 1.0), seconds(f64::from(w)));
            prop_assert!(
                is_fresh(&now, &then, long, &rules) || !is_fresh(&now, &then, short, &rules)
            );
        }
    }
}
