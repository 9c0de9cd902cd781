//! The neutral under load: how far the unloaded leg rises says what the neutral's impedance is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Judging;
use crate::{
    plant::{Conductor, VoltageSystem},
    quantity::{Decimal, Impedance, Instant, InstrumentId, in_amps, in_ohms},
    reading::{AmpsAt, AmpsReading, InstrumentClass, Moment, judge_amps},
};

/// A known load on one leg, and what another leg reads to neutral without it and with it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NeutralTest {
    /// The leg with the load.
    pub loaded: Conductor,
    /// The leg that is read.
    pub unloaded: Conductor,
    /// That leg to neutral without the load, volts.
    pub without_volts: Decimal,
    /// That leg to neutral with the load, volts.
    pub with_volts: Decimal,
    /// The voltmeter, the same for both.
    pub voltmeter: InstrumentId,
    /// The amps of the loaded leg.
    pub load: AmpsReading,
}

/// What it says.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum NeutralQuality {
    /// Surely within the limit.
    Good,
    /// Surely beyond it.
    Bad,
    /// Neither: repeat with more load, or with a finer voltmeter.
    Undecided,
    /// The load is too small to tell.
    LoadTooSmall,
    /// The legs, the voltmeter or the clamp of this test cannot show it.
    NotCounted,
}

/// Judges a neutral test against the computed impedance of the cable's neutral.
///
/// Impedance = rise of the unloaded leg / amps of the loaded one. On a split-phase service the
/// whole drop of the neutral shows on the other leg; where legs stand 120 degrees apart, half of
/// it does (cos 60). The limit is the computed impedance times the rule sheet's factor, and at least
/// its floor. One voltmeter reads twice on one range, so its rise is bounded by its percentage of
/// the rise and two steps of its display (common practice, no source).
pub fn judge_neutral(
    test: &NeutralTest,
    at: &Instant,
    computed: Option<Impedance>,
    with: Judging<'_>,
) -> NeutralQuality {
    let legs = with.system.legs();
    let two_legs = test.loaded != test.unloaded
        && legs.contains(&test.loaded)
        && legs.contains(&test.unloaded)
        && test.load.conductor == Some(test.loaded);
    let beside_tap = |leg| matches!(leg, Conductor::L1 | Conductor::L2);
    let share = match with.system {
        VoltageSystem::Split120_240 => 1.0,
        // The two legs beside the centre tap stand opposite; the high leg stands across both.
        VoltageSystem::Delta120_240 if beside_tap(test.loaded) && beside_tap(test.unloaded) => 1.0,
        VoltageSystem::Delta120_240 => return NeutralQuality::NotCounted,
        VoltageSystem::Wye208
        | VoltageSystem::Network208
        | VoltageSystem::Wye480
        | VoltageSystem::Wye600
        | VoltageSystem::Wye400
        | VoltageSystem::Wye400Pen => 0.5,
    };
    let voltmeter = with.instruments.get(&test.voltmeter).filter(|i| {
        i.makes_sense()
            && matches!(
                i.class,
                InstrumentClass::LowImpedanceVoltmeter | InstrumentClass::DigitalMultimeter
            )
    });
    let clamp = with.instruments.get(&test.load.instrument);
    let moment = Moment {
        now: at,
        taken: at,
        proven: with.proven.get(&test.load.instrument),
        window: with.rules.amps_fresh(),
    };
    let load = judge_amps(
        &test.load,
        clamp,
        &[],
        AmpsAt::Secondary(Some(with.system)),
        moment,
        with.rules,
    );
    let Some(voltmeter) = voltmeter.filter(|_| two_legs && load.validation.is_accepted()) else {
        return NeutralQuality::NotCounted;
    };
    if load.bound.value < with.rules.neutral_test_least() {
        return NeutralQuality::LoadTooSmall;
    }
    let (least_amps, most_amps) = (in_amps(load.bound.least()), in_amps(load.bound.most()));
    if least_amps <= 0.0 {
        return NeutralQuality::Undecided;
    }
    let rise = test.with_volts.to_f64() - test.without_volts.to_f64();
    let off = voltmeter.accuracy.percent.to_f64() / 100.0 * rise.abs()
        + 2.0 * voltmeter.resolution.to_f64();
    if rise + off < 0.0 {
        return NeutralQuality::Undecided;
    }
    let computed = computed.map_or(0.0, in_ohms).max(0.0);
    let limit = (computed * with.rules.neutral_impedance_factor.to_f64())
        .max(with.rules.neutral_floor_ohms.to_f64());
    if (rise + off) / (share * least_amps) <= limit {
        NeutralQuality::Good
    } else if (rise - off) / (share * most_amps) > limit {
        NeutralQuality::Bad
    } else {
        NeutralQuality::Undecided
    }
}

#[cfg(test)]
mod tests {
    use super::{super::example::Desk, *};
    use crate::{
        plant::Conductor::{L1, L2},
        quantity::ohms,
        reading::example::{at, clamp},
    };

    fn desk() -> Desk {
        let mut desk = Desk::new();
        let clamp = clamp();
        desk.proven.insert(clamp.id.clone(), at(0));
        desk.instruments.insert(clamp.id.clone(), clamp);
        desk
    }

    fn test(without: &str, with: &str, amps: &str) -> NeutralTest {
        NeutralTest {
            loaded: L1,
            unloaded: L2,
            without_volts: without.parse().unwrap(),
            with_volts: with.parse().unwrap(),
            voltmeter: InstrumentId::new("T1").unwrap(),
            load: AmpsReading {
                conductor: Some(L1),
                amps: amps.parse().unwrap(),
                instrument: InstrumentId::new("C1").unwrap(),
            },
        }
    }

    fn check(test: &NeutralTest, computed: Option<f64>, wanted: NeutralQuality) {
        let desk = desk();
        let found = judge_neutral(test, &at(10), computed.map(ohms), desk.with());
        assert_eq!(found, wanted, "{test:?}");
    }

    #[test]
    fn the_rise_over_the_amps_is_held_to_the_computed_cable() {
        check(&test("120.5", "120.8", "12.5"), Some(0.03), NeutralQuality::Good);
        check(&test("120.5", "124.3", "12.5"), Some(0.03), NeutralQuality::Bad);
        check(&test("120.5", "121.3", "12.5"), Some(0.03), NeutralQuality::Undecided);
        check(&test("120.5", "122.0", "12.5"), Some(0.1), NeutralQuality::Good);
    }

    #[test]
    fn one_kilowatt_does_not_hide_a_third_of_an_ohm() {
        check(&test("120.0", "122.6", "8.7"), Some(0.03), NeutralQuality::Bad);
    }

    #[test]
    fn without_a_computed_cable_the_floor_holds() {
        check(&test("120.5", "120.7", "12.5"), None, NeutralQuality::Good);
        check(&test("120.5", "124.0", "12.5"), None, NeutralQuality::Bad);
    }

    #[test]
    fn what_cannot_show_it_does_not_count() {
        check(&test("120.5", "120.8", "5"), Some(0.03), NeutralQuality::LoadTooSmall);
        check(&test("120.5", "119.0", "12.5"), Some(0.03), NeutralQuality::Undecided);
        let same = NeutralTest { unloaded: L1, ..test("120", "120", "12.5") };
        check(&same, Some(0.03), NeutralQuality::NotCounted);
        let mut other_leg = test("120", "120", "12.5");
        other_leg.load.conductor = Some(L2);
        check(&other_leg, Some(0.03), NeutralQuality::NotCounted);
        let mut unknown = test("120", "120", "12.5");
        unknown.voltmeter = InstrumentId::new("X").unwrap();
        check(&unknown, Some(0.03), NeutralQuality::NotCounted);
    }

    #[test]
    fn legs_at_120_degrees_show_half() {
        let mut desk = desk();
        desk.system = VoltageSystem::Network208;
        let tested = test("120.5", "122.5", "12.5");
        let found = judge_neutral(&tested, &at(10), Some(ohms(0.1)), desk.with());
        assert_eq!(found, NeutralQuality::Bad);
    }
}
