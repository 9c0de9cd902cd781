//! Habits: draws a customer's load profile and own sources. All sizes and times are invented.

use crate::conductor::Leg;
use crate::load::{Across, Appliance, Profile};
use crate::seed::Draw;

/// What kind of customer a profile is drawn for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Habit {
    /// A lived-in house: a base on both legs, appliances that come and go.
    LivedIn,
    /// A vacant house: nothing, or about 0.1 A on one leg.
    Vacant,
    /// A street light: a steady lamp on one leg, nothing else.
    StreetLight,
    /// A small workshop: motors that cycle.
    Workshop,
}

struct Kind {
    name: &'static str,
    leg_to_leg: bool,
    amps: (f64, f64),
    power_factor: f64,
    window_s: (f64, f64),
    run_share: (f64, f64),
    chance: (f64, f64),
}

const KETTLE: Kind = Kind {
    name: "kettle",
    leg_to_leg: false,
    amps: (9.0, 12.6),
    power_factor: 1.0,
    window_s: (700.0, 2_400.0),
    run_share: (0.05, 0.15),
    chance: (0.3, 0.8),
};
const AIR_CONDITIONER: Kind = Kind {
    name: "air conditioner",
    leg_to_leg: true,
    amps: (9.0, 17.0),
    power_factor: 0.86,
    window_s: (500.0, 1_200.0),
    run_share: (0.3, 0.6),
    chance: (0.7, 1.0),
};
const WATER_HEATER: Kind = Kind {
    name: "water heater",
    leg_to_leg: true,
    amps: (12.0, 18.0),
    power_factor: 1.0,
    window_s: (1_800.0, 5_400.0),
    run_share: (0.1, 0.3),
    chance: (0.4, 0.9),
};
const REFRIGERATOR: Kind = Kind {
    name: "refrigerator",
    leg_to_leg: false,
    amps: (1.1, 2.0),
    power_factor: 0.8,
    window_s: (900.0, 1_800.0),
    run_share: (0.3, 0.5),
    chance: (1.0, 1.0),
};
const FLAT_IRON: Kind = Kind {
    name: "flat iron",
    leg_to_leg: false,
    amps: (7.5, 10.5),
    power_factor: 1.0,
    window_s: (40.0, 110.0),
    run_share: (0.3, 0.6),
    chance: (0.5, 0.9),
};
const COMPRESSOR: Kind = Kind {
    name: "compressor",
    leg_to_leg: true,
    amps: (8.0, 14.0),
    power_factor: 0.8,
    window_s: (90.0, 400.0),
    run_share: (0.2, 0.5),
    chance: (0.6, 1.0),
};

fn appliance(kind: &Kind, draw: &mut Draw) -> Appliance {
    let window_s = draw.between(kind.window_s.0, kind.window_s.1);
    let leg = if draw.chance(0.5) { Leg::L1 } else { Leg::L2 };
    Appliance {
        name: kind.name,
        across: if kind.leg_to_leg { Across::LegToLeg } else { Across::LegToNeutral(leg) },
        amps: draw.between(kind.amps.0, kind.amps.1),
        power_factor: kind.power_factor,
        window_s,
        run_s: window_s * draw.between(kind.run_share.0, kind.run_share.1),
        chance: draw.between(kind.chance.0, kind.chance.1),
        key: draw.bits(),
    }
}

/// Draws a profile. A lived-in house stays between 0.2 and 40 A on each leg at every time.
pub fn profile(habit: Habit, draw: &mut Draw) -> Profile {
    match habit {
        Habit::LivedIn => lived_in(draw),
        Habit::Vacant => {
            let trickle = if draw.chance(0.5) { draw.between(0.05, 0.15) } else { 0.0 };
            Profile { base_l1_amps: trickle, ..Profile::default() }
        }
        Habit::StreetLight => {
            Profile { base_l1_amps: draw.between(0.4, 1.3), ..Profile::default() }
        }
        Habit::Workshop => Profile {
            base_l1_amps: draw.between(1.0, 3.0),
            base_l2_amps: draw.between(1.0, 3.0),
            drift_share: draw.between(0.02, 0.10),
            drift_period_s: draw.between(300.0, 1_500.0),
            drift_phase: draw.unit(),
            appliances: vec![appliance(&COMPRESSOR, draw), appliance(&REFRIGERATOR, draw)],
        },
    }
}

fn lived_in(draw: &mut Draw) -> Profile {
    let mut appliances = vec![appliance(&REFRIGERATOR, draw)];
    if draw.chance(0.7) {
        appliances.push(appliance(&KETTLE, draw));
    } else if draw.chance(0.4) {
        appliances.push(appliance(&FLAT_IRON, draw));
    }
    if draw.chance(0.5) {
        appliances.push(appliance(&AIR_CONDITIONER, draw));
    } else if draw.chance(0.6) {
        appliances.push(appliance(&WATER_HEATER, draw));
    }
    Profile {
        base_l1_amps: draw.between(0.3, 4.0),
        base_l2_amps: draw.between(0.3, 4.0),
        drift_share: draw.between(0.02, 0.15),
        drift_period_s: draw.between(240.0, 1_800.0),
        drift_phase: draw.unit(),
        appliances,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seed::stream;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_lived_in_house_stays_between_a_fifth_and_forty_amps(seed: u64, t_s in 0.0..1e6f64) {
            let profile = profile(Habit::LivedIn, &mut stream(seed, "habit"));
            for leg in Leg::ALL {
                prop_assert!(profile.most_amps(leg) <= 40.0);
            }
            let demand = profile.demand(t_s);
            prop_assert!(libm::sqrt(demand.l1.norm_sqr()) >= 0.2);
            prop_assert!(libm::sqrt(demand.l2.norm_sqr()) >= 0.2);
        }

        #[test]
        fn a_vacant_house_draws_a_trickle_at_most(seed: u64, t_s in 0.0..1e6f64) {
            let demand = profile(Habit::Vacant, &mut stream(seed, "habit")).demand(t_s);
            prop_assert!(libm::sqrt(demand.l1.norm_sqr()) <= 0.15 + 1e-12);
            prop_assert!(demand.l2.norm_sqr() + demand.l12.norm_sqr() <= 0.0);
        }
    }

    #[test]
    fn some_houses_switch_large_loads() {
        let mut switched = 0;
        for seed in 0..40 {
            let profile = profile(Habit::LivedIn, &mut stream(seed, "habit"));
            let seen: Vec<f64> = (0..720)
                .map(|k| libm::sqrt(profile.demand(f64::from(k) * 10.0).l1.norm_sqr()))
                .collect();
            let low = seen.iter().copied().fold(f64::INFINITY, f64::min);
            let high = seen.iter().copied().fold(0.0, f64::max);
            if high - low > 6.0 {
                switched += 1;
            }
        }
        assert!(switched > 8, "{switched}");
    }
}
