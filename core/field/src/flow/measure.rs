//! Measuring a voltage with an instrument that draws current: its input resistance is part of
//! the circuit, so that a ghost voltage collapses under a low-impedance tester.

use super::{Bench, L1, L2, N, State};
use crate::block::Block;
use crate::conductor::Leg;
use crate::switching::Switching;
use crate::world::{FieldError, World};
use num_complex::Complex64;

/// Where a voltage is measured.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// On the secondary bus of a pad.
    Bus {
        /// The pad.
        pad: String,
    },
    /// On the conductors of a set where it starts, in a pad or a pedestal: the free ends where
    /// lifted.
    SetStart {
        /// The set.
        set: String,
    },
    /// At a meter base.
    Base {
        /// The service.
        service: String,
        /// Which side of the jaws.
        side: Side,
    },
}

/// The side of a meter base.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// The utility's side.
    Line,
    /// The customer's side.
    Load,
}

/// Between what a voltage is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pair {
    /// A leg and the neutral.
    LegNeutral(Leg),
    /// The two legs.
    LegLeg,
    /// A leg and an independent ground.
    LegGround(Leg),
    /// The neutral and an independent ground.
    NeutralGround,
    /// The line and load jaw of one leg; at a base only (the side does not matter).
    Jaws(Leg),
}

/// An instrument's input connected somewhere.
pub(crate) struct Probe<'a> {
    place: &'a Place,
    pair: Pair,
    siemens: Complex64,
}

fn node(leg: Leg) -> usize {
    match leg {
        Leg::L1 => L1,
        Leg::L2 => L2,
    }
}

impl<'a> Probe<'a> {
    pub(super) fn new(place: &'a Place, pair: Pair, input_ohms: f64) -> Result<Self, FieldError> {
        if matches!(pair, Pair::Jaws(_)) && !matches!(place, Place::Base { .. }) {
            return Err(FieldError::NoSuchPair);
        }
        Ok(Self { place, pair, siemens: Complex64::new(1.0 / input_ohms, 0.0) })
    }

    fn load<const M: usize>(&self, block: &mut Block<M>, legs: [usize; 2]) {
        let [first, second] = legs;
        let at = |leg| match leg {
            Leg::L1 => first,
            Leg::L2 => second,
        };
        match self.pair {
            Pair::LegNeutral(leg) => block.join(at(leg), N, self.siemens),
            Pair::LegLeg => block.join(first, second, self.siemens),
            Pair::LegGround(leg) => block.ground(at(leg), self.siemens),
            Pair::NeutralGround => block.ground(N, self.siemens),
            Pair::Jaws(leg) => block.join(node(leg), at(leg), self.siemens),
        }
    }

    pub(super) fn load_start(&self, set: &str, block: &mut Block<3>) {
        match self.place {
            Place::SetStart { set: id } if id == set => self.load(block, [L1, L2]),
            _ => {}
        }
    }

    /// Connects it at a base; `load_side` are the nodes of the load side's legs.
    pub(super) fn load_base<const M: usize>(
        &self,
        service: &str,
        block: &mut Block<M>,
        load_side: [usize; 2],
    ) {
        match self.place {
            Place::Base { service: id, side } if id == service => {
                let across_jaws = matches!(self.pair, Pair::Jaws(_));
                let legs = if *side == Side::Line && !across_jaws { [L1, L2] } else { load_side };
                self.load(block, legs);
            }
            _ => {}
        }
    }
}

impl World {
    /// The true volts that stand between `pair` at `place` while an instrument of `input_ohms`
    /// is connected there (about 1e7 for an ordinary multimeter, some thousands for a
    /// low-impedance tester). RMS, never negative.
    pub fn volts(
        &self,
        place: &Place,
        pair: Pair,
        input_ohms: f64,
        t_s: f64,
        switching: &Switching,
    ) -> Result<f64, FieldError> {
        let pad = match place {
            Place::Bus { pad } => pad,
            Place::SetStart { set } => self.pad_above(set)?,
            Place::Base { service, .. } => self.pad_of(service)?,
        };
        Bench::of(self, pad)?.volts(place, pair, input_ohms, t_s, switching)
    }
}

impl State<'_> {
    /// What stands between `pair` at `place` in this state, volts.
    pub(super) fn volts(&self, place: &Place, pair: Pair) -> Result<f64, FieldError> {
        let at = match place {
            Place::Bus { .. } => self.bus,
            Place::SetStart { set } => self.set(set)?.start,
            Place::Base { service, side: Side::Line } => self.service(service)?.line,
            Place::Base { service, side: Side::Load } => self.service(service)?.load,
        };
        Ok(match (pair, place) {
            (Pair::LegNeutral(Leg::L1), _) => at.v1n(),
            (Pair::LegNeutral(Leg::L2), _) => at.v2n(),
            (Pair::LegLeg, _) => at.v12(),
            (Pair::LegGround(leg), _) => at.to_ground(leg.into()),
            (Pair::NeutralGround, _) => at.n_ground(),
            (Pair::Jaws(leg), Place::Base { service, .. }) => {
                self.service(service)?.across_jaws(leg)
            }
            (Pair::Jaws(_), _) => return Err(FieldError::NoSuchPair),
        })
    }
}
