//! Faults behind a one-phase transformer with a centre tap.

use num_complex::Complex;

use super::{
    circuit::{FaultCurrents, Faults, SplitPhase, in_series},
    conductor::Loops,
    refuse::{self, NotPossible},
};
use crate::quantity::{Temperature, amps, in_volts};

/// Volts across the full winding and one half of it.
const FULL_WINDING_V: f64 = 240.0;
const HALF_WINDING_V: f64 = 120.0;

impl SplitPhase {
    pub(super) fn fault_currents(&self, at: Temperature) -> Result<FaultCurrents, NotPossible> {
        self.unit.check()?;
        refuse::unless_positive("the half winding's share of R", self.half.r)?;
        refuse::unless_positive("the half winding's share of X", self.half.x)?;
        refuse::cables(&self.cables)?;
        if let Some(primary) = &self.primary {
            primary.check()?;
        }
        let pad = self.ahead_of_the_cable(at);
        let meter = in_series(&self.cables, at).map(|cable| {
            over(&Loops {
                leg_to_leg: pad.leg_to_leg + cable.leg_to_leg,
                leg_to_neutral: pad.leg_to_neutral + cable.leg_to_neutral,
            })
        });
        Ok(FaultCurrents { pad: over(&pad), meter })
    }

    fn ahead_of_the_cable(&self, at: Temperature) -> Loops {
        let half = self.unit.ohms(HALF_WINDING_V);
        let half = Complex::new(self.half.r * half.re, self.half.x * half.im);
        let supply = |volts: f64| {
            self.primary.as_ref().map_or_else(Complex::default, |primary| {
                let ratio = volts / in_volts(primary.to_ground);
                primary.ohms(at) * ratio * ratio
            })
        };
        Loops {
            leg_to_leg: self.unit.ohms(FULL_WINDING_V) + supply(FULL_WINDING_V),
            leg_to_neutral: half + supply(HALF_WINDING_V),
        }
    }
}

fn over(loops: &Loops) -> Faults {
    Faults {
        three_phase: None,
        line_to_line: amps(FULL_WINDING_V / loops.leg_to_leg.norm()),
        line_to_neutral: amps(HALF_WINDING_V / loops.leg_to_neutral.norm()),
    }
}
