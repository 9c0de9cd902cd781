//! The supply ahead of a transformer: how strong the source is, and the primary cables on the way.

use num_complex::Complex;

use super::{
    circuit::split,
    conductor::{GMR_SHARE, METRES_PER_FOOT, OHM_PER_FT_PER_NEPER, ohms_per_foot},
    refuse::{self, NotPossible},
};
use crate::plant::{ConcentricNeutral, ConductorSize, Metal};
use crate::quantity::{Current, Length, Temperature, Voltage, in_amps, in_metres, in_volts};

/// Thickness of what lies between conductor and neutral wires, inches: shield on the conductor and
/// on the insulation (ICEA S-94-649, from memory).
const SHIELDS_IN: f64 = 0.015 + 0.030;
/// Half the diameter of a wire of the neutral: 14 AWG.
const NEUTRAL_WIRE_RADIUS_IN: f64 = 0.032;
/// Thickness of the jacket (from memory).
const JACKET_IN: f64 = 0.050;

/// How strong the supply is where the record or the utility says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceStrength {
    /// Available fault current there: of all three phases, and to ground.
    pub fault: Current,
    /// X/R there.
    pub x_over_r: f64,
}

/// The way back of a fault to ground on a primary cable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReturnPath {
    /// Without any resistance: what gives the largest current.
    Nothing,
    /// The cable's own concentric neutral, and nothing through earth: the smallest.
    Concentric(ConcentricNeutral),
}

/// A run of primary cable: one cable of one phase, or three of them side by side and touching.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrimaryRun {
    /// Conductor metal.
    pub metal: Metal,
    /// Conductor size.
    pub size: ConductorSize,
    /// Insulation class, phase to phase.
    pub class: Voltage,
    /// Its way back.
    pub back: ReturnPath,
    /// Length, one way.
    pub length: Length,
}

/// What a one-phase transformer hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct OnePhasePrimary {
    /// Volts across the primary winding: phase to ground.
    pub to_ground: Voltage,
    /// The source; none: as stiff as can be.
    pub source: Option<SourceStrength>,
    /// The cables from there to the transformer, in series.
    pub lateral: Vec<PrimaryRun>,
}

/// What a three-phase transformer hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreePhasePrimary {
    /// Volts between two phases.
    pub line_to_line: Voltage,
    /// The source; none: as stiff as can be.
    pub source: Option<SourceStrength>,
    /// The cables from there to the transformer, in series.
    pub lateral: Vec<PrimaryRun>,
}

impl SourceStrength {
    fn ohms(&self, to_ground: f64) -> Complex<f64> {
        split(to_ground / in_amps(self.fault), self.x_over_r)
    }

    fn check(&self) -> Result<(), NotPossible> {
        refuse::unless_positive("the source's fault amps", in_amps(self.fault))?;
        refuse::unless_ratio("the source's X/R", self.x_over_r)
    }
}

/// Thickness of the insulation in inches at the 100 % level of a class (ICEA S-94-649, from memory).
fn insulation_in(class: Voltage) -> f64 {
    match in_volts(class) {
        volts if volts <= 15_000.0 => 0.175,
        volts if volts <= 25_000.0 => 0.260,
        _ => 0.345,
    }
}

impl PrimaryRun {
    fn feet(&self) -> f64 {
        in_metres(self.length) / METRES_PER_FOOT
    }

    fn radius_to_neutral(&self) -> f64 {
        let conductor = self.size.diameter_in / 2.0;
        conductor + SHIELDS_IN + insulation_in(self.class) + NEUTRAL_WIRE_RADIUS_IN
    }

    fn gmr(&self) -> f64 {
        GMR_SHARE * self.size.diameter_in / 2.0
    }

    /// The loop out by the conductor and back by its own neutral, which lies round it.
    fn loop_ohms(&self, at: Temperature) -> Complex<f64> {
        let conductor = ohms_per_foot(self.metal, self.size, at);
        let back = match self.back {
            ReturnPath::Nothing => 0.0,
            ReturnPath::Concentric(ConcentricNeutral::Full) => conductor,
            ReturnPath::Concentric(ConcentricNeutral::Third) => 3.0 * conductor,
        };
        let nepers = libm::log(self.radius_to_neutral() / self.gmr());
        Complex::new(conductor + back, OHM_PER_FT_PER_NEPER * nepers) * self.feet()
    }

    /// One of three phases that are loaded alike; what flows in the neutrals then is left out.
    fn positive_ohms(&self, at: Temperature) -> Complex<f64> {
        let apart = 2.0 * (self.radius_to_neutral() + NEUTRAL_WIRE_RADIUS_IN + JACKET_IN);
        let nepers = libm::log(apart / self.gmr());
        let conductor = ohms_per_foot(self.metal, self.size, at);
        Complex::new(conductor, OHM_PER_FT_PER_NEPER * nepers) * self.feet()
    }
}

fn check(source: Option<&SourceStrength>, lateral: &[PrimaryRun]) -> Result<(), NotPossible> {
    source.map_or(Ok(()), SourceStrength::check)?;
    lateral.iter().try_for_each(|run| {
        refuse::unless_positive("a primary cable's length", in_metres(run.length))
    })
}

impl OnePhasePrimary {
    pub(super) fn check(&self) -> Result<(), NotPossible> {
        refuse::unless_positive("the primary volts", in_volts(self.to_ground))?;
        check(self.source.as_ref(), &self.lateral)
    }

    /// Ohms of the loop to ground, on the primary.
    pub(super) fn ohms(&self, at: Temperature) -> Complex<f64> {
        let source = self.source.map(|s| s.ohms(in_volts(self.to_ground))).unwrap_or_default();
        self.lateral.iter().fold(source, |sum, run| sum + run.loop_ohms(at))
    }
}

impl ThreePhasePrimary {
    pub(super) fn check(&self) -> Result<(), NotPossible> {
        refuse::unless_positive("the primary volts", in_volts(self.line_to_line))?;
        check(self.source.as_ref(), &self.lateral)
    }

    fn source_ohms(&self) -> Complex<f64> {
        let to_ground = in_volts(self.line_to_line) / libm::sqrt(3.0);
        self.source.map(|source| source.ohms(to_ground)).unwrap_or_default()
    }

    /// Ohms of the positive sequence, on the primary.
    pub(super) fn positive_ohms(&self, at: Temperature) -> Complex<f64> {
        self.lateral.iter().fold(self.source_ohms(), |sum, run| sum + run.positive_ohms(at))
    }

    /// Ohms of the zero sequence, on the primary: each cable's own neutral takes back what is its own.
    pub(super) fn zero_ohms(&self, zero_over_positive: f64, at: Temperature) -> Complex<f64> {
        let source = self.source_ohms() * zero_over_positive;
        self.lateral.iter().fold(source, |sum, run| sum + run.loop_ohms(at))
    }
}
