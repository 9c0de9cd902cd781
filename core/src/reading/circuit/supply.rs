//! Voltages of a whole supply against what its voltage system can be.

use std::collections::BTreeMap;

use super::{law_broken, spans};
use crate::{
    plant::{Band, Conductor, Pair, VoltageSystem},
    quantity::{Bounded, Voltage, in_volts, volts},
    reading::{InBand, in_band, reasons},
    rule_sheet::RuleSheet,
};

reasons! {
    /// What all voltages of a supply say together that none of them says alone.
    pub enum SupplySign {
        OpenNeutral = "circuit-open-neutral":
            "Right from leg to leg and wrong from a leg to neutral: the neutral floats.";
        WeakLeg = "circuit-weak-leg":
            "Every pair with one leg is low and the others are right: a poor joint or an open leg.";
        ThirdOfATurn = "circuit-third-of-a-turn":
            "Right to neutral, and the legs stand a third of a turn apart where the record has them
             opposite: two legs of a wye.";
        Opposite = "circuit-opposite":
            "Right to neutral, and the legs stand opposite where the record has a wye.";
        HighLeg = "circuit-high-leg":
            "The high leg of a four-wire delta is on another terminal than the record has it.";
    }
}

/// How far from its nominal angle a leg may stand, degrees. Loads and unlike drops turn legs by a few
/// (common practice, no source); the systems themselves differ by thirty and more.
const TURN: f64 = 10.0;

/// What the voltages at the service say about the supply. Nothing is said before every pair of legs
/// and every leg to neutral is read, nothing of readings that cannot be so together, and nothing that
/// a limit of error could undo. Several readings of a pair count with everything between the least
/// and the most that any of them allows.
pub fn supply_signs(
    readings: &[(Pair, Bounded<Voltage>)],
    system: VoltageSystem,
) -> Vec<SupplySign> {
    let Some(supply) = Supply::of(readings, system) else { return Vec::new() };
    let signs = [
        (supply.high_leg_elsewhere(), SupplySign::HighLeg),
        (supply.neutral_floats(), SupplySign::OpenNeutral),
        (supply.weak_leg(), SupplySign::WeakLeg),
        (supply.stands_at(120.0), SupplySign::ThirdOfATurn),
        (supply.stands_at(180.0), SupplySign::Opposite),
    ];
    let mut said: Vec<SupplySign> =
        signs.into_iter().filter(|(is_so, _)| *is_so).map(|(_, sign)| sign).collect();
    // A high leg on another terminal looks like a floating neutral, and is not one.
    if said.contains(&SupplySign::HighLeg) {
        said.retain(|sign| *sign != SupplySign::OpenNeutral);
    }
    said
}

/// Every pair of a supply that was read, leg to leg and leg to neutral.
struct Supply {
    system: VoltageSystem,
    pairs: BTreeMap<Pair, Bounded<Voltage>>,
}

impl Supply {
    fn of(readings: &[(Pair, Bounded<Voltage>)], system: VoltageSystem) -> Option<Self> {
        let spans = spans(readings);
        if !law_broken(&spans).is_empty() {
            return None;
        }
        let wanted = system.pairs_to_test().into_iter().filter(|pair| pair.1 != Conductor::G);
        let pairs = wanted
            .map(|pair| spans.get(&pair).map(|&(least, most)| (pair, between(least, most))))
            .collect::<Option<_>>()?;
        Some(Self { system, pairs })
    }

    fn says(&self, pair: Pair) -> Option<InBand> {
        Some(in_band(*self.pairs.get(&pair)?, self.system.service_band(pair)?))
    }

    fn to_neutral(&self) -> impl Iterator<Item = Pair> {
        self.system.legs().iter().map(|&leg| Pair(leg, Conductor::N))
    }

    fn leg_to_leg(&self) -> impl Iterator<Item = Pair> {
        self.pairs.keys().copied().filter(|pair| pair.1.is_leg())
    }

    fn is_low(&self, pair: Pair) -> bool {
        let low = |band: Band| self.pairs.get(&pair).is_some_and(|read| read.most() < band.least);
        self.system.service_band(pair).is_some_and(low)
    }

    /// With an open neutral the loads of the legs stand in series between them: leg to leg stays,
    /// and the legs part (6 A beside 4 A at 120 V: 96 and 144 V).
    fn neutral_floats(&self) -> bool {
        let right = |pair| self.says(pair) == Some(InBand::Inside);
        let wrong = |pair| self.says(pair) == Some(InBand::Outside);
        self.leg_to_leg().all(right) && self.to_neutral().any(wrong)
    }

    /// One leg is low against everything, and what does without it is not.
    fn weak_leg(&self) -> bool {
        let with = |leg, pair: Pair| pair.0 == leg || pair.1 == leg;
        let weak = |&leg: &Conductor| {
            self.pairs.keys().all(|&pair| {
                if with(leg, pair) {
                    self.is_low(pair)
                } else {
                    self.says(pair) == Some(InBand::Inside)
                }
            })
        };
        self.system.legs().iter().any(weak)
    }

    /// Some two legs stand at this angle though the system has them at another: right to neutral, and
    /// from leg to leg what the phasors of this angle give and those of the system's own do not.
    fn stands_at(&self, degrees: f64) -> bool {
        let right =
            |leg| self.says(Pair(leg, Conductor::N)).is_some_and(|says| says != InBand::Outside);
        self.leg_to_leg().any(|pair| {
            let expected = self.system.degrees_apart(pair);
            expected.is_some_and(|own| {
                (own - degrees).abs() > 2.0 * TURN
                    && right(pair.0)
                    && right(pair.1)
                    && !self.agrees(pair, own)
                    && self.agrees(pair, degrees)
            })
        })
    }

    /// Whether a voltage from leg to leg can be what two voltages to neutral give at this angle.
    fn agrees(&self, pair: Pair, degrees: f64) -> bool {
        let read =
            |pair| self.pairs.get(&pair).map(|read: &Bounded<Voltage>| (read.least(), read.most()));
        let neutral = Conductor::N;
        let (Some(one), Some(other), Some(across)) =
            (read(Pair(pair.0, neutral)), read(Pair(pair.1, neutral)), read(pair))
        else {
            return false;
        };
        let least = third_side(one.0, other.0, degrees - TURN);
        let most = third_side(one.1, other.1, (degrees + TURN).min(180.0));
        in_volts(across.0) <= most && in_volts(across.1) >= least
    }

    /// A leg other than L3 reads to neutral as a high leg does, and L3 as the others do.
    fn high_leg_elsewhere(&self) -> bool {
        let near = |pair: Pair, as_pair: Pair| {
            let band = self.system.service_band(as_pair);
            let read = self.pairs.get(&pair);
            band.zip(read).is_some_and(|(band, read)| in_band(*read, band) != InBand::Outside)
        };
        let [l1, l2, l3] =
            [Conductor::L1, Conductor::L2, Conductor::L3].map(|leg| Pair(leg, Conductor::N));
        self.system == VoltageSystem::Delta120_240 && near(l3, l1) && (near(l1, l3) || near(l2, l3))
    }
}

/// The voltage between the ends of two phasors, volts. It grows with each of them and with the angle
/// from a quarter of a turn on, so corners of limits give the limits of it.
fn third_side(one: Voltage, other: Voltage, degrees: f64) -> f64 {
    let (one, other) = (in_volts(one), in_volts(other));
    let square = one * one + other * other - 2.0 * one * other * libm::cos(degrees.to_radians());
    libm::sqrt(square.max(0.0))
}

fn between(least: f64, most: f64) -> Bounded<Voltage> {
    Bounded {
        value: volts(f64::midpoint(least, most)),
        limit_of_error: volts((most - least) / 2.0),
    }
}

/// What the legs of a split-phase service say about its neutral, beside the rule sheet's limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NeutralSign {
    /// The legs are near each other and inside Range A.
    Balanced,
    /// They differ, or one is outside Range A while the sum is right: look further, repeat under a
    /// known load.
    Look,
    /// They part so far that the neutral may be open: a stop.
    Stop,
}

/// Judges the two legs to neutral of a 120/240 V service by how far they part.
///
/// The limits are proposals derived from that arithmetic; no standard was found. They are compared
/// with the readings as they stand, without guard band, because a supply is judged so by utilities.
pub fn neutral_sign(one: Voltage, other: Voltage, rules: &RuleSheet) -> NeutralSign {
    let apart = (one.abs() - other.abs()).abs();
    let system = VoltageSystem::Split120_240;
    let leg = Pair(Conductor::L1, Conductor::N);
    let inside = |band: Option<Band>| {
        band.is_some_and(|band| [one, other].into_iter().all(|leg| band.holds(leg)))
    };
    if inside(system.service_band(leg)) && apart <= rules.leg_difference_note() {
        NeutralSign::Balanced
    } else if inside(system.range_b(leg)) && apart <= rules.leg_difference_stop() {
        NeutralSign::Look
    } else {
        NeutralSign::Stop
    }
}

#[cfg(test)]
mod tests;
