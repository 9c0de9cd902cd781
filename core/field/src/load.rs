//! Loads: what a customer draws, as a pure function of time.
//!
//! A profile is a base per leg with a slow drift, and appliances that run at times drawn from
//! their own key. All loads are linear (constant impedance), stated as amps at nominal volts:
//! 120 V leg to neutral, 240 V leg to leg. Appliance sizes and habits are invented, in the range
//! of ordinary household nameplates (no source).

use crate::conductor::Leg;
use crate::seed::{mix, unit_of};
use num_complex::Complex64;

/// Nominal volts leg to neutral.
pub const NOMINAL_LEG_VOLTS: f64 = 120.0;

/// What a load is connected across.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Across {
    /// A leg and the neutral, 120 V.
    LegToNeutral(Leg),
    /// The two legs, 240 V.
    LegToLeg,
}

/// Something that switches itself on and off.
#[derive(Debug, Clone, PartialEq)]
pub struct Appliance {
    /// What a person would call it.
    pub name: &'static str,
    /// What it is connected across.
    pub across: Across,
    /// Amps while it runs, at nominal volts.
    pub amps: f64,
    /// Displacement power factor, lagging, in `(0, 1]`.
    pub power_factor: f64,
    /// Time is cut into windows of this many seconds; it may run once in each.
    pub window_s: f64,
    /// Seconds it runs in a window; at most the window.
    pub run_s: f64,
    /// The chance that it runs in a window, 0 to 1.
    pub chance: f64,
    /// The key of its habits: two appliances with one key switch together.
    pub key: u64,
}

impl Appliance {
    /// Whether it runs at `t_s` seconds.
    pub fn runs_at(&self, t_s: f64) -> bool {
        let window = libm::floor(t_s / self.window_s) + 0.0;
        let word = mix(self.key, window.to_bits());
        if unit_of(word) >= self.chance {
            return false;
        }
        let start = unit_of(mix(word, 1)) * (self.window_s - self.run_s).max(0.0);
        let since = t_s - window * self.window_s - start;
        (0.0..self.run_s).contains(&since)
    }
}

/// What one customer draws over time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Profile {
    /// Amps always there on leg 1, at nominal volts.
    pub base_l1_amps: f64,
    /// Amps always there on leg 2, at nominal volts.
    pub base_l2_amps: f64,
    /// The base swings by this share of itself, 0 to 0.5.
    pub drift_share: f64,
    /// Seconds for one swing; 0 means no drift.
    pub drift_period_s: f64,
    /// Where in the swing time 0 lies, 0 to 1.
    pub drift_phase: f64,
    /// What switches itself.
    pub appliances: Vec<Appliance>,
}

/// The load at one instant: complex amps at nominal volts, each in phase with its own voltage
/// (so a lagging load has a negative imaginary part, on leg 2 too).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Demand {
    /// Leg 1 to neutral, amps at 120 V.
    pub l1: Complex64,
    /// Leg 2 to neutral, amps at 120 V.
    pub l2: Complex64,
    /// Leg to leg, amps at 240 V.
    pub l12: Complex64,
}

const BASE_POWER_FACTOR: f64 = 0.96;

/// Lagging complex amps of a magnitude and a power factor.
fn lagging(amps: f64, power_factor: f64) -> Complex64 {
    let pf = power_factor.clamp(0.05, 1.0);
    Complex64::new(amps * pf, -amps * libm::sqrt(1.0 - pf * pf))
}

/// A profile made ready to be asked at many moments.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawn {
    profile: Profile,
    /// What each appliance draws while it runs.
    amps: Vec<Complex64>,
}

impl Drawn {
    pub(crate) fn of(profile: &Profile) -> Self {
        let amps = profile.appliances.iter().map(|a| lagging(a.amps, a.power_factor)).collect();
        Self { profile: profile.clone(), amps }
    }

    /// The load at `t_s` seconds.
    pub(crate) fn demand(&self, t_s: f64) -> Demand {
        let Profile { base_l1_amps, base_l2_amps, drift_share, drift_period_s, .. } = self.profile;
        let drift = if drift_period_s > 0.0 {
            let turn = t_s / drift_period_s + self.profile.drift_phase;
            1.0 + drift_share * libm::sin(core::f64::consts::TAU * turn)
        } else {
            1.0
        };
        let mut demand = Demand {
            l1: lagging(base_l1_amps * drift, BASE_POWER_FACTOR),
            l2: lagging(base_l2_amps * drift, BASE_POWER_FACTOR),
            l12: Complex64::ZERO,
        };
        let appliances = self.profile.appliances.iter().zip(&self.amps);
        for (appliance, amps) in appliances.filter(|(a, _)| a.runs_at(t_s)) {
            match appliance.across {
                Across::LegToNeutral(Leg::L1) => demand.l1 += amps,
                Across::LegToNeutral(Leg::L2) => demand.l2 += amps,
                Across::LegToLeg => demand.l12 += amps,
            }
        }
        demand
    }
}

impl Profile {
    /// The load at `t_s` seconds.
    pub fn demand(&self, t_s: f64) -> Demand {
        Drawn::of(self).demand(t_s)
    }

    /// The most that one leg can draw, amps at nominal volts: everything on at once.
    pub fn most_amps(&self, leg: Leg) -> f64 {
        let base = match leg {
            Leg::L1 => self.base_l1_amps,
            Leg::L2 => self.base_l2_amps,
        };
        let switched: f64 = self
            .appliances
            .iter()
            .filter(|a| match a.across {
                Across::LegToNeutral(on) => on == leg,
                Across::LegToLeg => true,
            })
            .map(|a| a.amps)
            .sum();
        base * (1.0 + self.drift_share) + switched
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn kettle(window_s: f64, run_s: f64, chance: f64, key: u64) -> Appliance {
        Appliance {
            name: "kettle",
            across: Across::LegToNeutral(Leg::L1),
            amps: 12.0,
            power_factor: 1.0,
            window_s,
            run_s,
            chance,
            key,
        }
    }

    #[test]
    fn an_appliance_that_always_runs_fills_its_share_of_time() {
        let kettle = kettle(600.0, 150.0, 1.0, 9);
        let on = (0..60_000).filter(|s| kettle.runs_at(f64::from(*s))).count();
        // 100 windows of 150 s, each cut at whole seconds.
        assert!((14_900..=15_100).contains(&on), "{on}");
    }

    #[test]
    fn it_starts_at_another_moment_in_each_window() {
        let kettle = kettle(600.0, 60.0, 1.0, 9);
        let start = |window: i32| (0..600).find(|s| kettle.runs_at(f64::from(window * 600 + s)));
        let starts: Vec<i32> = (0..20).map(|w| start(w).unwrap()).collect();
        assert!(starts.iter().all(|s| *s <= 540), "{starts:?}");
        let apart: std::collections::BTreeSet<&i32> = starts.iter().collect();
        assert!(apart.len() > 15, "{starts:?}");
    }

    #[test]
    fn a_chance_of_a_third_runs_in_a_third_of_windows() {
        let kettle = kettle(100.0, 100.0, 1.0 / 3.0, 4);
        let on = (0..3_000).filter(|w| kettle.runs_at(f64::from(*w) * 100.0 + 50.0)).count();
        assert!((900..1_100).contains(&on), "{on}");
    }

    proptest! {
        #[test]
        fn demand_is_within_its_bounds(
            t_s in 0.0..1e7f64, l1 in 0.0..8.0f64, share in 0.0..0.5f64, chance in 0.0..1.0f64, key: u64,
        ) {
            let profile = Profile {
                base_l1_amps: l1,
                base_l2_amps: 1.0,
                drift_share: share,
                drift_period_s: 900.0,
                drift_phase: 0.2,
                appliances: vec![kettle(300.0, 60.0, chance, key)],
            };
            let amps = libm::sqrt(profile.demand(t_s).l1.norm_sqr());
            prop_assert!(amps <= profile.most_amps(Leg::L1) + 1e-9);
            prop_assert!(amps >= l1 * (1.0 - share) - 1e-9);
            prop_assert_eq!(profile.demand(t_s), profile.demand(t_s));
        }
    }
}
