//! The rule of a proof of dead said a second time, from the words of the trade, against [`super`].
//!
//! A random record is judged by both. Whatever is proven must hold by the plain reading below, and
//! whole records must still come to proven often enough for that to mean something.

use proptest::prelude::*;

use super::super::{
    DeadProof, Point,
    example::{Desk, whole_proof, zone},
    prove_dead,
};
use crate::{
    plant::VoltageSystem,
    quantity::{EventId, InstrumentId},
    reading::{Place, Taken, VoltsReading, example::tester},
};

/// One thing gone wrong with a whole record.
#[derive(Debug, Clone)]
enum Slip {
    Remove(usize),
    Repeat { which: usize, shown: &'static str, later_ms: i64, second: bool, front: bool },
    Show { which: usize, shown: &'static str },
    Move { which: usize, ms: i64 },
    OtherTester(usize),
    OtherBoot(usize),
    OtherPlace(usize),
}

fn slip() -> impl Strategy<Value = Slip> {
    let shown = || prop::sample::select(vec!["0", "0.4", "3", "4.4", "4.9", "17", "49", "121"]);
    let which = || 0_usize..17;
    prop_oneof![
        1 => which().prop_map(Slip::Remove),
        4 => (which(), shown(), -90_000_i64..90_000, any::<bool>(), any::<bool>()).prop_map(
            |(which, shown, later_ms, second, front)| Slip::Repeat {
                which, shown, later_ms, second, front,
            },
        ),
        2 => (which(), shown()).prop_map(|(which, shown)| Slip::Show { which, shown }),
        2 => (which(), -700_000_i64..700_000).prop_map(|(which, ms)| Slip::Move { which, ms }),
        1 => which().prop_map(Slip::OtherTester),
        1 => which().prop_map(Slip::OtherBoot),
        1 => which().prop_map(Slip::OtherPlace),
    ]
}

fn apply(record: &mut Vec<Taken<VoltsReading>>, slip: &Slip, number: usize) {
    let (Slip::Remove(which)
    | Slip::Repeat { which, .. }
    | Slip::Show { which, .. }
    | Slip::Move { which, .. }
    | Slip::OtherTester(which)
    | Slip::OtherBoot(which)
    | Slip::OtherPlace(which)) = slip;
    let at = which % record.len();
    match slip {
        Slip::Remove(_) => drop(record.remove(at)),
        Slip::Repeat { shown, later_ms, second, front, .. } => {
            let mut again = record[at].clone();
            again.event = EventId::new(format!("again{number}")).unwrap();
            again.reading.volts = shown.parse().unwrap();
            again.at.mono_ms += later_ms;
            if *second {
                again.reading.instrument = InstrumentId::new("T2").unwrap();
            }
            record.insert(if *front { 0 } else { record.len() }, again);
        }
        Slip::Show { shown, .. } => record[at].reading.volts = shown.parse().unwrap(),
        Slip::Move { ms, .. } => record[at].at.mono_ms += ms,
        Slip::OtherTester(_) => {
            record[at].reading.instrument = InstrumentId::new("T2").unwrap();
        }
        Slip::OtherBoot(_) => record[at].at.boot = "b2".into(),
        Slip::OtherPlace(_) => {
            record[at].reading.place = Place::KnownSource { what: "lamp".into() };
        }
    }
}

/// Whether a record shows the base dead, in the plainest words, without the code under test.
fn shows_dead(record: &[Taken<VoltsReading>]) -> bool {
    let volts = |t: &Taken<VoltsReading>| t.reading.volts.to_f64();
    // 1 % of reading and five counts of 0.1 V, as the made-up testers state it.
    let bound = |t: &Taken<VoltsReading>| 0.01 * volts(t) + 0.5;
    let known = |t: &Taken<VoltsReading>| matches!(t.reading.place, Place::KnownSource { .. });
    let at_base = |t: &Taken<VoltsReading>| zone().holds(&t.reading.place);
    if record.iter().any(|t| at_base(t) && volts(t) - bound(t) >= 50.0) {
        return false;
    }
    let live = |t: &Taken<VoltsReading>| known(t) && volts(t) - bound(t) >= 50.0;
    let points = zone().points(VoltageSystem::Split120_240);
    // Some two checks of one tester, at most ten minutes apart, with every point between them dead
    // by that tester, and nothing not dead read at the point from then on.
    record.iter().filter(|t| live(t)).any(|first| {
        record.iter().filter(|t| live(t)).any(|last| {
            let one = first.reading.instrument == last.reading.instrument
                && first.at.boot == last.at.boot
                && first.at.mono_ms < last.at.mono_ms
                && last.at.mono_ms - first.at.mono_ms <= 600_000;
            one && points.iter().all(|point| {
                record.iter().any(|t| {
                    let dead = |t: &Taken<VoltsReading>| volts(t) + bound(t) <= 5.0;
                    Point::of(&t.reading) == *point
                        && t.reading.instrument == first.reading.instrument
                        && dead(t)
                        && t.at.boot == first.at.boot
                        && first.at.mono_ms < t.at.mono_ms
                        && t.at.mono_ms < last.at.mono_ms
                        && record.iter().all(|other| {
                            Point::of(&other.reading) != *point
                                || dead(other)
                                || (other.at.boot == t.at.boot && other.at.mono_ms < t.at.mono_ms)
                        })
                })
            })
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_proven_is_dead_in_plain_words(
        slips in prop::collection::vec(slip(), 0..4), second: bool,
    ) {
        let mut desk = Desk::new();
        if second {
            let mut other = tester();
            other.id = InstrumentId::new("T2").unwrap();
            desk.instruments.insert(other.id.clone(), other);
        }
        let mut record = whole_proof(&zone(), VoltageSystem::Split120_240, 1000);
        for (number, slip) in slips.iter().enumerate() {
            apply(&mut record, slip, number);
        }
        let proven = matches!(prove_dead(&zone(), &record, desk.with()), DeadProof::Proven(_));
        prop_assert!(!proven || shows_dead(&record), "{slips:?}");
        prop_assert!(proven || !slips.is_empty());
    }
}
