//! Flow: the complex power flow of one pad's secondary.
//!
//! The model: an ideal feeder voltage; a centre-tapped transformer as half windings (series part
//! 0.5 R + j0.8 X on the primary side, R + j0.4 X in each half, so that the whole gives R + jX leg
//! to leg and 1.5 R + j1.2 X leg to neutral; common practice for interlaced windings); cable sets
//! as series R + jX per conductor without mutual coupling; linear loads; the neutral grounded at
//! the pad and at every base, so that a small share returns through earth; insulation and
//! capacitance between conductors, so that what floats shows a ghost voltage to a high-impedance
//! instrument. Feeder impedance is left out: it is small beside the transformer's.
//!
//! Everything is linear and the secondary is a tree, so the state is found exactly: blocks are
//! reduced from the bases to the pad's bus, the bus is solved, and the voltages are carried back.

mod bench;
mod cable;
mod measure;
mod premises;
mod windings;

pub use bench::{Bench, Benches, State};
pub use measure::{Pair, Place, Side};

use crate::conductor::{Conductor, Leg};
use crate::switching::Switching;
use crate::world::{FieldError, World};
use num_complex::Complex64;
use std::collections::BTreeMap;

/// Node order in every block.
pub(crate) const L1: usize = 0;
pub(crate) const L2: usize = 1;
pub(crate) const N: usize = 2;

/// Primary volts to ground over secondary volts leg to neutral: 7200 over 120.
pub(crate) const TURNS: f64 = 60.0;

/// The magnitude of an RMS phasor; platform independent, unlike `Complex::norm`.
pub fn rms(phasor: Complex64) -> f64 {
    libm::sqrt(phasor.norm_sqr())
}

/// Voltages of the three conductors at one place, to remote earth, RMS phasors. The supply of
/// leg 1 has angle 0.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Potentials {
    /// Leg 1, volts to remote earth.
    pub l1: Complex64,
    /// Leg 2, volts to remote earth.
    pub l2: Complex64,
    /// Neutral, volts to remote earth.
    pub n: Complex64,
}

impl Potentials {
    pub(crate) fn of(volts: [Complex64; 3]) -> Self {
        let [l1, l2, n] = volts;
        Self { l1, l2, n }
    }

    /// Leg 1 to neutral, volts.
    pub fn v1n(&self) -> f64 {
        rms(self.l1 - self.n)
    }

    /// Leg 2 to neutral, volts.
    pub fn v2n(&self) -> f64 {
        rms(self.l2 - self.n)
    }

    /// Leg to leg, volts.
    pub fn v12(&self) -> f64 {
        rms(self.l1 - self.l2)
    }

    /// Neutral to an independent ground, volts.
    pub fn n_ground(&self) -> f64 {
        rms(self.n)
    }

    /// One conductor to an independent ground, volts.
    pub fn to_ground(&self, conductor: Conductor) -> f64 {
        rms(match conductor {
            Conductor::L1 => self.l1,
            Conductor::L2 => self.l2,
            Conductor::N => self.n,
        })
    }
}

/// Currents in the three conductors of one set, flowing away from the pad, RMS phasors.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Amps {
    /// Leg 1, amps.
    pub leg1: Complex64,
    /// Leg 2, amps.
    pub leg2: Complex64,
    /// Neutral, amps.
    pub neutral: Complex64,
}

impl Amps {
    pub(crate) fn of(amps: [Complex64; 3]) -> Self {
        let [leg1, leg2, neutral] = amps;
        Self { leg1, leg2, neutral }
    }

    /// One conductor's current.
    pub fn in_conductor(&self, conductor: Conductor) -> Complex64 {
        match conductor {
            Conductor::L1 => self.leg1,
            Conductor::L2 => self.leg2,
            Conductor::N => self.neutral,
        }
    }

    /// What flows through jaws closed round these conductors together, amps. Round all three the
    /// currents cancel but for the share that returns through earth.
    pub fn around(&self, conductors: &[Conductor]) -> f64 {
        rms(conductors.iter().map(|c| self.in_conductor(*c)).sum())
    }

    /// What flows through jaws closed round one leg, amps.
    pub fn leg(&self, leg: Leg) -> f64 {
        rms(self.in_conductor(leg.into()))
    }
}

/// One set's state.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SetFlow {
    /// Currents at its start; exactly zero in a lifted conductor that is not shorted.
    pub amps: Amps,
    /// Voltages of its conductors at its start: of the free ends where lifted.
    pub start: Potentials,
}

/// One service's state at its meter base (or lamp).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BaseFlow {
    /// Line side.
    pub line: Potentials,
    /// Load side; the same as the line side while the meter is in.
    pub load: Potentials,
    /// Currents into the base from its set.
    pub amps: Amps,
}

impl BaseFlow {
    /// Volts across the jaws of one leg; 0 while the meter is in.
    pub fn across_jaws(&self, leg: Leg) -> f64 {
        match leg {
            Leg::L1 => rms(self.line.l1 - self.load.l1),
            Leg::L2 => rms(self.line.l2 - self.load.l2),
        }
    }
}

/// The state of one pad's secondary.
#[derive(Debug, Clone, PartialEq)]
pub struct PadFlow {
    /// The pad.
    pub pad: String,
    /// Voltages at its secondary bus.
    pub bus: Potentials,
    /// Currents from the transformer into the bus.
    pub transformer: Amps,
    /// Current from the pad's neutral into earth, amps.
    pub earth: Complex64,
    /// Volts to ground on the primary bushing; on a dead pad, what feeds back through the
    /// transformer.
    pub primary_volts: f64,
    /// Every set that hangs on this pad, those beyond a junction among them, by id.
    pub sets: BTreeMap<String, SetFlow>,
    /// Every service that hangs on this pad, by id.
    pub services: BTreeMap<String, BaseFlow>,
}

impl PadFlow {
    /// One set's state.
    pub fn set(&self, id: &str) -> Result<&SetFlow, FieldError> {
        self.sets.get(id).ok_or_else(|| FieldError::UnknownSet(id.to_owned()))
    }

    /// One service's state.
    pub fn service(&self, id: &str) -> Result<&BaseFlow, FieldError> {
        self.services.get(id).ok_or_else(|| FieldError::UnknownService(id.to_owned()))
    }

    /// The largest leg current of any other set, amps: what may disturb a clamp on this one.
    pub fn neighbour_amps(&self, set: &str) -> f64 {
        most_leg_amps(self.sets.iter().filter(|(id, _)| id.as_str() != set).map(|(_, flow)| flow))
    }
}

/// The largest leg current among sets, amps.
fn most_leg_amps<'a>(sets: impl Iterator<Item = &'a SetFlow>) -> f64 {
    sets.flat_map(|flow| [rms(flow.amps.leg1), rms(flow.amps.leg2)]).fold(0.0, f64::max)
}

/// What one solution is asked for.
pub(crate) struct Moment<'a> {
    switching: &'a Switching,
    t_s: f64,
    probe: Option<measure::Probe<'a>>,
}

impl World {
    /// The state of a pad's secondary at `t_s` seconds. Fails for a pad or set that does not
    /// exist and for a secondary that is not a tree; ids in `switching` that do not exist are
    /// without effect. Who asks one pad many times makes a [`Bench`] of it once.
    pub fn flow(&self, pad: &str, t_s: f64, switching: &Switching) -> Result<PadFlow, FieldError> {
        Ok(Bench::of(self, pad)?.state(t_s, switching)?.named())
    }
}
