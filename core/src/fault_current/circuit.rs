//! Fault current from numbers alone: source, transformer, cable.

use num_complex::Complex;

use super::conductor::{CableRun, Loops};
use crate::quantity::{
    Current, Power, Temperature, Voltage, amps, in_amps, in_celsius, in_kilovolt_amps, in_metres,
    in_volts,
};

/// Conductor temperature of the largest current, °C: a cold cable.
pub const COLD_CELSIUS: f64 = 25.0;
/// Conductor temperature of the smallest current, °C: a cable at its rating.
pub const HOT_CELSIUS: f64 = 75.0;
/// X/R of a transformer whose plate does not say (from memory, 25 to 50 kVA units).
pub const USUAL_TRANSFORMER_X_OVER_R: f64 = 1.5;
/// X/R of a feeder whose record does not say (common practice, no source).
pub const USUAL_SOURCE_X_OVER_R: f64 = 4.0;

/// Volts across the full winding and one half of it.
const FULL_WINDING_V: f64 = 240.0;
const HALF_WINDING_V: f64 = 120.0;
/// What a fault on one half of an interlaced secondary sees, over the full winding's percent: the
/// split that the IEEE 8500-node feeder uses.
const HALF_WINDING_R: f64 = 1.5;
const HALF_WINDING_X: f64 = 1.2;

/// A one-phase transformer with a 120/240 V centre-tapped secondary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TransformerPlate {
    /// Rating.
    pub rating: Power,
    /// Impedance in percent of the rating.
    pub percent_z: f64,
    /// X/R.
    pub x_over_r: f64,
}

/// The supply ahead of the transformer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrimarySource {
    /// Volts the transformer's primary is on: phase to ground for a one-phase unit.
    pub voltage: Voltage,
    /// Available fault current there.
    pub fault: Current,
    /// X/R there.
    pub x_over_r: f64,
}

/// Everything on the way from the supply to the fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// The supply; none: as stiff as can be, which gives the largest current.
    pub source: Option<PrimarySource>,
    /// The transformer.
    pub transformer: TransformerPlate,
    /// The cables from the pad's terminals to the meter base, in series.
    pub cables: Vec<CableRun>,
}

/// Symmetrical current of a bolted fault, by what is shorted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Faults {
    /// Leg to leg.
    pub line_to_line: Current,
    /// Leg to neutral.
    pub line_to_neutral: Current,
}

/// Fault current at both ends of the cable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaultCurrents {
    /// At the pad's secondary terminals.
    pub pad: Faults,
    /// At the meter base; none where no cable was given.
    pub meter: Option<Faults>,
}

/// A number that no supply, transformer or cable can have.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what} cannot be {value}: give {wanted}")]
pub struct NotPossible {
    /// Which number.
    pub what: &'static str,
    /// What was given.
    pub value: f64,
    /// What it must be.
    pub wanted: &'static str,
}

impl Faults {
    /// The larger of the two. At the pad that is leg to neutral; at the base it may be either.
    pub fn largest(&self) -> Current {
        self.line_to_line.max(self.line_to_neutral)
    }

    fn over(loops: &Loops) -> Self {
        Self {
            line_to_line: amps(FULL_WINDING_V / loops.leg_to_leg.norm()),
            line_to_neutral: amps(HALF_WINDING_V / loops.leg_to_neutral.norm()),
        }
    }
}

impl Circuit {
    /// Symmetrical currents of bolted faults, RMS, from the nominal volts and without motors.
    ///
    /// A cold cable (25 °C) gives the largest, which the equipment must withstand; a hot one (75 °C)
    /// the smallest, which must still clear the fuse. Resistance and reactance are added as vectors.
    pub fn fault_currents(&self, conductors: Temperature) -> Result<FaultCurrents, NotPossible> {
        self.check(conductors)?;
        let at_pad = self.ahead_of_the_cable();
        let with_cable = self.cables.iter().fold(at_pad, |sum, cable| {
            let more = cable.loops(conductors);
            Loops {
                leg_to_leg: sum.leg_to_leg + more.leg_to_leg,
                leg_to_neutral: sum.leg_to_neutral + more.leg_to_neutral,
            }
        });
        let meter = (!self.cables.is_empty()).then(|| Faults::over(&with_cable));
        Ok(FaultCurrents { pad: Faults::over(&at_pad), meter })
    }

    fn ahead_of_the_cable(&self) -> Loops {
        let kva = in_kilovolt_amps(self.transformer.rating);
        let base = |volts: f64| volts * volts / (kva * 1000.0);
        let z = split(self.transformer.percent_z / 100.0, self.transformer.x_over_r);
        let half = Complex::new(HALF_WINDING_R * z.re, HALF_WINDING_X * z.im);
        let source = self.source.map_or(Complex::new(0.0, 0.0), |s| {
            split(in_volts(s.voltage) / in_amps(s.fault), s.x_over_r)
        });
        let referred = |volts: f64| {
            let ratio = self.source.map_or(0.0, |s| volts / in_volts(s.voltage));
            source * ratio * ratio
        };
        Loops {
            leg_to_leg: z * base(FULL_WINDING_V) + referred(FULL_WINDING_V),
            leg_to_neutral: half * base(HALF_WINDING_V) + referred(HALF_WINDING_V),
        }
    }

    fn check(&self, conductors: Temperature) -> Result<(), NotPossible> {
        let positive = |what, value: f64| {
            let wanted = "a number above zero";
            let good = value.is_finite() && value > 0.0;
            if good { Ok(()) } else { Err(NotPossible { what, value, wanted }) }
        };
        let ratio = |what, value: f64| {
            let wanted = "zero or a number above it";
            let good = value.is_finite() && value >= 0.0;
            if good { Ok(()) } else { Err(NotPossible { what, value, wanted }) }
        };
        positive("the transformer's kVA", in_kilovolt_amps(self.transformer.rating))?;
        positive("the transformer's percent impedance", self.transformer.percent_z)?;
        ratio("the transformer's X/R", self.transformer.x_over_r)?;
        if let Some(source) = &self.source {
            positive("the primary volts", in_volts(source.voltage))?;
            positive("the source's fault amps", in_amps(source.fault))?;
            ratio("the source's X/R", source.x_over_r)?;
        }
        for cable in &self.cables {
            positive("a cable's length", in_metres(cable.length))?;
        }
        let degrees = in_celsius(conductors);
        if !(-50.0..=150.0).contains(&degrees) {
            let wanted = "-50 to 150";
            return Err(NotPossible { what: "the conductors' °C", value: degrees, wanted });
        }
        Ok(())
    }
}

/// An impedance of that size at that X/R.
fn split(size: f64, x_over_r: f64) -> Complex<f64> {
    let angle = libm::atan(x_over_r);
    Complex::new(size * libm::cos(angle), size * libm::sin(angle))
}
