//! Currents of one cable set against each other.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{Bounded, Current, in_amps};

/// What the current of a neutral says beside those of its legs, read together.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum NeutralCurrent {
    /// As much as its legs can send back through it, limits of error included.
    WithinLegs,
    /// More than the legs can send: a neighbour's return, or one by earth, pipe or shield. It decides
    /// nothing, and says that the neutral stays hazardous after `dead`.
    OtherReturn,
    /// Less than the legs must send: part of it goes home another way, the neutral is poor, or the
    /// jaws did not close on it. It decides nothing either.
    MissingReturn,
}

impl NeutralCurrent {
    /// The id of its sentence; none: nothing is to be said.
    pub const fn id(self) -> Option<&'static str> {
        match self {
            Self::WithinLegs => None,
            Self::OtherReturn => Some("circuit-other-return"),
            Self::MissingReturn => Some("circuit-missing-return"),
        }
    }
}

/// Compares a neutral's current with its legs': two, or three.
///
/// The bounds are those of a polygon whose sides are the currents: no more than all legs together, no
/// less than the largest leg less all others (for two legs | |I1| - |I2| | and I1 + I2). They hold
/// for any power factor and any harmonics, since sizes of alternating currents add so.
///
/// Legs a third of a turn apart (208Y, 480Y) do not narrow them: with sine waves and even loads the
/// phasors cancel to nothing, and with the third harmonics of electronic loads, which stand in phase
/// on all three legs, as much as the sum of the legs flows in the neutral.
pub fn neutral_current(legs: &[Bounded<Current>], neutral: Bounded<Current>) -> NeutralCurrent {
    let spans: Vec<(f64, f64)> = legs.iter().copied().map(span).collect();
    let all: f64 = spans.iter().map(|(_, most)| most).sum();
    // What one leg must send back though all others take as much of it as they can.
    let left = spans.iter().map(|(least, most)| least - (all - most));
    let least = left.fold(0.0, f64::max);
    let (least_of_neutral, most_of_neutral) = span(neutral);
    if least_of_neutral > all {
        NeutralCurrent::OtherReturn
    } else if most_of_neutral < least {
        NeutralCurrent::MissingReturn
    } else {
        NeutralCurrent::WithinLegs
    }
}

/// The least and the most amps that a reading allows, as sizes.
fn span(current: Bounded<Current>) -> (f64, f64) {
    let (size, error) = (in_amps(current.value).abs(), in_amps(current.limit_of_error).max(0.0));
    ((size - error).max(0.0), size + error)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use proptest::prelude::*;

    use super::*;
    use crate::quantity::amps;

    fn read(amps_shown: f64) -> Bounded<Current> {
        Bounded { value: amps(amps_shown), limit_of_error: amps(0.5) }
    }

    fn check(legs: &[f64], neutral: f64, wanted: NeutralCurrent) {
        let legs: Vec<_> = legs.iter().copied().map(read).collect();
        assert_eq!(neutral_current(&legs, read(neutral)), wanted, "{legs:?} {neutral}");
    }

    #[test]
    fn a_neutral_carries_what_its_legs_can_send() {
        check(&[10.0, 4.0], 6.0, NeutralCurrent::WithinLegs);
        check(&[10.0, 4.0], 14.9, NeutralCurrent::WithinLegs);
        check(&[10.0, 4.0], 15.6, NeutralCurrent::OtherReturn);
        check(&[10.0, 4.0], 3.0, NeutralCurrent::MissingReturn);
        check(&[0.0, 0.0], 2.0, NeutralCurrent::OtherReturn);
        check(&[0.0, 0.0], 1.4, NeutralCurrent::WithinLegs);
        check(&[], 0.4, NeutralCurrent::WithinLegs);
    }

    #[test]
    fn three_legs_may_cancel_and_may_add_up() {
        check(&[20.0, 20.0, 20.0], 0.0, NeutralCurrent::WithinLegs);
        check(&[20.0, 20.0, 20.0], 58.0, NeutralCurrent::WithinLegs);
        check(&[20.0, 20.0, 20.0], 63.0, NeutralCurrent::OtherReturn);
        check(&[40.0, 5.0, 5.0], 27.0, NeutralCurrent::MissingReturn);
        check(&[40.0, 5.0, 5.0], 29.0, NeutralCurrent::WithinLegs);
    }

    /// Size of a sum of phasors.
    fn sum(phasors: &[(f64, f64)]) -> f64 {
        let re: f64 = phasors.iter().map(|(size, turn)| size * turn.cos()).sum();
        let im: f64 = phasors.iter().map(|(size, turn)| size * turn.sin()).sum();
        re.hypot(im)
    }

    proptest! {
        /// Legs of a wye with any power factors, each with a third harmonic in phase with the others',
        /// read within their limits: the neutral is never said to carry anything else.
        #[test]
        fn a_wyes_true_currents_are_within_its_legs(
            first in prop::array::uniform3(0.0..100.0_f64),
            lag in prop::array::uniform3(-0.5..1.2_f64),
            third in prop::array::uniform3(0.0..60.0_f64),
            off in prop::array::uniform4(-0.5..0.5_f64),
            legs in 2_usize..=3,
        ) {
            let at = |i: usize| [0.0, TAU / 3.0, 2.0 * TAU / 3.0][i] - lag[i];
            let parts: Vec<(f64, f64)> = (0..legs).map(|i| (first[i], at(i))).collect();
            let harmonic: f64 = third[..legs].iter().sum();
            let neutral = sum(&parts).hypot(harmonic);
            let read_legs: Vec<_> =
                (0..legs).map(|i| read(first[i].hypot(third[i]) + off[i])).collect();
            let said = neutral_current(&read_legs, read((neutral + off[3]).max(0.0)));
            prop_assert_eq!(said, NeutralCurrent::WithinLegs);
        }

        #[test]
        fn true_currents_of_two_legs_are_within_them(
            a in 0.0..100.0_f64, b in 0.0..100.0_f64, turn in 0.0..TAU,
            off in prop::array::uniform3(-0.5..0.5),
        ) {
            let neutral = sum(&[(a, 0.0), (b, turn)]);
            let legs = [read(a + off[0]), read(b + off[1])];
            prop_assert_eq!(
                neutral_current(&legs, read(neutral + off[2])), NeutralCurrent::WithinLegs
            );
        }

        #[test]
        fn more_error_says_less_and_the_names_of_legs_say_nothing(
            legs in prop::collection::vec(0.0..100.0_f64, 0..4), neutral in 0.0..200.0_f64,
            more in 0.0..20.0_f64, turn in 0_usize..3,
        ) {
            let wider = |mut one: Bounded<Current>| {
                one.limit_of_error += amps(more);
                one
            };
            let one: Vec<_> = legs.iter().copied().map(read).collect();
            let said = neutral_current(&one, read(neutral));
            let wide: Vec<_> = one.iter().copied().map(wider).collect();
            let after = neutral_current(&wide, wider(read(neutral)));
            prop_assert!(after == said || after == NeutralCurrent::WithinLegs);
            let mut turned = one.clone();
            turned.rotate_left(turn.min(one.len()));
            prop_assert_eq!(neutral_current(&turned, read(neutral)), said);
        }
    }
}
