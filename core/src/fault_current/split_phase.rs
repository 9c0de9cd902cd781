//! Faults behind a one-phase transformer with a centre tap.

use num_complex::Complex;

use super::{
    circuit::{FaultCurrents, Faults, SplitPhase, in_series, parallel},
    conductor::Loops,
    primary::OnePhasePrimary,
    refuse::{self, NotPossible},
};
use crate::quantity::{Temperature, amps, in_volts};

/// Volts across the full winding and one half of it.
const FULL_WINDING_V: f64 = 240.0;
const HALF_WINDING_V: f64 = 120.0;

impl SplitPhase {
    pub(super) fn fault_currents(&self, at: Temperature) -> Result<FaultCurrents, NotPossible> {
        refuse::cables(&self.cables)?;
        self.check()?;
        self.beside.iter().try_for_each(Self::check)?;
        let pad = self.ahead_of_the_cable(at);
        let meter = in_series(&self.cables, at).map(|cable| {
            over(&Loops {
                leg_to_leg: pad.leg_to_leg + cable.leg_to_leg,
                leg_to_neutral: pad.leg_to_neutral + cable.leg_to_neutral,
            })
        });
        Ok(FaultCurrents { pad: over(&pad), meter })
    }

    fn check(&self) -> Result<(), NotPossible> {
        self.unit.check()?;
        refuse::unless_positive("the half winding's share of R", self.half.r)?;
        refuse::unless_positive("the half winding's share of X", self.half.x)?;
        self.primary.iter().chain(&self.shared).try_for_each(OnePhasePrimary::check)
    }

    /// All units in parallel, behind what they share.
    fn ahead_of_the_cable(&self, at: Temperature) -> Loops {
        let units = self.beside.iter().map(|unit| unit.alone(at));
        let units = units.fold(self.alone(at), |sum, more| Loops {
            leg_to_leg: parallel(sum.leg_to_leg, more.leg_to_leg),
            leg_to_neutral: parallel(sum.leg_to_neutral, more.leg_to_neutral),
        });
        Loops {
            leg_to_leg: units.leg_to_leg + supply(self.shared.as_ref(), FULL_WINDING_V, at),
            leg_to_neutral: units.leg_to_neutral + supply(self.shared.as_ref(), HALF_WINDING_V, at),
        }
    }

    fn alone(&self, at: Temperature) -> Loops {
        let half = self.unit.ohms(HALF_WINDING_V);
        let half = Complex::new(self.half.r * half.re, self.half.x * half.im);
        let supply = |volts: f64| supply(self.primary.as_ref(), volts, at);
        Loops {
            leg_to_leg: self.unit.ohms(FULL_WINDING_V) + supply(FULL_WINDING_V),
            leg_to_neutral: half + supply(HALF_WINDING_V),
        }
    }
}

/// Ohms of a supply as a winding of these volts sees them.
fn supply(primary: Option<&OnePhasePrimary>, volts: f64, at: Temperature) -> Complex<f64> {
    primary.map_or_else(Complex::default, |primary| {
        let ratio = volts / in_volts(primary.to_ground);
        primary.ohms(at) * ratio * ratio
    })
}

fn over(loops: &Loops) -> Faults {
    Faults {
        three_phase: None,
        line_to_line: amps(FULL_WINDING_V / loops.leg_to_leg.norm()),
        line_to_neutral: amps(HALF_WINDING_V / loops.leg_to_neutral.norm()),
    }
}
