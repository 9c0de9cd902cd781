//! The neutral under load: how far the unloaded leg rises says what the neutral's impedance is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Judging;
use crate::{
    plant::{Conductor, Pair, VoltageSystem},
    quantity::{
        AssetId, Bounded, Current, Decimal, Impedance, Instant, InstrumentId, in_amps, in_ohms,
    },
    reading::{
        AmpsAt, AmpsReading, Instrument, InstrumentClass, Liveness, Moment, Place, Side,
        VoltsReading, judge_amps, judge_volts,
    },
    rule_sheet::RuleSheet,
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
    /// The legs, the voltmeter or the clamp of this test cannot show it, or the leg that was read
    /// showed no supply: a voltmeter with a broken lead sees no rise either.
    NotCounted,
}

/// Judges a neutral test against the computed impedance of the cable's neutral.
///
/// Impedance = rise of the unloaded leg / amps of the loaded one. On a split-phase service the
/// whole drop of the neutral shows on the other leg; where legs stand 120 degrees apart, half of
/// it does (cos 60). The limit is the computed impedance times the rule sheet's factor, and at least
/// its floor.
pub fn judge_neutral(
    test: &NeutralTest,
    service: &AssetId,
    at: &Instant,
    computed: Option<Impedance>,
    with: Judging<'_>,
) -> NeutralQuality {
    let two_legs = test.load.conductor == Some(test.loaded);
    let Some(share) = share(test.loaded, test.unloaded, with.system).filter(|_| two_legs) else {
        return NeutralQuality::NotCounted;
    };
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
    let voltmeter = with.instruments.get(&test.voltmeter).filter(|known| reads_rises(known));
    let Some(voltmeter) = voltmeter.filter(|_| load.validation.is_accepted()) else {
        return NeutralQuality::NotCounted;
    };
    let rise = test.with_volts.to_f64() - test.without_volts.to_f64();
    let limit = limit_ohms(computed, with.rules);
    let quality = weigh(Rise::shown(rise, voltmeter), load.bound, share, limit, with);
    // A bad one is bad whatever is held against the voltmeter.
    if quality == NeutralQuality::Good && !saw_the_leg(test, service, at, with) {
        return NeutralQuality::NotCounted;
    }
    quality
}

/// Whether the voltmeter counts and saw the unloaded leg live, without the load and with it.
fn saw_the_leg(test: &NeutralTest, service: &AssetId, at: &Instant, with: Judging<'_>) -> bool {
    [test.without_volts, test.with_volts].into_iter().all(|volts| {
        let place = Place::MeterBase { service: service.clone(), side: Side::Line };
        let between = Pair(test.unloaded, Conductor::N);
        let instrument = test.voltmeter.clone();
        let reading = VoltsReading { place, between, volts, instrument };
        let proven = with.proven.get(&test.voltmeter);
        let moment = Moment { now: at, taken: at, proven, window: with.rules.proof_window() };
        let known = with.instruments.get(&test.voltmeter);
        let judged = judge_volts(&reading, known, moment, with.rules);
        judged.liveness == Liveness::Live && judged.validation.is_accepted()
    })
}

/// Load from which a neutral as good as computed surely proves good with these two instruments,
/// whole amps; none: not up to a hundred, so it takes finer ones.
///
/// Found by the rule itself, on the worst that the voltmeter may show for the computed impedance: a
/// rise too high by its limit of error.
pub fn deciding_amps(
    (loaded, unloaded): (Conductor, Conductor),
    (voltmeter, clamp): (&Instrument, &Instrument),
    computed: Option<Impedance>,
    with: Judging<'_>,
) -> Option<u16> {
    let share = share(loaded, unloaded, with.system).filter(|_| reads_rises(voltmeter))?;
    let limit = limit_ohms(computed, with.rules);
    let ohms = computed.map_or(0.0, in_ohms).max(0.0);
    (1..=MOST_AMPS).find(|&whole| {
        let Some(shown) = Decimal::from_f64(f64::from(whole), 0) else { return false };
        let truly = share * ohms * f64::from(whole);
        let worst = Rise::shown(truly + Rise::shown(truly, voltmeter).off, voltmeter);
        weigh(worst, clamp.amps_shown(shown, with.rules), share, limit, with)
            == NeutralQuality::Good
    })
}

/// Loads beyond are not asked of anybody: the main of a dwelling's base (common practice, no
/// source).
const MOST_AMPS: u16 = 100;

/// How much of the neutral's drop under a load on one leg shows on another; none: it cannot be told
/// from them.
fn share(loaded: Conductor, unloaded: Conductor, system: VoltageSystem) -> Option<f64> {
    let legs = system.legs();
    if loaded == unloaded || !legs.contains(&loaded) || !legs.contains(&unloaded) {
        return None;
    }
    let beside_tap = |leg| matches!(leg, Conductor::L1 | Conductor::L2);
    match system {
        VoltageSystem::Split120_240 => Some(1.0),
        // The two legs beside the centre tap stand opposite; the high leg stands across both.
        VoltageSystem::Delta120_240 => (beside_tap(loaded) && beside_tap(unloaded)).then_some(1.0),
        VoltageSystem::Wye208
        | VoltageSystem::Network208
        | VoltageSystem::Wye480
        | VoltageSystem::Wye600
        | VoltageSystem::Wye400
        | VoltageSystem::Wye400Pen => Some(0.5),
    }
}

/// Whether an instrument may read the leg of a neutral test.
fn reads_rises(voltmeter: &Instrument) -> bool {
    voltmeter.makes_sense()
        && matches!(
            voltmeter.class,
            InstrumentClass::LowImpedanceVoltmeter | InstrumentClass::DigitalMultimeter
        )
}

/// The highest impedance that passes, ohms.
fn limit_ohms(computed: Option<Impedance>, rules: &RuleSheet) -> f64 {
    let computed = computed.map_or(0.0, in_ohms).max(0.0);
    (computed * rules.neutral_impedance_factor.to_f64()).max(rules.neutral_floor_ohms.to_f64())
}

/// How far the unloaded leg rose, volts.
#[derive(Clone, Copy)]
struct Rise {
    shown: f64,
    off: f64,
}

impl Rise {
    /// One voltmeter reads twice on one range, so its rise is bounded by its percentage of the rise
    /// and two steps of its display (common practice, no source).
    fn shown(volts: f64, voltmeter: &Instrument) -> Self {
        let share = voltmeter.accuracy.percent.to_f64() / 100.0;
        Self { shown: volts, off: share * volts.abs() + 2.0 * voltmeter.resolution.to_f64() }
    }
}

fn weigh(
    rise: Rise,
    load: Bounded<Current>,
    share: f64,
    limit_ohms: f64,
    with: Judging<'_>,
) -> NeutralQuality {
    if load.value < with.rules.neutral_test_least() {
        return NeutralQuality::LoadTooSmall;
    }
    let (least_amps, most_amps) = (in_amps(load.least()), in_amps(load.most()));
    let (least, most) = (rise.shown - rise.off, rise.shown + rise.off);
    if least_amps <= 0.0 || most < 0.0 {
        NeutralQuality::Undecided
    } else if most / (share * least_amps) <= limit_ohms {
        NeutralQuality::Good
    } else if least / (share * most_amps) > limit_ohms {
        NeutralQuality::Bad
    } else {
        NeutralQuality::Undecided
    }
}

#[cfg(test)]
mod tests {
    use super::{
        super::example::{Desk, service},
        *,
    };
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
        let found = judge_neutral(test, &service(), &at(10), computed.map(ohms), desk.with());
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
    fn a_voltmeter_that_sees_no_supply_sees_no_rise_either() {
        check(&test("0.0", "0.0", "12.5"), Some(0.03), NeutralQuality::NotCounted);
        check(&test("40.0", "40.1", "12.5"), Some(0.03), NeutralQuality::NotCounted);
    }

    #[test]
    fn a_voltmeter_that_nobody_has_shown_proves_none_good_and_may_show_one_bad() {
        let mut desk = desk();
        desk.proven.remove(&InstrumentId::new("T1").unwrap());
        let of = |test: &NeutralTest| {
            judge_neutral(test, &service(), &at(10), Some(ohms(0.03)), desk.with())
        };
        assert_eq!(of(&test("120.5", "120.8", "12.5")), NeutralQuality::NotCounted);
        assert_eq!(of(&test("120.5", "124.3", "12.5")), NeutralQuality::Bad);
    }

    #[test]
    fn legs_at_120_degrees_show_half() {
        let mut desk = desk();
        desk.system = VoltageSystem::Network208;
        let tested = test("120.5", "122.5", "12.5");
        let found = judge_neutral(&tested, &service(), &at(10), Some(ohms(0.1)), desk.with());
        assert_eq!(found, NeutralQuality::Bad);
    }

    /// Invented cables and instruments.
    #[test]
    fn from_the_amps_it_names_a_neutral_as_computed_proves_good_however_it_shows() {
        let desk = desk();
        let voltmeter = desk.instruments[&test("1", "1", "1").voltmeter].clone();
        for computed in [0.0, 0.002, 0.01, 0.03, 0.1] {
            let named =
                deciding_amps((L1, L2), (&voltmeter, &clamp()), Some(ohms(computed)), desk.with());
            let from = f64::from(named.expect("up to a hundred amps"));
            let step = voltmeter.resolution.to_f64();
            let share = voltmeter.accuracy.percent.to_f64() / 100.0;
            for amps in [from, from + 7.0, from + 40.0] {
                let rise = computed * amps;
                let most = 120.5 + rise + 2.0 * step + share * rise - 1e-9;
                let shown = format!("{:.1}", (most * 10.0).floor() / 10.0);
                check(
                    &test("120.5", &shown, &amps.to_string()),
                    Some(computed),
                    NeutralQuality::Good,
                );
            }
        }
    }

    #[test]
    fn a_coarse_voltmeter_never_decides_on_a_short_cable() {
        let desk = desk();
        let mut coarse = desk.instruments[&test("1", "1", "1").voltmeter].clone();
        coarse.resolution = "2".parse().unwrap();
        let named = |with| deciding_amps((L1, L2), (&coarse, &clamp()), Some(ohms(0.002)), with);
        assert_eq!(named(desk.with()), None);
        assert_eq!(deciding_amps((L1, L1), (&coarse, &clamp()), None, desk.with()), None);
    }
}
