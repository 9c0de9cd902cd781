//! What a bounded value says against a limit (JCGM 106: the guard band is the limit of error).

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    plant::{Conductor, Pair},
    quantity::{Bounded, Current, Voltage, in_amps, in_volts},
    rule_sheet::RuleSheet,
};

/// What a voltage says.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Liveness {
    /// At or below the dead limit, whatever the instrument's error.
    Dead,
    /// Between: every gate treats it as live.
    Undecided,
    /// At or above the live limit, whatever the instrument's error.
    Live,
}

/// What a current says.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Loading {
    /// At or below the no-load limit, whatever the instrument's error.
    NoLoad,
    /// Between: every gate treats it as loaded.
    Undecided,
    /// At or above the limit, whatever the instrument's error.
    Loaded,
}

/// What an undecided voltage may be; a low-impedance retest settles it.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum MayBe {
    /// Coupled from live conductors beside it.
    Induced,
    /// Fed from the customer's side, or through a load from the other leg.
    Backfeed,
    /// A neutral that is open or bad somewhere.
    OpenNeutral,
}

/// `Dead` if |value| + limit of error is at or below the dead limit, `Live` if |value| - limit of
/// error is at or above the live limit, else `Undecided`; a value that is no number is undecided.
pub fn liveness(voltage: Bounded<Voltage>, rules: &RuleSheet) -> Liveness {
    let (size, limit) = (in_volts(voltage.value).abs(), in_volts(voltage.limit_of_error));
    // A limit of error below zero would narrow the guard band instead of widening it.
    let limit = limit.max(0.0);
    if size + limit <= in_volts(rules.dead_limit()) {
        Liveness::Dead
    } else if size - limit >= in_volts(rules.live_limit()) {
        Liveness::Live
    } else {
        Liveness::Undecided
    }
}

/// `NoLoad` if |value| + limit of error is at or below the rule sheet's limit, `Loaded` if
/// |value| - limit of error lies above it, else `Undecided`.
pub fn loading(current: Bounded<Current>, rules: &RuleSheet) -> Loading {
    let (size, limit) = (in_amps(current.value).abs(), in_amps(current.limit_of_error));
    let limit = limit.max(0.0);
    let most = in_amps(rules.no_load());
    if size + limit <= most {
        Loading::NoLoad
    } else if size - limit >= most {
        Loading::Loaded
    } else {
        Loading::Undecided
    }
}

/// What an undecided voltage between two conductors may be, the likeliest first.
pub const fn may_be(between: Pair) -> &'static [MayBe] {
    match (between.0, between.1) {
        (Conductor::N, Conductor::G) | (Conductor::G, Conductor::N) => {
            &[MayBe::OpenNeutral, MayBe::Backfeed, MayBe::Induced]
        }
        _ => &[MayBe::Induced, MayBe::Backfeed, MayBe::OpenNeutral],
    }
}

impl Liveness {
    /// True when gates must treat the conductor as live.
    pub const fn is_hazard(self) -> bool {
        !matches!(self, Self::Dead)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::{amps, volts};

    fn v(value: f64, limit: f64) -> Bounded<Voltage> {
        Bounded { value: volts(value), limit_of_error: volts(limit) }
    }

    fn a(value: f64, limit: f64) -> Bounded<Current> {
        Bounded { value: amps(value), limit_of_error: amps(limit) }
    }

    fn check(value: f64, limit: f64, wanted: Liveness) {
        assert_eq!(liveness(v(value, limit), &RuleSheet::default()), wanted, "{value} ± {limit}");
    }

    #[test]
    fn the_limits_count_with_the_error() {
        check(4.5, 0.5, Liveness::Dead);
        check(4.6, 0.5, Liveness::Undecided);
        check(0.0, 5.1, Liveness::Undecided);
        check(51.0, 1.0, Liveness::Live);
        check(50.5, 1.0, Liveness::Undecided);
        check(-120.0, 1.0, Liveness::Live);
        check(0.0, f64::INFINITY, Liveness::Undecided);
        check(f64::NAN, 1.0, Liveness::Undecided);
        check(4.6, -1.0, Liveness::Dead);
        check(5.5, -1.0, Liveness::Undecided);
    }

    #[test]
    fn amps_count_with_the_error() {
        let rules = RuleSheet::default();
        assert_eq!(loading(a(0.0, 0.5), &rules), Loading::NoLoad);
        assert_eq!(loading(a(0.6, 0.5), &rules), Loading::Undecided);
        assert_eq!(loading(a(1.6, 0.5), &rules), Loading::Loaded);
        assert_eq!(loading(a(f64::NAN, 0.5), &rules), Loading::Undecided);
    }

    #[test]
    fn an_undecided_neutral_to_ground_is_an_open_neutral_first() {
        assert_eq!(may_be(Pair(Conductor::N, Conductor::G)).first(), Some(&MayBe::OpenNeutral));
        assert_eq!(may_be(Pair(Conductor::L1, Conductor::N)).len(), 3);
    }

    proptest! {
        #[test]
        fn more_error_never_turns_undecided_into_a_decision(
            value in -300.0..300.0, limit in 0.0..20.0, more in 0.0..20.0,
        ) {
            let rules = RuleSheet::default();
            let before = liveness(v(value, limit), &rules);
            let after = liveness(v(value, limit + more), &rules);
            prop_assert!(after == before || after == Liveness::Undecided);
            let before = loading(a(value, limit), &rules);
            let after = loading(a(value, limit + more), &rules);
            prop_assert!(after == before || after == Loading::Undecided);
        }

        #[test]
        fn a_larger_voltage_is_never_deader(value in 0.0..300.0, more in 0.0..300.0, u in 0.0..9.0) {
            let rules = RuleSheet::default();
            prop_assert!(liveness(v(value, u), &rules) <= liveness(v(value + more, u), &rules));
            prop_assert!(loading(a(value, u), &rules) <= loading(a(value + more, u), &rules));
        }

        #[test]
        fn the_sign_of_a_voltage_says_nothing(value in 0.0..300.0, u in 0.0..9.0) {
            let rules = RuleSheet::default();
            prop_assert_eq!(liveness(v(value, u), &rules), liveness(v(-value, u), &rules));
        }

        #[test]
        fn whatever_the_true_voltage_in_the_band_dead_is_at_most_the_limit(
            value in -9.0..9.0, u in 0.0..6.0, share in -1.0..1.0,
        ) {
            let rules = RuleSheet::default();
            let truth: f64 = value + share * u;
            if liveness(v(value, u), &rules) == Liveness::Dead {
                prop_assert!(truth.abs() <= 5.0 + 1e-9);
            }
        }
    }
}
