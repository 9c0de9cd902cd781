//! Readings as they are typed, by instruments as they are entered.

use coldlug_core::{
    plant::{Conductor, Pair, VoltageSystem},
    quantity::{
        AssetId, Bounded, Decimal, EventId, Instant, InstrumentId, Voltage, in_volts, volts,
    },
    reading::{
        Accuracy, AmpsAt, AmpsReading, Category, Instrument, InstrumentClass, Liveness, Loading,
        Moment, Place, Side, Taken, VoltsReading, cross_check, doubted, judge_amps, judge_volts,
        neutral_current, supply_signs,
    },
    rule_sheet::RuleSheet,
};

use super::INPUTS;

const CONDUCTORS: [Conductor; 5] =
    [Conductor::L1, Conductor::L2, Conductor::L3, Conductor::N, Conductor::G];

fn one<T: Copy>(of: &[T], drawn: u8) -> T {
    *of.get(usize::from(drawn) % of.len()).expect("something to draw from")
}

fn tester() -> InstrumentId {
    InstrumentId::new("T1").expect("a name")
}

/// A number as somebody types it: digits with a point somewhere, or a minus.
fn typed(drawn: (u32, u8, bool)) -> Decimal {
    let (digits, places, minus) = drawn;
    let number = Decimal::scaled(digits, u32::from(places % 5));
    let sign = if minus && places > 200 { "-" } else { "" };
    format!("{sign}{number}").parse().unwrap_or(number)
}

/// Class, category, range, step, percent, counts, calibration.
type Nameplate = (u8, u8, u32, (u32, u8), (u16, u8), u16, i64);

fn instrument(plate: &Nameplate) -> Instrument {
    let (class, category, range, step, percent, counts, due) = *plate;
    Instrument {
        id: tester(),
        class: one(&InstrumentClass::ALL, class),
        category: one(&Category::ALL, category),
        category_volts: Decimal::scaled(u32::from(category) * 10, 0),
        range: Decimal::scaled(range % 2000, 0),
        resolution: Decimal::scaled(step.0 % 20, u32::from(step.1 % 4)),
        accuracy: Accuracy {
            percent: Decimal::scaled(percent.0.into(), u32::from(percent.1 % 3)),
            counts,
        },
        calibration_due_ms: due,
    }
}

fn at(ms: i32, boot: bool) -> Instant {
    Instant { wall_ms: ms.into(), boot: if boot { "a" } else { "b" }.into(), mono_ms: ms.into() }
}

/// Texts that were typed for numbers: those taken are kept digit for digit.
#[test]
fn any_text_is_a_number_or_is_refused() {
    bolero::check!().with_iterations(INPUTS).with_type::<String>().for_each(|text| {
        if let Ok(number) = text.parse::<Decimal>() {
            assert_eq!(number.to_string(), *text);
            assert!(number.to_f64().is_finite());
        }
    });
}

/// Whatever is typed with whatever instrument, dead is said only of what the limit of error leaves
/// under the dead limit, with nothing held against it; and live stays live.
#[test]
fn no_voltage_is_called_dead_that_may_not_be() {
    let rules = RuleSheet::default();
    let places = [
        Place::KnownSource { what: String::new() },
        Place::PadBus { pad: AssetId::new("P1").expect("a name") },
        Place::MeterBase { service: AssetId::new("V1").expect("a name"), side: Side::Line },
        Place::MeterBase { service: AssetId::new("V1").expect("a name"), side: Side::AcrossJaws },
    ];
    bolero::check!()
        .with_iterations(INPUTS)
        .with_type::<(Nameplate, (u32, u8, bool), (u8, u8, u8), (i32, i32, bool, bool))>()
        .for_each(|(plate, number, (place, from, to), (now, taken, same_boot, proven))| {
            let reading = VoltsReading {
                place: places.get(usize::from(*place) % places.len()).expect("a place").clone(),
                between: Pair(one(&CONDUCTORS, *from), one(&CONDUCTORS, *to)),
                volts: typed(*number),
                instrument: tester(),
            };
            let instrument = instrument(plate);
            let (now, taken) = (at(*now, true), at(*taken, *same_boot));
            let moment = Moment {
                now: &now,
                taken: &taken,
                proven: proven.then_some(&taken),
                window: rules.proof_window(),
            };
            for known in [Some(&instrument), None] {
                let judged = judge_volts(&reading, known, moment, &rules);
                let shown = reading.volts.to_f64().abs();
                let most = shown + in_volts(judged.bound.limit_of_error);
                if judged.liveness == Liveness::Dead {
                    assert!(judged.validation.is_accepted() && most <= 5.0, "{reading:?}");
                }
                if known.is_none() || !instrument.makes_sense() {
                    assert_eq!(judged.liveness == Liveness::Live, shown >= 50.0);
                }
            }
        });
}

/// The same of currents, whatever loads were read beside.
#[test]
fn no_current_is_called_none_that_may_not_be() {
    let rules = RuleSheet::default();
    bolero::check!()
        .with_iterations(INPUTS)
        .with_type::<(Nameplate, Vec<((u32, u8, bool), u8)>, u8)>()
        .for_each(|(plate, numbers, system)| {
            let instrument = instrument(plate);
            let (now, taken) = (at(1000, true), at(0, true));
            let moment = Moment {
                now: &now,
                taken: &taken,
                proven: Some(&taken),
                window: rules.amps_fresh(),
            };
            let reading = |(number, leg): &((u32, u8, bool), u8)| AmpsReading {
                conductor: (leg % 6 < 5).then(|| one(&CONDUCTORS, *leg)),
                amps: typed(*number),
                instrument: tester(),
            };
            let others: Vec<Taken<AmpsReading>> = numbers
                .iter()
                .map(|number| Taken {
                    event: EventId::new("e1").expect("a name"),
                    at: taken.clone(),
                    reading: reading(number),
                })
                .collect();
            let system = one(&VoltageSystem::ALL, *system);
            let mut currents = Vec::new();
            for Taken { reading, .. } in &others {
                let judged = judge_amps(
                    reading,
                    Some(&instrument),
                    &others,
                    AmpsAt::Secondary(Some(system)),
                    moment,
                    &rules,
                );
                let most = reading.amps.to_f64().abs() + judged.bound.limit_of_error.value;
                if judged.loading == Loading::NoLoad {
                    assert!(
                        judged.validation.is_accepted() && judged.ids().is_empty() && most <= 1.0
                    );
                } else {
                    assert!(!judged.ids().is_empty(), "nothing said: {reading:?}");
                }
                currents.push(judged.bound);
            }
            if let Some((neutral, legs)) = currents.split_last() {
                neutral_current(legs, *neutral);
            }
        });
}

/// Any voltages between any conductors, not numbers and endless ones among them.
#[test]
fn any_voltages_are_compared() {
    let rules = RuleSheet::default();
    bolero::check!().with_iterations(INPUTS).with_type::<(Vec<(u8, u8, f64, f64)>, u8)>().for_each(
        |(drawn, system)| {
            let readings: Vec<(Pair, Bounded<Voltage>)> = drawn
                .iter()
                .map(|&(from, to, shown, error)| {
                    let between = Pair(one(&CONDUCTORS, from), one(&CONDUCTORS, to));
                    (between, Bounded { value: volts(shown), limit_of_error: volts(error.abs()) })
                })
                .collect();
            let clashes = cross_check(&readings, &rules);
            assert!(doubted(&clashes).len() <= 3 * clashes.len());
            supply_signs(&readings, one(&VoltageSystem::ALL, *system));
        },
    );
}

/// Names and ids.
#[test]
fn any_text_is_a_name_or_is_refused() {
    bolero::check!().with_iterations(INPUTS).with_type::<String>().for_each(|text| {
        if let Ok(name) = InstrumentId::new(text.clone()) {
            assert_eq!(name.as_str(), text);
        }
    });
}
