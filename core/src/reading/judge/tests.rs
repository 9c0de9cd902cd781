//! Tests of judging one reading.

use proptest::prelude::*;

use super::{
    super::{
        InstrumentClass, Side,
        example::{at, base, clamp, current, instrument, known, reading, taken, tester},
    },
    AmpsAt, *,
};
use crate::plant::{
    Conductor::{L1, L2, N},
    Pair,
};
use crate::quantity::seconds;

struct Case {
    tester: Instrument,
    now_s: i64,
    proven_s: Option<i64>,
}

impl Case {
    fn good() -> Self {
        Self { tester: tester(), now_s: 60, proven_s: Some(0) }
    }

    fn judge(&self, reading: &VoltsReading) -> JudgedVolts {
        let (now, taken) = (at(self.now_s), at(0));
        let proven = self.proven_s.map(at);
        let moment =
            Moment { now: &now, taken: &taken, proven: proven.as_ref(), window: seconds(600.0) };
        judge_volts(reading, Some(&self.tester), moment, &RuleSheet::default())
    }
}

fn check(case: &Case, shown: &str, wanted: Liveness, held: &[&str]) {
    let judged = case.judge(&reading(base(Side::Line), L1, N, shown));
    assert_eq!(judged.liveness, wanted, "{shown}");
    assert_eq!(judged.validation.ids(), held, "{shown}");
}

#[test]
fn a_good_reading_says_what_it_says() {
    let case = Case::good();
    check(&case, "0.3", Liveness::Dead, &[]);
    check(&case, "121.2", Liveness::Live, &[]);
    check(&case, "17", Liveness::Undecided, &[]);
    check(&case, "4.6", Liveness::Undecided, &[]);
}

#[test]
fn each_fault_takes_the_dead_away_and_leaves_the_live() {
    type Spoil = fn(&mut Case);
    let faults: [(&str, Spoil); 7] = [
        ("reading-calibration-overdue", |c| c.tester.calibration_due_ms = 0),
        ("reading-instrument-not-proven", |c| c.proven_s = None),
        ("reading-stale", |c| c.now_s = 601),
        ("reading-category-too-low", |c| c.tester.category = Category::Three),
        ("reading-category-too-low", |c| c.tester.category_volts = "300".parse().unwrap()),
        ("reading-wrong-instrument", |c| c.tester.class = InstrumentClass::PhaseRotation),
        ("reading-unknown-instrument", |c| c.tester.resolution = "0".parse().unwrap()),
    ];
    for (id, spoil) in faults {
        let mut case = Case::good();
        spoil(&mut case);
        check(&case, "0", Liveness::Undecided, &[id]);
        check(&case, "121.2", Liveness::Live, &[id]);
    }
    let mut case = Case::good();
    case.tester.class = InstrumentClass::DigitalMultimeter;
    check(&case, "0", Liveness::Undecided, &["reading-high-impedance"]);
    check(&case, "121.2", Liveness::Live, &[]);
}

#[test]
fn what_no_instrument_shows_is_refused() {
    let case = Case::good();
    check(&case, "751", Liveness::Live, &["reading-outside-range"]);
    check(&case, "-0.5", Liveness::Undecided, &["reading-negative"]);
    check(&case, "-120", Liveness::Live, &["reading-negative"]);
    let judged = case.judge(&reading(base(Side::Line), L1, L1, "0"));
    assert_eq!(judged.liveness, Liveness::Undecided);
    assert_eq!(judged.validation.ids(), ["reading-not-a-pair"]);
}

#[test]
fn what_the_display_cannot_show_was_another_unit() {
    let case = Case::good();
    // 0.12 kV typed as volts would be dead, 120 000 mV beyond any range.
    check(&case, "0.12", Liveness::Undecided, &["reading-finer-than-display"]);
    check(&case, "0.120", Liveness::Undecided, &["reading-finer-than-display"]);
    check(&case, "120000", Liveness::Live, &["reading-outside-range"]);
    check(&case, "0.1", Liveness::Dead, &[]);
}

#[test]
fn across_jaws_is_one_leg_on_two_sides() {
    let case = Case::good();
    let judged = case.judge(&reading(base(Side::AcrossJaws), L1, L1, "0"));
    assert_eq!(judged.liveness, Liveness::Dead);
    for (one, other) in [(L1, L2), (N, N)] {
        let judged = case.judge(&reading(base(Side::AcrossJaws), one, other, "0"));
        assert_eq!(judged.validation.ids(), ["reading-not-a-pair"]);
    }
}

#[test]
fn another_instruments_entry_stands_for_nothing() {
    let mut case = Case::good();
    case.tester.id = InstrumentId::new("T2").unwrap();
    check(&case, "0", Liveness::Undecided, &["reading-unknown-instrument"]);
    check(&case, "50", Liveness::Live, &["reading-unknown-instrument"]);
}

#[test]
fn the_truck_asks_for_no_category() {
    let mut case = Case::good();
    case.tester.category = Category::Two;
    assert!(case.judge(&reading(known(), L1, N, "120")).validation.is_accepted());
}

fn judge_current(
    shown: &AmpsReading,
    clamp: &Instrument,
    others: &[Taken<AmpsReading>],
) -> JudgedAmps {
    let (now, taken) = (at(100), at(90));
    let moment = Moment { now: &now, taken: &taken, proven: Some(&taken), window: seconds(300.0) };
    let system = Some(VoltageSystem::Split120_240);
    judge_amps(shown, Some(clamp), others, AmpsAt::Secondary(system), moment, &RuleSheet::default())
}

#[test]
fn a_zero_counts_only_beside_a_load_the_same_clamp_read() {
    let clamp = clamp();
    let alone = judge_current(&current("0"), &clamp, &[]);
    assert_eq!(
        (alone.loading, alone.validation.ids()),
        (Loading::Undecided, vec!["reading-zero-unproven"])
    );
    let load = taken(1, 50, current("12.4"));
    let beside = judge_current(&current("0"), &clamp, std::slice::from_ref(&load));
    assert_eq!((beside.loading, beside.validation.is_accepted()), (Loading::NoLoad, true));
    let mut old = load.clone();
    old.at = at(-201);
    let mut other_clamp = load.clone();
    other_clamp.reading.instrument = InstrumentId::new("C2").unwrap();
    let mut whole = load.clone();
    whole.reading.conductor = None;
    let mut zero = load.clone();
    zero.reading.amps = "0.2".parse().unwrap();
    let mut impossible = load;
    impossible.reading.amps = "999".parse().unwrap();
    for no_witness in [old, other_clamp, whole, zero, impossible] {
        let judged = judge_current(&current("0"), &clamp, &[no_witness]);
        assert_eq!(judged.loading, Loading::Undecided);
    }
}

#[test]
fn a_whole_cable_reading_is_refused_as_no_load_and_a_load_stays_a_load() {
    let load = taken(1, 50, current("12.4"));
    let mut whole = current("0");
    whole.conductor = None;
    let judged = judge_current(&whole, &clamp(), std::slice::from_ref(&load));
    assert_eq!(judged.loading, Loading::Undecided);
    assert_eq!(judged.validation.standing(), Standing::Refused);
    whole.amps = "8".parse().unwrap();
    assert_eq!(judge_current(&whole, &clamp(), &[]).loading, Loading::Loaded);
}

#[test]
fn volts_typed_for_amps_are_named() {
    for slip in ["240", "118", "252"] {
        let judged = judge_current(&current(slip), &clamp(), &[]);
        assert_eq!(judged.validation.ids(), ["reading-unit-slip"], "{slip}");
        assert_eq!(judged.loading, Loading::Loaded);
    }
    assert!(judge_current(&current("180"), &clamp(), &[]).validation.is_accepted());
}

#[test]
fn what_keeps_a_current_from_no_load_is_said() {
    let (clamp, load) = (clamp(), taken(1, 50, current("12.4")));
    let ids =
        |shown: &str| judge_current(&current(shown), &clamp, std::slice::from_ref(&load)).ids();
    assert_eq!(ids("0.2"), [""; 0]);
    assert_eq!(ids("0.9"), ["amps-undecided"]);
    assert_eq!(ids("25"), ["amps-loaded"]);
    assert_eq!(ids("240"), ["reading-unit-slip", "amps-loaded"]);
    assert_eq!(judge_current(&current("0"), &clamp, &[]).ids(), ["reading-zero-unproven"]);
}

/// Common practice, no source: 20 to 30 A on a lug is not to be unbolted. Our limit is far below.
#[test]
fn twenty_amps_are_a_load_whatever_the_clamp() {
    let load = taken(1, 50, current("12.4"));
    for shown in ["20", "25", "30"] {
        let mut worst = clamp();
        worst.accuracy.percent = "20".parse().unwrap();
        let judged = judge_current(&current(shown), &worst, std::slice::from_ref(&load));
        assert_eq!(judged.loading, Loading::Loaded, "{shown}");
    }
}

/// Common practice, no source: an idle leg reads some tenths of an amp while its loaded neighbour
/// reads several. The usual clamp tells the two apart.
#[test]
fn an_idle_leg_beside_a_loaded_one_is_told_apart() {
    let load = taken(1, 50, current("6.3"));
    for (shown, wanted) in
        [("0.2", Loading::NoLoad), ("0.4", Loading::NoLoad), ("3.8", Loading::Loaded)]
    {
        let judged = judge_current(&current(shown), &clamp(), std::slice::from_ref(&load));
        assert_eq!(judged.loading, wanted, "{shown}");
    }
}

#[test]
fn insulation_is_read_by_an_insulation_tester() {
    let reading = OhmsReading {
        between: Pair(L1, L2),
        megohms: "35".parse().unwrap(),
        instrument: InstrumentId::new("M1").unwrap(),
    };
    let (now, proven) = (at(10), at(0));
    let moment = Moment { now: &now, taken: &now, proven: Some(&proven), window: seconds(60.0) };
    let mega = instrument("M1", InstrumentClass::InsulationTester, "1000");
    let judged = judge_ohms(&reading, Some(&mega), moment, &RuleSheet::default());
    assert!(judged.validation.is_accepted());
    assert!((judged.bound.limit_of_error.value - 0.85e6).abs() < 1.0);
    let multimeter = instrument("M1", InstrumentClass::DigitalMultimeter, "1000");
    let judged = judge_ohms(&reading, Some(&multimeter), moment, &RuleSheet::default());
    assert_eq!(judged.validation.ids(), ["reading-wrong-instrument"]);
}

proptest! {
    #[test]
    fn swapping_the_leads_changes_nothing(tenths in 0_u32..3000, side in 0..2) {
        let shown = format!("{}.{}", tenths / 10, tenths % 10);
        let side = if side == 0 { Side::Line } else { Side::Load };
        let case = Case::good();
        let one = case.judge(&reading(base(side), L1, N, &shown));
        prop_assert_eq!(&one, &case.judge(&reading(base(side), N, L1, &shown)));
        prop_assert_eq!(&one, &case.judge(&reading(base(side), L2, N, &shown)));
    }

    #[test]
    fn nothing_held_against_it_ever_hides_a_live_reading(
        tenths in 525_u32..7400, overdue: bool, proven: bool, category in 0_usize..3, now_s in 0_i64..5000,
    ) {
        let mut case = Case { now_s, proven_s: proven.then_some(0), ..Case::good() };
        case.tester.category = Category::ALL[category];
        if overdue {
            case.tester.calibration_due_ms = 0;
        }
        let shown = format!("{}.{}", tenths / 10, tenths % 10);
        prop_assert_eq!(case.judge(&reading(base(Side::Line), L1, N, &shown)).liveness, Liveness::Live);
    }

    #[test]
    fn dead_is_said_only_with_nothing_held_against_it(
        tenths in 0_u32..100, overdue: bool, proven: bool, now_s in 0_i64..1000,
    ) {
        let mut case = Case { now_s, proven_s: proven.then_some(0), ..Case::good() };
        if overdue {
            case.tester.calibration_due_ms = 0;
        }
        let shown = format!("{}.{}", tenths / 10, tenths % 10);
        let judged = case.judge(&reading(base(Side::Line), L1, N, &shown));
        let dead = !overdue && proven && now_s <= 600 && f64::from(tenths) * 0.101 + 0.5 <= 5.0;
        prop_assert_eq!(judged.liveness == Liveness::Dead, dead);
    }
}
