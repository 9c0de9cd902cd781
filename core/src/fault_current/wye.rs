//! Faults behind a three-phase transformer with a grounded wye secondary.
//!
//! With symmetrical components: Z1 of supply and transformer in series (Z2 is the same, nothing
//! turns); Z0 of the transformer alone where a delta closes its path, else of supply and transformer.
//! Three legs see Z1 each, two legs twice Z1, a leg to neutral a third of 2 Z1 + Z0. The cable comes
//! on top as its own loops: its neutral is a conductor, and no current returns through earth.

use num_complex::Complex;

use super::{
    circuit::{FaultCurrents, Faults, MeterLegs, Wye, WyeConnection, in_series, parallel},
    conductor::Loops,
    primary::ThreePhasePrimary,
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
        refuse::cables(&self.cables)?;
        self.check()?;
        self.beside.iter().try_for_each(Self::check)?;
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

    fn check(&self) -> Result<(), NotPossible> {
        self.unit.check()?;
        refuse::unless_positive("the transformer's zero over positive", self.zero_over_positive)?;
        if let WyeConnection::WyeWye { source_zero_over_positive } = self.connection {
            refuse::unless_positive("the source's zero over positive", source_zero_over_positive)?;
        }
        self.primary.iter().chain(&self.shared).try_for_each(ThreePhasePrimary::check)
    }

    /// All units in parallel, behind what they share.
    fn ahead_of_the_cable(&self, at: Temperature) -> Sequences {
        let units = self.beside.iter().map(|unit| unit.alone(at));
        let units = units.fold(self.alone(at), |sum, more| Sequences {
            positive: parallel(sum.positive, more.positive),
            zero: parallel(sum.zero, more.zero),
        });
        let shared = self.supply(self.shared.as_ref(), at);
        Sequences { positive: units.positive + shared.positive, zero: units.zero + shared.zero }
    }

    fn alone(&self, at: Temperature) -> Sequences {
        let unit = self.unit.ohms(self.volts.line_to_line());
        let supply = self.supply(self.primary.as_ref(), at);
        Sequences {
            positive: unit + supply.positive,
            zero: unit * self.zero_over_positive + supply.zero,
        }
    }

    /// A supply as the secondary sees it; a delta keeps its zero sequence out.
    fn supply(&self, primary: Option<&ThreePhasePrimary>, at: Temperature) -> Sequences {
        let nothing = Complex::default();
        let Some(primary) = primary else {
            return Sequences { positive: nothing, zero: nothing };
        };
        let ratio = self.volts.line_to_line() / in_volts(primary.line_to_line);
        let zero = match self.connection {
            WyeConnection::DeltaWye => nothing,
            WyeConnection::WyeWye { source_zero_over_positive } => {
                primary.zero_ohms(source_zero_over_positive, at)
            }
        };
        let referred = |ohms: Complex<f64>| ohms * ratio * ratio;
        Sequences { positive: referred(primary.positive_ohms(at)), zero: referred(zero) }
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
