//! Fault current from numbers alone: supply, transformer, cable.

use num_complex::Complex;

use super::{
    conductor::{CableRun, Loops},
    primary::{OnePhasePrimary, ThreePhasePrimary},
    refuse::{self, NotPossible},
};
use crate::quantity::{Current, Power, Temperature, in_kilovolt_amps};

/// Conductor temperature of the largest current, °C: a cold cable.
pub const COLD_CELSIUS: f64 = 25.0;
/// Conductor temperature of the smallest current, °C: a cable at its rating.
pub const HOT_CELSIUS: f64 = 75.0;
/// X/R of a transformer whose plate does not say (from memory, 25 to 50 kVA units).
pub const USUAL_TRANSFORMER_X_OVER_R: f64 = 1.5;
/// X/R of a feeder whose record does not say (common practice, no source).
pub const USUAL_SOURCE_X_OVER_R: f64 = 4.0;
/// Zero-sequence over positive-sequence impedance of a unit or a supply whose record does not say: 1,
/// which is a unit's where its core does not count, and gives a supply the largest fault to ground
/// that is usual (common practice, no source).
pub const USUAL_ZERO_OVER_POSITIVE: f64 = 1.0;

/// What a transformer's plate says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TransformerPlate {
    /// Rating.
    pub rating: Power,
    /// Impedance in percent of the rating.
    pub percent_z: f64,
    /// X/R.
    pub x_over_r: f64,
}

/// What a fault on one half of a centre-tapped secondary sees, over the full winding's percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfWinding {
    /// Of its resistance.
    pub r: f64,
    /// Of its reactance.
    pub x: f64,
}

/// A one-phase transformer with a 120/240 V centre-tapped secondary, and what hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct SplitPhase {
    /// The supply; none: as stiff as can be, which gives the largest current.
    pub primary: Option<OnePhasePrimary>,
    /// The transformer.
    pub unit: TransformerPlate,
    /// What one half of its secondary has.
    pub half: HalfWinding,
    /// Other units on the same bus, each with its own part of the supply; of them no cable counts.
    pub beside: Vec<Self>,
    /// The part of the supply that is ahead of all of them; none for a unit alone.
    pub shared: Option<OnePhasePrimary>,
    /// The cables from the pad's terminals to the meter base, in series.
    pub cables: Vec<CableRun>,
}

/// Volts of a three-phase secondary with a grounded neutral. Systems of 50 Hz are none of these: the
/// cables' reactance here is at 60 Hz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WyeVolts {
    /// 208Y/120 V.
    Y208,
    /// 480Y/277 V.
    Y480,
    /// 600Y/347 V.
    Y600,
}

/// How a fault to the neutral of a three-phase unit returns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WyeConnection {
    /// A primary in delta closes its path: the supply's zero sequence does not count.
    DeltaWye,
    /// Grounded wye on both sides: it does, and is this much of the positive one.
    WyeWye {
        /// Zero-sequence over positive-sequence impedance of the supply.
        source_zero_over_positive: f64,
    },
}

/// How many legs the meter base has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeterLegs {
    /// All three.
    Three,
    /// Two of the three, as at a network meter.
    Two,
}

/// A three-phase transformer with a grounded wye secondary, and what hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Wye {
    /// Its secondary volts.
    pub volts: WyeVolts,
    /// The supply; none: as stiff as can be.
    pub primary: Option<ThreePhasePrimary>,
    /// The transformer; its percent impedance is on the three-phase rating.
    pub unit: TransformerPlate,
    /// Zero-sequence over positive-sequence impedance of the transformer.
    pub zero_over_positive: f64,
    /// How its windings are joined.
    pub connection: WyeConnection,
    /// Other units on the same bus, each with its own part of the supply; of them no cable counts.
    pub beside: Vec<Self>,
    /// The part of the supply that is ahead of all of them; none for a unit alone.
    pub shared: Option<ThreePhasePrimary>,
    /// The cables from the pad's terminals to the meter base, in series.
    pub cables: Vec<CableRun>,
    /// The legs at its end.
    pub meter_legs: MeterLegs,
}

/// Everything on the way from the supply to the fault.
#[derive(Debug, Clone, PartialEq)]
pub enum Circuit {
    /// 120/240 V, one phase.
    SplitPhase(SplitPhase),
    /// Three phases.
    Wye(Wye),
}

/// Symmetrical current of a bolted fault, by what is shorted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Faults {
    /// All three legs; none where there are two.
    pub three_phase: Option<Current>,
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

impl HalfWinding {
    /// An interlaced secondary: 1.5 R and 1.2 X, the split that the IEEE 8500-node feeder uses (as
    /// primary 0.5 R + j 0.8 X, each half R + j 0.4 X); the same two factors stand in handbooks'
    /// notes. Units that are not interlaced differ: the plate's test report decides.
    pub const INTERLACED: Self = Self { r: 1.5, x: 1.2 };
}

impl WyeVolts {
    /// Nominal volts between two legs. To neutral it is that over the root of three.
    pub const fn line_to_line(self) -> f64 {
        match self {
            Self::Y208 => 208.0,
            Self::Y480 => 480.0,
            Self::Y600 => 600.0,
        }
    }
}

impl Faults {
    /// The largest of them. At the pad that is leg to neutral for a one-phase unit; elsewhere it may
    /// be any.
    pub fn largest(&self) -> Current {
        let two = self.line_to_line.max(self.line_to_neutral);
        self.three_phase.map_or(two, |three| three.max(two))
    }
}

impl FaultCurrents {
    /// The largest of them at the end of the way: at the meter base, or at the pad without a cable.
    pub fn at_end(&self) -> Current {
        self.meter.unwrap_or(self.pad).largest()
    }
}

impl Circuit {
    /// Symmetrical currents of bolted faults, RMS, from the nominal volts and without motors.
    ///
    /// A cold cable (25 °C) gives the largest, which the equipment must withstand; a hot one (75 °C)
    /// the smallest, which must still clear the fuse. Resistance and reactance are added as vectors.
    pub fn fault_currents(&self, conductors: Temperature) -> Result<FaultCurrents, NotPossible> {
        refuse::temperature(conductors)?;
        match self {
            Self::SplitPhase(one) => one.fault_currents(conductors),
            Self::Wye(three) => three.fault_currents(conductors),
        }
    }
}

impl TransformerPlate {
    /// Its impedance in ohms on a winding of these volts.
    pub(super) fn ohms(&self, volts: f64) -> Complex<f64> {
        let base = volts * volts / (in_kilovolt_amps(self.rating) * 1000.0);
        split(self.percent_z / 100.0 * base, self.x_over_r)
    }

    pub(super) fn check(&self) -> Result<(), NotPossible> {
        refuse::unless_positive("the transformer's kVA", in_kilovolt_amps(self.rating))?;
        refuse::unless_positive("the transformer's percent impedance", self.percent_z)?;
        refuse::unless_ratio("the transformer's X/R", self.x_over_r)
    }
}

/// The loops of cables in series; none without a cable.
pub(super) fn in_series(cables: &[CableRun], at: Temperature) -> Option<Loops> {
    let loops = cables.iter().map(|cable| cable.loops(at));
    loops.reduce(|sum, more| Loops {
        leg_to_leg: sum.leg_to_leg + more.leg_to_leg,
        leg_to_neutral: sum.leg_to_neutral + more.leg_to_neutral,
    })
}

/// Two impedances in parallel.
pub(super) fn parallel(one: Complex<f64>, other: Complex<f64>) -> Complex<f64> {
    one * other / (one + other)
}

/// An impedance of that size at that X/R.
pub(super) fn split(size: f64, x_over_r: f64) -> Complex<f64> {
    let angle = libm::atan(x_over_r);
    Complex::new(size * libm::cos(angle), size * libm::sin(angle))
}
