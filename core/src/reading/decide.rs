//! What a bounded value says against a limit (JCGM 106:2012, guarded acceptance and guarded
//! rejection; the guard band is the limit of error on both sides of the limit).

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::InstrumentClass;
use crate::{
    plant::{Band, Conductor, Pair},
    quantity::{Bounded, Current, Voltage, in_amps, in_volts},
    rule_sheet::RuleSheet,
};

/// What a voltage says against the band of its system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum InBand {
    /// Inside, whatever the error.
    Inside,
    /// Near an edge: the instrument cannot tell. A finer one can.
    Undecided,
    /// Outside, whatever the error.
    Outside,
}

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

/// Whether a value is at or below a limit, whatever its error: guarded acceptance below an upper
/// limit. All three in one unit.
///
/// A limit of error below zero would narrow the guard band instead of widening it: it counts as zero.
pub fn surely_at_most(value: f64, limit_of_error: f64, limit: f64) -> bool {
    value + limit_of_error.max(0.0) <= limit
}

/// Whether a value is at or above a limit, whatever its error.
pub fn surely_at_least(value: f64, limit_of_error: f64, limit: f64) -> bool {
    value - limit_of_error.max(0.0) >= limit
}

/// Where the size of a voltage lies in a band: inside only where it is so at both edges.
pub fn in_band(voltage: Bounded<Voltage>, band: Band) -> InBand {
    let (size, error) = (in_volts(voltage.value).abs(), in_volts(voltage.limit_of_error).max(0.0));
    let (least, most) = (in_volts(band.least), in_volts(band.most));
    if surely_at_least(size, error, least) && surely_at_most(size, error, most) {
        InBand::Inside
    } else if size + error < least || size - error > most {
        InBand::Outside
    } else {
        InBand::Undecided
    }
}

/// `Dead` if |value| + limit of error is at or below the dead limit, `Live` if |value| - limit of
/// error is at or above the live limit, else `Undecided`; a value that is no number is undecided.
pub fn liveness(voltage: Bounded<Voltage>, rules: &RuleSheet) -> Liveness {
    let (size, error) = (in_volts(voltage.value).abs(), in_volts(voltage.limit_of_error));
    if surely_at_most(size, error, in_volts(rules.dead_limit())) {
        Liveness::Dead
    } else if surely_at_least(size, error, in_volts(rules.live_limit())) {
        Liveness::Live
    } else {
        Liveness::Undecided
    }
}

/// `NoLoad` if |value| + limit of error is at or below the rule sheet's limit, `Loaded` if
/// |value| - limit of error is at or above it, else `Undecided`.
pub fn load_on(current: Bounded<Current>, rules: &RuleSheet) -> Loading {
    let (size, error) = (in_amps(current.value).abs(), in_amps(current.limit_of_error));
    let limit = in_amps(rules.no_load());
    if surely_at_most(size, error, limit) {
        Loading::NoLoad
    } else if surely_at_least(size, error, limit) {
        Loading::Loaded
    } else {
        Loading::Undecided
    }
}

/// What an undecided voltage between two conductors may be, the likeliest first. An instrument that
/// loads what it touches makes a voltage that is only coupled over fall away.
pub const fn may_be(between: Pair, by: InstrumentClass) -> &'static [MayBe] {
    match (between.0, between.1) {
        (Conductor::N, Conductor::G) | (Conductor::G, Conductor::N) => {
            &[MayBe::OpenNeutral, MayBe::Backfeed, MayBe::Induced]
        }
        _ if by.shows_ghosts() => &[MayBe::Induced, MayBe::Backfeed, MayBe::OpenNeutral],
        _ => &[MayBe::Backfeed, MayBe::OpenNeutral, MayBe::Induced],
    }
}

impl Loading {
    /// Its stable id, which is the id of the sentence that says what to do then.
    pub const fn id(self) -> &'static str {
        match self {
            Self::NoLoad => "amps-no-load",
            Self::Undecided => "amps-undecided",
            Self::Loaded => "amps-loaded",
        }
    }
}

impl MayBe {
    /// Its stable id, which is the id of the sentence that says what to do then.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Induced => "volts-may-be-induced",
            Self::Backfeed => "volts-may-be-backfeed",
            Self::OpenNeutral => "volts-may-be-open-neutral",
        }
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
    use uom::si::electric_potential::{kilovolt, millivolt};

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
        assert_eq!(load_on(a(0.0, 0.5), &rules), Loading::NoLoad);
        assert_eq!(load_on(a(0.6, 0.5), &rules), Loading::Undecided);
        assert_eq!(load_on(a(1.6, 0.5), &rules), Loading::Loaded);
        assert_eq!(load_on(a(f64::NAN, 0.5), &rules), Loading::Undecided);
    }

    #[test]
    fn a_band_is_held_at_both_edges() {
        let band = Band { least: volts(114.0), most: volts(126.0) };
        let check = |value, limit, wanted| assert_eq!(in_band(v(value, limit), band), wanted);
        check(120.0, 2.0, InBand::Inside);
        check(116.0, 2.0, InBand::Inside);
        check(115.0, 2.0, InBand::Undecided);
        check(113.0, 2.0, InBand::Undecided);
        check(111.0, 2.0, InBand::Outside);
        check(-120.0, 2.0, InBand::Inside);
        check(129.0, 2.0, InBand::Outside);
        check(120.0, 7.0, InBand::Undecided);
        check(f64::NAN, 1.0, InBand::Undecided);
        check(120.0, f64::INFINITY, InBand::Undecided);
    }

    #[test]
    fn an_undecided_neutral_to_ground_is_an_open_neutral_first() {
        let first = |one, other, by| may_be(Pair(one, other), by).first().copied();
        let (meter, tester) = (InstrumentClass::DigitalMultimeter, InstrumentClass::TwoPoleTester);
        assert_eq!(first(Conductor::N, Conductor::G, tester), Some(MayBe::OpenNeutral));
        assert_eq!(first(Conductor::L1, Conductor::N, meter), Some(MayBe::Induced));
        assert_eq!(first(Conductor::L1, Conductor::N, tester), Some(MayBe::Backfeed));
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
            let before = load_on(a(value, limit), &rules);
            let after = load_on(a(value, limit + more), &rules);
            prop_assert!(after == before || after == Loading::Undecided);
            let band = Band { least: volts(114.0), most: volts(126.0) };
            let (before, after) =
                (in_band(v(value, limit), band), in_band(v(value, limit + more), band));
            prop_assert!(after == before || after == InBand::Undecided);
        }

        /// Whatever the true value within the limit of error, a decision is never wrong about it.
        #[test]
        fn a_decision_is_true_of_every_value_it_allows(
            value in -300.0..300.0, u in 0.0..20.0, share in -1.0..1.0, limit in 0.0..260.0,
        ) {
            let truth: f64 = value + share * u;
            if surely_at_most(value, u, limit) {
                prop_assert!(truth <= limit + 1e-9);
            }
            if surely_at_least(value, u, limit) {
                prop_assert!(truth >= limit - 1e-9);
            }
            let band = |slack: f64| Band {
                least: volts(limit - slack),
                most: volts(limit + 12.0 + slack),
            };
            match in_band(v(value, u), band(0.0)) {
                InBand::Inside => prop_assert!(band(1e-9).holds(volts(truth))),
                InBand::Outside => prop_assert!(!band(-1e-9).holds(volts(truth))),
                InBand::Undecided => {}
            }
        }

        /// A quantity is the same in whatever unit it was given.
        #[test]
        fn units_change_no_decision(value in -300.0..300.0_f64, u in 0.0..20.0_f64) {
            let rules = RuleSheet::default();
            let kilo = Bounded {
                value: Voltage::new::<kilovolt>(value / 1000.0),
                limit_of_error: Voltage::new::<millivolt>(u * 1000.0),
            };
            // A number that lies on a limit to the last bit may fall to either side of it.
            let near = |limit: f64| ((value.abs() - limit).abs() - u).abs() < 1e-9;
            if !near(5.0) && !near(50.0) {
                prop_assert_eq!(liveness(kilo, &rules), liveness(v(value, u), &rules));
            }
        }

        #[test]
        fn a_larger_voltage_is_never_deader(value in 0.0..300.0, more in 0.0..300.0, u in 0.0..9.0) {
            let rules = RuleSheet::default();
            prop_assert!(liveness(v(value, u), &rules) <= liveness(v(value + more, u), &rules));
            prop_assert!(load_on(a(value, u), &rules) <= load_on(a(value + more, u), &rules));
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
