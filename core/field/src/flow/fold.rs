//! Folding a tree of cable sets into one block at its start, and unfolding its voltages.

use super::premises::Premises;
use super::{Amps, L1, L2, Moment, N, PadFlow, Potentials, SetFlow};
use crate::block::{Block, Row};
use crate::conductor::{Conductor, ohms_per_metre, reactance_per_metre};
use crate::load::NOMINAL_LEG_VOLTS;
use crate::world::{CableSet, End, FieldError, Start};
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
const SHORT_SIEMENS: f64 = 1_000.0;
/// Chains of sets longer than this are taken for loops.
const DEEPEST: usize = 8;

/// What lies beyond a set.
enum Beyond<'w> {
    Premises(Box<Premises<'w>>),
    Branches(Vec<Branch<'w>>),
    Nothing,
}

/// A set and all beyond it, folded to its start.
pub(super) struct Branch<'w> {
    set: &'w CableSet,
    ohms: [Complex64; 3],
    /// As seen by what it is connected to.
    pub(super) at_start: Block<3>,
    /// The cable alone, as if landed.
    cable: Block<3>,
    /// Lifted conductors in the order of their reduction.
    lifted: Vec<Row<3>>,
    /// Which conductors carry nothing at the start.
    still: [bool; 3],
    beyond: Beyond<'w>,
}

/// The two kinds of failure: a named one, or equations without solution (the pad is named above).
type Failure = Option<FieldError>;

pub(super) fn fold<'w>(
    moment: &Moment<'w>,
    id: &str,
    live: bool,
    depth: usize,
) -> Result<Branch<'w>, Failure> {
    let set = moment.world.set(id)?;
    if depth > DEEPEST {
        return Err(Some(FieldError::Loop(set.id.clone())));
    }
    let lifted = moment.switching.lifted.get(id);
    let live = live && lifted.is_none_or(std::collections::BTreeSet::is_empty);
    let mut far = insulation(set);
    couple_to_trench(&mut far, set, moment);
    let beyond = match &set.to {
        End::Dead => Beyond::Nothing,
        End::Service(service) => {
            let premises =
                Premises::of(moment, moment.world.service(service)?, live).ok_or(None)?;
            far.add(&premises.block);
            Beyond::Premises(Box::new(premises))
        }
        End::Junction(junction) => {
            let mut branches = Vec::new();
            for next in &moment.world.junction(junction)?.sets {
                let branch = fold(moment, next, live, depth + 1)?;
                far.add(&branch.at_start);
                branches.push(branch);
            }
            Beyond::Branches(branches)
        }
    };
    let ohms = [series_ohms(set); 3];
    let cable = far.through(ohms).ok_or(None)?;
    let mut at_start = cable;
    let shorted = moment.switching.shorted.contains(id);
    if shorted {
        let jumper = Complex64::new(SHORT_SIEMENS, 0.0);
        at_start.join(L1, N, jumper);
        at_start.join(L2, N, jumper);
    }
    if let Some(probe) = &moment.probe {
        probe.load_start(&set.id, &mut at_start);
    }
    let mut rows = Vec::new();
    let mut still = [false; 3];
    for (node, (conductor, quiet)) in Conductor::ALL.into_iter().zip(&mut still).enumerate() {
        let off_its_lug = lifted.is_some_and(|l| l.contains(&conductor));
        if off_its_lug || (set.neutral_broken && conductor == Conductor::N) {
            rows.push(at_start.reduce(node).ok_or(None)?);
            *quiet = !shorted;
        }
    }
    Ok(Branch { set, ohms, at_start, cable, lifted: rows, still, beyond })
}

impl Branch<'_> {
    /// Writes this branch's state into the flow, given the voltages where it is connected.
    pub(super) fn unfold(&self, mut volts: [Complex64; 3], flow: &mut PadFlow) {
        for row in self.lifted.iter().rev() {
            row.recover(&mut volts);
        }
        let mut amps = self.cable.amps_in(volts);
        for (amps, still) in amps.iter_mut().zip(self.still) {
            if still {
                *amps = Complex64::ZERO;
            }
        }
        let far = far_volts(volts, amps, self.ohms);
        let state = SetFlow { amps: Amps::of(amps), start: Potentials::of(volts) };
        flow.sets.insert(self.set.id.clone(), state);
        match &self.beyond {
            Beyond::Nothing => {}
            Beyond::Premises(premises) => {
                let (id, base) = premises.unfold(far, Amps::of(amps));
                flow.services.insert(id, base);
            }
            Beyond::Branches(branches) => {
                for branch in branches {
                    branch.unfold(far, flow);
                }
            }
        }
    }
}

fn far_volts(volts: [Complex64; 3], amps: [Complex64; 3], ohms: [Complex64; 3]) -> [Complex64; 3] {
    let mut far = volts;
    for ((far, amps), ohms) in far.iter_mut().zip(amps).zip(ohms) {
        *far -= amps * ohms;
    }
    far
}

/// Series impedance of one conductor over all sections, all its runs side by side, ohms.
pub(super) fn series_ohms(set: &CableSet) -> Complex64 {
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
fn couple_to_trench(block: &mut Block<3>, set: &CableSet, moment: &Moment<'_>) {
    let pad_dead = match &set.from {
        Start::Pad { pad, .. } => moment.switching.dead_pads.contains(pad),
        Start::Junction(_) => true,
    };
    if pad_dead {
        return;
    }
    for (leg, share) in [(L1, 1.0), (L2, 0.6)] {
        let siemens = Complex64::new(0.0, OMEGA * set.trench_picofarads * 1e-12 * share);
        block.ground(leg, siemens);
        block.drive_from_earth(leg, siemens * NOMINAL_LEG_VOLTS);
    }
}
