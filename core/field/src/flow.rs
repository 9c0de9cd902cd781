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

mod fold;
mod measure;
mod premises;

pub use measure::{Pair, Place, Side};

use crate::block::Block;
use crate::conductor::{Conductor, Leg};
use crate::load::NOMINAL_LEG_VOLTS;
use crate::switching::Switching;
use crate::world::{FieldError, Pad, World};
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
        self.sets
            .iter()
            .filter(|(id, _)| id.as_str() != set)
            .flat_map(|(_, flow)| [rms(flow.amps.leg1), rms(flow.amps.leg2)])
            .fold(0.0, f64::max)
    }
}

/// What one solution is asked for.
pub(crate) struct Moment<'a> {
    pub(crate) world: &'a World,
    pub(crate) switching: &'a Switching,
    pub(crate) t_s: f64,
    pub(crate) probe: Option<measure::Probe<'a>>,
}

impl World {
    /// The state of a pad's secondary at `t_s` seconds. Fails for a pad or set that does not
    /// exist and for a secondary that is not a tree; ids in `switching` that do not exist are
    /// without effect.
    pub fn flow(&self, pad: &str, t_s: f64, switching: &Switching) -> Result<PadFlow, FieldError> {
        solve(self.pad(pad)?, &Moment { world: self, switching, t_s, probe: None })
    }
}

/// The transformer seen from its secondary, and what its primary carries.
struct Windings {
    /// Half winding, ohms.
    half: Complex64,
    /// Primary side, ohms referred to one half.
    primary: Complex64,
    /// Open-circuit volts of a half.
    volts: Complex64,
}

impl Windings {
    fn of(pad: &Pad, t_s: f64, live: bool) -> Self {
        let base_ohms = NOMINAL_LEG_VOLTS * NOMINAL_LEG_VOLTS / (pad.kva * 1000.0);
        let z = pad.percent_z / 100.0 * base_ohms;
        let r = z / libm::sqrt(1.0 + pad.x_over_r * pad.x_over_r);
        let x = r * pad.x_over_r;
        // Supply drifts by 0.3 % over some 20 minutes (invented).
        let drift = 1.0 + 0.003 * libm::sin(core::f64::consts::TAU * t_s / 1_260.0);
        let half = Complex64::new(r, 0.4 * x);
        if live {
            let volts = Complex64::new(pad.supply_volts * drift, 0.0);
            Self { half, primary: Complex64::new(0.5 * r, 0.8 * x), volts }
        } else {
            // Primary open: only the magnetizing branch, 0.5 % of rated amps (from memory).
            let primary = Complex64::new(0.0, base_ohms / 0.005);
            Self { half, primary, volts: Complex64::ZERO }
        }
    }

    fn block(&self) -> Option<Block<3>> {
        let sum = self.half + self.primary;
        let determinant = sum * sum - self.primary * self.primary;
        if determinant.norm_sqr() <= 0.0 {
            return None;
        }
        let (own, mutual) = (sum / determinant, self.primary / determinant);
        let mut block = Block::<3>::default();
        for (leg, other) in [(L1, L2), (L2, L1)] {
            block.add_entry(leg, leg, own);
            block.add_entry(leg, other, mutual);
            block.add_entry(leg, N, -own - mutual);
            block.add_entry(N, leg, -own - mutual);
        }
        block.add_entry(N, N, (own + mutual) * 2.0);
        let drive = self.volts * (own - mutual);
        block.drive(N, L1, drive);
        block.drive(L2, N, drive);
        Some(block)
    }
}

pub(crate) fn solve(pad: &Pad, moment: &Moment<'_>) -> Result<PadFlow, FieldError> {
    let no_state = || FieldError::NoState(pad.id.clone());
    let live = !moment.switching.dead_pads.contains(&pad.id);
    let windings = Windings::of(pad, moment.t_s, live);
    let source = windings.block().ok_or_else(no_state)?;
    let ground = Complex64::new(1.0 / pad.ground_ohms, 0.0);
    let mut bus = source;
    bus.ground(N, ground);
    let mut branches = Vec::with_capacity(pad.sets.len());
    for set in &pad.sets {
        let branch = fold::fold(moment, set, live, 0).map_err(|e| e.unwrap_or_else(no_state))?;
        bus.add(&branch.at_start);
        branches.push(branch);
    }
    let volts = bus.solve().ok_or_else(no_state)?;
    let mut flow = PadFlow {
        pad: pad.id.clone(),
        bus: Potentials::of(volts),
        transformer: Amps::of(source.amps_in(volts).map(|amps| -amps)),
        earth: volts.last().map_or(Complex64::ZERO, |n| *n * ground),
        primary_volts: 0.0,
        sets: BTreeMap::new(),
        services: BTreeMap::new(),
    };
    let half_volts =
        windings.volts - windings.primary * (flow.transformer.leg1 - flow.transformer.leg2);
    flow.primary_volts = TURNS * if live { rms(windings.volts) } else { rms(half_volts) };
    for branch in &branches {
        branch.unfold(volts, &mut flow);
    }
    Ok(flow)
}
