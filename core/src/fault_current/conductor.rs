//! Impedance of a cable set: three conductors, touching, with an explicit neutral and no earth path.

use num_complex::Complex;

use crate::plant::{ConductorSize, Metal};
use crate::quantity::{Length, Temperature, in_celsius, in_metres};

/// Resistivity of 100 % IACS annealed copper at 20 °C, ohm circular mils a foot (ASTM B258's 10.371).
const IACS_OHM_CMIL_PER_FT: f64 = 10.371;
/// Stranding: the strands are longer than the cable (2 %, ASTM B8 and B231, from memory).
const STRANDING: f64 = 1.02;
/// Geometric mean radius over radius of a stranded conductor of 19 strands (from memory).
pub(super) const GMR_SHARE: f64 = 0.758;
/// Insulation on each conductor in inches: 60 mil for all sizes.
const INSULATION_IN: f64 = 0.060;
/// 2 pi 60 Hz x 2e-7 H/m x 0.3048 m/ft: reactance a foot for each neper of spacing.
pub(super) const OHM_PER_FT_PER_NEPER: f64 = 2.0 * std::f64::consts::PI * 60.0 * 2e-7 * 0.3048;

/// International foot (exact by definition).
pub(super) const METRES_PER_FOOT: f64 = 0.3048;

/// A run of cable in the path.
///
/// Every conductor is taken to touch every other, in a set of four too: each leg then sees the others
/// and the neutral alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CableRun {
    /// Conductor metal.
    pub metal: Metal,
    /// Size of the hot legs.
    pub leg: ConductorSize,
    /// Size of the neutral.
    pub neutral: ConductorSize,
    /// Length, one way.
    pub length: Length,
    /// Parallel runs a leg, at least 1; they lie apart and do not couple.
    pub runs: u8,
}

/// Impedances of the two loops, ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Loops {
    pub(super) leg_to_leg: Complex<f64>,
    pub(super) leg_to_neutral: Complex<f64>,
}

/// Resistance of one conductor in ohms a foot: direct current, no skin effect. At 60 Hz that adds
/// less than 1 % up to 350 and some 4 % at 750 copper (from memory), which the reactance of the way
/// hides in part.
pub fn ohms_per_foot(metal: Metal, size: ConductorSize, temperature: Temperature) -> f64 {
    // Conductivity in IACS and coefficient at 20 °C: annealed copper and hard-drawn aluminium.
    let (iacs, alpha) = match metal {
        Metal::Cu => (1.00, 0.003_93),
        Metal::Al => (0.61, 0.004_03),
    };
    let at_20 = IACS_OHM_CMIL_PER_FT / iacs * STRANDING / size.circular_mils;
    at_20 * (1.0 + alpha * (in_celsius(temperature) - 20.0))
}

impl CableRun {
    pub(super) fn loops(&self, temperature: Temperature) -> Loops {
        let leg = ohms_per_foot(self.metal, self.leg, temperature);
        let neutral = ohms_per_foot(self.metal, self.neutral, temperature);
        let gmr = |size: ConductorSize| GMR_SHARE * size.diameter_in / 2.0;
        let apart = |one: ConductorSize, other: ConductorSize| {
            f64::midpoint(one.diameter_in, other.diameter_in) + 2.0 * INSULATION_IN
        };
        let legs = 2.0 * libm::log(apart(self.leg, self.leg) / gmr(self.leg));
        let spacing = apart(self.leg, self.neutral);
        let mixed = libm::log(spacing * spacing / (gmr(self.leg) * gmr(self.neutral)));
        let feet = in_metres(self.length) / METRES_PER_FOOT / f64::from(self.runs.max(1));
        Loops {
            leg_to_leg: Complex::new(2.0 * leg, OHM_PER_FT_PER_NEPER * legs) * feet,
            leg_to_neutral: Complex::new(leg + neutral, OHM_PER_FT_PER_NEPER * mixed) * feet,
        }
    }
}

#[cfg(test)]
mod tests;
