//! Faults behind a three-phase transformer with a grounded wye secondary.
//!
//! With symmetrical components: Z1 of supply and transformer in series (Z2 is the same, nothing
//! turns); Z0 of the transformer alone where a delta closes its path, else of supply and transformer.
//! Three legs see Z1 each, two legs twice Z1, a leg to neutral a third of 2 Z1 + Z0. The cable comes
//! on top as its own loops: its neutral is a conductor, and no current returns through earth.

use num_complex::Complex;

use super::{
    circuit::{FaultCurrents, Faults, MeterLegs, Wye, WyeConnection, in_series},
    conductor::Loops,
    refuse::{self, NotPossible},
};
use crate::quantity::{Temperature, amps, in_volts};

/// The sequence impedances at the terminals, in ohms of the secondary.
struct Sequences {
    positive: Complex<f64>,
    zero: Complex<f64>,
}

impl Wye {
    pub(super) fn fault_currents(&self, at: Temperature) -> Result<FaultCurrents, NotPossible> {
        self.unit.check()?;
        refuse::unless_positive("the transformer's zero over positive", self.zero_over_positive)?;
        if let WyeConnection::WyeWye { source_zero_over_positive } = self.connection {
            refuse::unless_positive("the source's zero over positive", source_zero_over_positive)?;
        }
        refuse::cables(&self.cables)?;
        if let Some(primary) = &self.primary {
            primary.check()?;
        }
        let ahead = self.ahead_of_the_cable(at);
        let none = Loops { leg_to_leg: Complex::default(), leg_to_neutral: Complex::default() };
        let pad = self.faults(&ahead, &none);
        let meter = in_series(&self.cables, at).map(|cable| {
            let all = self.faults(&ahead, &cable);
            let three_phase = all.three_phase.filter(|_| self.meter_legs == MeterLegs::Three);
            Faults { three_phase, ..all }
        });
        Ok(FaultCurrents { pad, meter })
    }

    fn ahead_of_the_cable(&self, at: Temperature) -> Sequences {
        let unit = self.unit.ohms(self.volts.line_to_line());
        let own_zero = unit * self.zero_over_positive;
        let Some(primary) = &self.primary else {
            return Sequences { positive: unit, zero: own_zero };
        };
        let ratio = self.volts.line_to_line() / in_volts(primary.line_to_line);
        let referred = |ohms: Complex<f64>| ohms * ratio * ratio;
        let zero = match self.connection {
            WyeConnection::DeltaWye => own_zero,
            WyeConnection::WyeWye { source_zero_over_positive } => {
                own_zero + referred(primary.zero_ohms(source_zero_over_positive, at))
            }
        };
        Sequences { positive: unit + referred(primary.positive_ohms(at)), zero }
    }

    fn faults(&self, ahead: &Sequences, cable: &Loops) -> Faults {
        let between = self.volts.line_to_line();
        let to_neutral = between / libm::sqrt(3.0);
        let one_leg = ahead.positive + cable.leg_to_leg / 2.0;
        let neutral = (ahead.positive * 2.0 + ahead.zero) / 3.0 + cable.leg_to_neutral;
        Faults {
            three_phase: Some(amps(to_neutral / one_leg.norm())),
            line_to_line: amps(between / (one_leg * 2.0).norm()),
            line_to_neutral: amps(to_neutral / neutral.norm()),
        }
    }
}
