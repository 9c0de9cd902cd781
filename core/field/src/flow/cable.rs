//! One cable set of a bench: what of it does not change with time or switching.

use super::{L1, L2, N};
use crate::block::Block;
use crate::conductor::{ohms_per_metre, reactance_per_metre};
use crate::load::NOMINAL_LEG_VOLTS;
use crate::world::{CableSet, Start};
use num_complex::Complex64;

/// Angular frequency at 60 Hz.
const OMEGA: f64 = core::f64::consts::TAU * 60.0;
/// Capacitance between a leg and the neutral of a set, farads per metre (from memory, order only).
const LEG_NEUTRAL_FARADS: f64 = 120e-12;
/// Capacitance between the legs of a set, farads per metre (from memory, order only).
const LEG_LEG_FARADS: f64 = 60e-12;
/// Capacitance between the neutral of a set and the soil, farads per metre (from memory, order
/// only).
const NEUTRAL_SOIL_FARADS: f64 = 100e-12;
/// Leakage between two conductors, siemens: 100 megohm.
const LEAK_SIEMENS: f64 = 1e-8;
/// A short made with a jumper, siemens: a milliohm.
pub(super) const SHORT_SIEMENS: f64 = 1_000.0;

/// What hangs on the far end of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Beyond {
    /// Nothing: a stub.
    Nothing,
    /// The base of this number.
    Base(usize),
    /// Other sets, gathered in the meeting point of this number.
    Sets(usize),
}

/// A cable set.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cable {
    pub(super) id: String,
    /// The cable that it starts from, by number; none at the pad's lugs.
    pub(super) parent: Option<usize>,
    pub(super) beyond: Beyond,
    /// Series impedance of each conductor.
    pub(super) ohms: Complex64,
    pub(super) neutral_broken: bool,
    live: Block<3>,
    dead: Block<3>,
}

impl Cable {
    pub(super) fn of(set: &CableSet, parent: Option<usize>, beyond: Beyond) -> Self {
        let dead = insulation(set);
        let mut live = dead;
        if let Start::Pad { .. } = set.from {
            couple_to_trench(&mut live, set);
        }
        let (id, ohms) = (set.id.clone(), series_ohms(set));
        Self { id, parent, beyond, ohms, neutral_broken: set.neutral_broken, live, dead }
    }

    /// What loads its far end by itself, with the pad live or dead.
    pub(super) fn own(&self, pad_live: bool) -> &Block<3> {
        if pad_live { &self.live } else { &self.dead }
    }

    /// The voltages at its far end.
    pub(super) fn far(&self, volts: [Complex64; 3], amps: [Complex64; 3]) -> [Complex64; 3] {
        let [l1, l2, n] = volts;
        let [a1, a2, an] = amps;
        [l1 - a1 * self.ohms, l2 - a2 * self.ohms, n - an * self.ohms]
    }
}

/// Series impedance of one conductor over all sections, all its runs side by side, ohms.
fn series_ohms(set: &CableSet) -> Complex64 {
    let one_run: Complex64 = set
        .sections
        .iter()
        .map(|s| {
            let r = ohms_per_metre(s.metal, s.size) * s.length_m;
            Complex64::new(r, reactance_per_metre(s.size) * s.length_m)
        })
        .sum();
    one_run / f64::from(set.runs.max(1))
}

/// Capacitance and leakage between the conductors of a set and to the soil, lumped at its far
/// end. The last is what a cable lifted on all three conductors still hangs on.
fn insulation(set: &CableSet) -> Block<3> {
    let one_run_m: f64 = set.sections.iter().map(|s| s.length_m).sum();
    let length_m = one_run_m * f64::from(set.runs.max(1));
    let to_neutral = Complex64::new(LEAK_SIEMENS, OMEGA * LEG_NEUTRAL_FARADS * length_m);
    let to_leg = Complex64::new(LEAK_SIEMENS, OMEGA * LEG_LEG_FARADS * length_m);
    let mut block = Block::default();
    block.join(L1, N, to_neutral);
    block.join(L2, N, to_neutral);
    block.join(L1, L2, to_leg);
    let to_soil = Complex64::new(LEAK_SIEMENS, OMEGA * NEUTRAL_SOIL_FARADS * length_m);
    block.ground(N, to_soil);
    block
}

/// The capacitance between the legs and live cables in the trench; leg 2 lies farther away.
fn couple_to_trench(block: &mut Block<3>, set: &CableSet) {
    for (leg, share) in [(L1, 1.0), (L2, 0.6)] {
        let siemens = Complex64::new(0.0, OMEGA * set.trench_picofarads * 1e-12 * share);
        block.ground(leg, siemens);
        block.drive_from_earth(leg, siemens * NOMINAL_LEG_VOLTS);
    }
}
