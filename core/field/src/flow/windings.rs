//! The transformer of a pad as its secondary sees it.

use super::{L1, L2, N, TURNS, rms};
use crate::block::Block;
use crate::load::NOMINAL_LEG_VOLTS;
use crate::world::Pad;
use num_complex::Complex64;

/// A transformer with its primary live or open, ready to be solved at many moments.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Windings {
    supply_volts: f64,
    live: Halves,
    dead: Halves,
}

#[derive(Debug, Clone, PartialEq)]
struct Halves {
    /// Primary side, ohms referred to one half.
    primary: Complex64,
    /// The admittances, without what drives them.
    block: Block<3>,
    /// Amps that a volt in each half drives.
    drive: Complex64,
}

impl Windings {
    /// None for a transformer without impedance.
    pub(super) fn of(pad: &Pad) -> Option<Self> {
        let base_ohms = NOMINAL_LEG_VOLTS * NOMINAL_LEG_VOLTS / (pad.kva * 1000.0);
        let z = pad.percent_z / 100.0 * base_ohms;
        let r = z / libm::sqrt(1.0 + pad.x_over_r * pad.x_over_r);
        let x = r * pad.x_over_r;
        let half = Complex64::new(r, 0.4 * x);
        let fed = Complex64::new(0.5 * r, 0.8 * x);
        // Primary open: only the magnetizing branch, 0.5 % of rated amps (from memory).
        let open = Complex64::new(0.0, base_ohms / 0.005);
        let supply_volts = pad.supply_volts;
        Some(Self { supply_volts, live: Halves::of(half, fed)?, dead: Halves::of(half, open)? })
    }

    fn halves(&self, live: bool) -> &Halves {
        if live { &self.live } else { &self.dead }
    }

    /// Open-circuit volts of a half.
    fn volts(&self, t_s: f64, live: bool) -> Complex64 {
        if !live {
            return Complex64::ZERO;
        }
        // Supply drifts by 0.3 % over some 20 minutes (invented).
        let drift = 1.0 + 0.003 * libm::sin(core::f64::consts::TAU * t_s / 1_260.0);
        Complex64::new(self.supply_volts * drift, 0.0)
    }

    /// The transformer as a source at the secondary bus.
    pub(super) fn source(&self, t_s: f64, live: bool) -> Block<3> {
        let halves = self.halves(live);
        let mut block = halves.block;
        let drive = self.volts(t_s, live) * halves.drive;
        block.drive(N, L1, drive);
        block.drive(L2, N, drive);
        block
    }

    /// Volts to ground on the primary bushing, given the secondary's leg currents.
    pub(super) fn primary_volts(&self, t_s: f64, live: bool, leg_amps: [Complex64; 2]) -> f64 {
        let volts = self.volts(t_s, live);
        let [leg1, leg2] = leg_amps;
        let half_volts = volts - self.halves(live).primary * (leg1 - leg2);
        TURNS * if live { rms(volts) } else { rms(half_volts) }
    }
}

impl Halves {
    fn of(half: Complex64, primary: Complex64) -> Option<Self> {
        let sum = half + primary;
        let determinant = sum * sum - primary * primary;
        if determinant.norm_sqr() <= 0.0 {
            return None;
        }
        let (own, mutual) = (sum / determinant, primary / determinant);
        let mut block = Block::<3>::default();
        for (leg, other) in [(L1, L2), (L2, L1)] {
            block.add_entry(leg, leg, own);
            block.add_entry(leg, other, mutual);
            block.add_entry(leg, N, -own - mutual);
            block.add_entry(N, leg, -own - mutual);
        }
        block.add_entry(N, N, (own + mutual) * 2.0);
        Some(Self { primary, block, drive: own - mutual })
    }
}
