//! A voltage tester: what it displays for the volts between its probes.

use crate::accuracy::Accuracy;
use crate::flow::{Pair, Place};
use crate::seed::{Draw, mix, normal_of, unit_of};
use crate::switching::Switching;
use crate::world::{FieldError, World};

/// What can be wrong with a tester.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TesterFault {
    /// Shows zero whatever is there.
    DeadBattery,
    /// Shows three to eight tenths of what is there, now more, now less.
    LowBattery,
    /// A lead is broken inside: next to nothing is seen.
    LeadOpen,
    /// Set to the wrong range: shows a tenth.
    WrongRange,
}

/// A voltage tester or multimeter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tester {
    /// Its stated limit of error, volts.
    pub accuracy: Accuracy,
    /// Its own gain; 1 is true.
    pub gain: f64,
    /// Its own offset, volts.
    pub offset_volts: f64,
    /// Standard deviation of one reading, volts.
    pub noise_volts: f64,
    /// Its input resistance, ohms.
    pub input_ohms: f64,
    /// What is wrong with it, if anything.
    pub fault: Option<TesterFault>,
}

/// Input resistance of a low-impedance tester, ohms (from memory, order only).
pub const LOW_IMPEDANCE_OHMS: f64 = 3_000.0;
/// Input resistance of an ordinary multimeter, ohms (from memory, order only).
pub const HIGH_IMPEDANCE_OHMS: f64 = 1e7;

impl Tester {
    /// A sound low-impedance tester: ±(1.5 % + 5 counts of 0.1 V), from memory, with a gain and
    /// an offset of its own inside that.
    pub fn sound(draw: &mut Draw) -> Self {
        Self {
            accuracy: Accuracy { percent: 1.5, counts: 5.0, resolution: 0.1 },
            gain: 1.0 + draw.between(-0.008, 0.008),
            offset_volts: draw.between(-0.1, 0.1),
            noise_volts: 0.05,
            input_ohms: LOW_IMPEDANCE_OHMS,
            fault: None,
        }
    }

    /// The same instrument as a high-impedance multimeter: it shows ghost volts.
    #[must_use]
    pub fn high_impedance(self) -> Self {
        Self { input_ohms: HIGH_IMPEDANCE_OHMS, ..self }
    }

    /// The same tester with something wrong.
    #[must_use]
    pub fn with_fault(self, fault: TesterFault) -> Self {
        Self { fault: Some(fault), ..self }
    }

    /// Whether it draws enough current to collapse a ghost voltage.
    pub fn low_impedance(&self) -> bool {
        self.input_ohms <= 100_000.0
    }

    /// The stated limit of error at a displayed value, volts.
    pub fn limit(&self, displayed_volts: f64) -> f64 {
        self.accuracy.limit(displayed_volts)
    }

    /// The volts displayed: never negative, a multiple of the resolution, and inside the stated
    /// limit of error of `true_volts` unless faulted. `true_volts` are those that stand while
    /// this instrument is connected (see [`World::volts`]); `draw` is this reading's chance.
    pub fn read(&self, true_volts: f64, draw: u64) -> f64 {
        let noise = normal_of(unit_of(mix(draw, 1)), unit_of(mix(draw, 2))) * self.noise_volts;
        let sensed = true_volts * self.gain + self.offset_volts;
        let displayed = match self.fault {
            None => self.accuracy.held_within(true_volts, sensed + noise),
            Some(TesterFault::DeadBattery) => 0.0,
            Some(TesterFault::LowBattery) => {
                let share = 0.3 + 0.5 * unit_of(mix(draw, 3));
                self.accuracy.shown(share * sensed + noise)
            }
            Some(TesterFault::LeadOpen) => self.accuracy.shown(0.004 * sensed + noise),
            Some(TesterFault::WrongRange) => self.accuracy.shown(0.1 * sensed + noise),
        };
        // Not `max`: of -0.0 and 0.0 it may give either, by how the compiler optimises.
        if displayed > 0.0 { displayed } else { 0.0 }
    }

    /// Connects the tester and reads it.
    pub fn measure(
        &self,
        world: &World,
        at: (&Place, Pair),
        when: (f64, &Switching),
        draw: u64,
    ) -> Result<f64, FieldError> {
        let volts = world.volts(at.0, at.1, self.input_ohms, when.0, when.1)?;
        Ok(self.read(volts, draw))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seed::stream;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_sound_tester_is_inside_its_limit(seed: u64, draw: u64, volts in 0.0..300.0f64) {
            let tester = Tester::sound(&mut stream(seed, "tester"));
            let shown = tester.read(volts, draw);
            prop_assert!(shown >= 0.0);
            prop_assert!((shown - volts).abs() <= tester.limit(shown) + 1e-9);
        }

        #[test]
        fn a_faulted_tester_hides_live_volts(seed: u64, draw: u64) {
            let tester = Tester::sound(&mut stream(seed, "tester"));
            for fault in [TesterFault::DeadBattery, TesterFault::LeadOpen, TesterFault::WrongRange] {
                prop_assert!(tester.with_fault(fault).read(120.0, draw) < 13.0, "{:?}", fault);
            }
        }
    }
}
