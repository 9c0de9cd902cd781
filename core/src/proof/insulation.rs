//! Insulation of the lifted conductors before they are landed: no short before closing in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Judging;
use crate::{
    plant::{Conductor, Pair},
    quantity::{EventId, in_ohms},
    reading::{Moment, OhmsReading, Taken, judge_ohms},
};

/// One insulation reading, and whether nothing was connected at either end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insulated<'a> {
    /// The reading.
    pub taken: &'a Taken<OhmsReading>,
    /// Whether both ends were free.
    pub both_ends_free: bool,
}

/// What the insulation of a set comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "outcome", deny_unknown_fields)]
pub enum Insulation {
    /// Every pair stands above the floor.
    Sound {
        /// Legs whose insulation to neutral is far below the best leg's: look at both.
        look_at: Vec<Pair>,
        /// What it rests on.
        readings: Vec<EventId>,
    },
    /// Some pair is not surely above the floor.
    Low {
        /// Which.
        pairs: Vec<Pair>,
    },
    /// Not shown yet.
    Missing {
        /// Everything that is missing.
        missing: Vec<MissingInsulation>,
    },
}

/// One thing the insulation readings lack.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "lacks", deny_unknown_fields)]
pub enum MissingInsulation {
    /// A pair was not read.
    NotRead {
        /// Which.
        between: Pair,
    },
    /// A pair was read with something connected at an end.
    EndsNotFree {
        /// Which.
        between: Pair,
    },
    /// Something is held against the reading of a pair.
    NotCounted {
        /// Which.
        between: Pair,
        /// What, by id.
        why: Vec<String>,
    },
}

impl Insulation {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::Sound { .. } => "insulation-sound",
            Self::Low { .. } => "insulation-low",
            Self::Missing { .. } => "insulation-missing",
        }
    }
}

/// Judges the insulation of a lifted set: every leg to neutral and every two legs, both ends free.
///
/// Old buried cable reads far below new equipment and is still sound: the floor is low, and legs
/// are compared with each other. The last reading of a pair counts.
pub fn judge_insulation(readings: &[Insulated<'_>], with: Judging<'_>) -> Insulation {
    let (mut missing, mut low, mut used) = (Vec::new(), Vec::new(), Vec::new());
    let mut to_neutral: Vec<(Pair, f64)> = Vec::new();
    let floor = with.rules.insulation_least_megohms.to_f64();
    for between in pairs(with) {
        let of_pair = |r: &&Insulated<'_>| {
            let Pair(one, other) = r.taken.reading.between;
            Pair::of(one, other) == Some(between)
        };
        let Some(last) = readings.iter().rev().find(of_pair) else {
            missing.push(MissingInsulation::NotRead { between });
            continue;
        };
        if !last.both_ends_free {
            missing.push(MissingInsulation::EndsNotFree { between });
            continue;
        }
        let taken = last.taken;
        let judged = judge_ohms(
            &taken.reading,
            with.instruments.get(&taken.reading.instrument),
            Moment {
                now: &taken.at,
                taken: &taken.at,
                proven: with.proven.get(&taken.reading.instrument),
                window: with.rules.proof_window(),
            },
            with.rules,
        );
        if !judged.validation.is_accepted() {
            let why = judged.validation.ids().into_iter().map(str::to_owned).collect();
            missing.push(MissingInsulation::NotCounted { between, why });
            continue;
        }
        used.push(taken.event.clone());
        if in_ohms(judged.bound.least()) / 1e6 < floor {
            low.push(between);
        }
        if between.1 == Conductor::N {
            to_neutral.push((between, in_ohms(judged.bound.value)));
        }
    }
    if !low.is_empty() {
        return Insulation::Low { pairs: low };
    }
    if !missing.is_empty() {
        return Insulation::Missing { missing };
    }
    let best = to_neutral.iter().map(|(_, value)| *value).fold(0.0, f64::max);
    let ratio = with.rules.insulation_most_ratio.to_f64();
    let worse = to_neutral.iter().filter(|(_, value)| value * ratio < best);
    Insulation::Sound { look_at: worse.map(|(pair, _)| *pair).collect(), readings: used }
}

/// Every leg to neutral, and every two legs.
fn pairs(with: Judging<'_>) -> impl Iterator<Item = Pair> {
    with.system.pairs_to_test().into_iter().filter(|pair| pair.1 != Conductor::G)
}

#[cfg(test)]
mod tests {
    use super::{super::example::Desk, *};
    use crate::{
        plant::Conductor::{L1, L2, N},
        quantity::InstrumentId,
        reading::{
            InstrumentClass,
            example::{at, instrument, taken},
        },
    };

    fn check(shown: [Option<&str>; 3], free: bool, wanted: &Insulation) {
        let mut desk = Desk::new();
        let mega = instrument("M1", InstrumentClass::InsulationTester, "1000");
        desk.proven.insert(mega.id.clone(), at(0));
        desk.instruments.insert(mega.id.clone(), mega);
        let between = [Pair(L1, L2), Pair(L1, N), Pair(L2, N)];
        let all: Vec<_> = (0..3)
            .filter_map(|i| {
                let reading = OhmsReading {
                    between: between[i],
                    megohms: shown[i]?.parse().unwrap(),
                    instrument: InstrumentId::new("M1").unwrap(),
                };
                Some(taken(i, 10, reading))
            })
            .collect();
        let all: Vec<_> =
            all.iter().map(|taken| Insulated { taken, both_ends_free: free }).collect();
        let found = judge_insulation(&all, desk.with());
        assert_eq!(found.id(), wanted.id(), "{shown:?}");
        match (&found, wanted) {
            (Insulation::Sound { look_at, .. }, Insulation::Sound { look_at: wanted, .. }) => {
                assert_eq!(look_at, wanted);
            }
            _ => assert_eq!(&found, wanted),
        }
    }

    #[test]
    fn legs_are_compared_and_old_cable_is_sound() {
        let sound = |look_at| Insulation::Sound { look_at, readings: vec![] };
        check([Some("40"), Some("35"), Some("38")], true, &sound(vec![]));
        check([Some("4"), Some("3"), Some("3")], true, &sound(vec![]));
        check([Some("40"), Some("3"), Some("38")], true, &sound(vec![Pair(L1, N)]));
    }

    #[test]
    fn a_pair_not_surely_above_the_floor_is_low() {
        let low = |pairs| Insulation::Low { pairs };
        check([Some("40"), Some("0"), Some("38")], true, &low(vec![Pair(L1, N)]));
        check([Some("1.4"), Some("40"), Some("38")], true, &low(vec![Pair(L1, L2)]));
    }

    #[test]
    fn what_is_missing_is_named() {
        let missing = |missing| Insulation::Missing { missing };
        check(
            [Some("40"), None, Some("38")],
            true,
            &missing(vec![MissingInsulation::NotRead { between: Pair(L1, N) }]),
        );
        let all = [Pair(L1, L2), Pair(L1, N), Pair(L2, N)];
        let ends = |&between| MissingInsulation::EndsNotFree { between };
        check([Some("40"); 3], false, &missing(all.iter().map(ends).collect()));
        let why = vec!["reading-outside-range".to_owned()];
        check(
            [Some("2000"), Some("40"), Some("38")],
            true,
            &missing(vec![MissingInsulation::NotCounted { between: Pair(L1, L2), why }]),
        );
    }
}
