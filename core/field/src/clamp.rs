//! A clamp meter: what it displays for the amps that flow through its jaws.

use crate::accuracy::Accuracy;
use crate::seed::{Draw, mix, normal_of, unit_of};

/// What can be wrong with a clamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClampFault {
    /// Shows zero whatever flows.
    StuckAtZero,
    /// Shows this multiple of what it should.
    GainOff(f64),
    /// The jaws do not close: little of the current is seen, and much of the neighbours'.
    JawOpen,
}

/// A clamp meter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clamp {
    /// Its stated limit of error, amps.
    pub accuracy: Accuracy,
    /// Its own gain; 1 is true.
    pub gain: f64,
    /// Its own offset, amps.
    pub offset_amps: f64,
    /// Standard deviation of one reading, amps.
    pub noise_amps: f64,
    /// Share of a neighbouring conductor's amps that it picks up, 0 to 0.01.
    pub pickup_share: f64,
    /// What is wrong with it, if anything.
    pub fault: Option<ClampFault>,
}

impl Clamp {
    /// A sound clamp of ordinary field make: ±(2 % + 5 counts of 0.1 A), from memory, with a gain
    /// and an offset of its own inside that.
    pub fn sound(draw: &mut Draw) -> Self {
        Self {
            accuracy: Accuracy { percent: 2.0, counts: 5.0, resolution: 0.1 },
            gain: 1.0 + draw.between(-0.012, 0.012),
            offset_amps: draw.between(-0.1, 0.1),
            noise_amps: 0.04,
            pickup_share: draw.between(0.0, 0.002),
            fault: None,
        }
    }

    /// The same clamp with something wrong.
    #[must_use]
    pub fn with_fault(self, fault: ClampFault) -> Self {
        Self { fault: Some(fault), ..self }
    }

    /// The stated limit of error at a displayed value, amps.
    pub fn limit(&self, displayed_amps: f64) -> f64 {
        self.accuracy.limit(displayed_amps)
    }

    /// The amps displayed: never negative, a multiple of the resolution, and inside the stated
    /// limit of error of `true_amps` unless faulted. `neighbour_amps` flow beside the jaws;
    /// `draw` is this reading's chance (the same draw gives the same reading).
    pub fn read(&self, true_amps: f64, neighbour_amps: f64, draw: u64) -> f64 {
        let noise = normal_of(unit_of(mix(draw, 1)), unit_of(mix(draw, 2))) * self.noise_amps;
        let sensed = true_amps * self.gain
            + self.offset_amps
            + neighbour_amps * self.pickup_share * unit_of(mix(draw, 3));
        let displayed = match self.fault {
            None => self.accuracy.held_within(true_amps, sensed + noise),
            Some(ClampFault::StuckAtZero) => 0.0,
            Some(ClampFault::GainOff(factor)) => self.accuracy.shown(sensed * factor + noise),
            Some(ClampFault::JawOpen) => {
                let seen = 0.35 + 0.2 * unit_of(mix(draw, 4));
                self.accuracy.shown(sensed * seen + 0.06 * neighbour_amps + noise)
            }
        };
        // Not `max`: of -0.0 and 0.0 it may give either, by how the compiler optimises.
        if displayed > 0.0 { displayed } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seed::stream;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_sound_clamp_is_inside_its_limit(
            seed: u64, draw: u64, amps in 0.0..200.0f64, beside in 0.0..200.0f64,
        ) {
            let clamp = Clamp::sound(&mut stream(seed, "clamp"));
            let shown = clamp.read(amps, beside, draw);
            prop_assert!(shown >= 0.0);
            prop_assert!((shown - amps).abs() <= clamp.limit(shown) + 1e-9, "{} for {}", shown, amps);
            prop_assert_eq!(shown.to_bits(), clamp.read(amps, beside, draw).to_bits());
        }

        #[test]
        fn heavy_neighbours_do_not_push_it_over_its_limit(seed: u64, draw: u64, amps in 0.0..5.0f64) {
            let sound = Clamp::sound(&mut stream(seed, "clamp"));
            let clamp = Clamp { pickup_share: 0.01, ..sound };
            let shown = clamp.read(amps, 400.0, draw);
            prop_assert!((shown - amps).abs() <= clamp.limit(shown) + 1e-9);
        }

        #[test]
        fn a_faulted_clamp_lies(seed: u64, draw: u64, amps in 5.0..100.0f64) {
            let clamp = Clamp::sound(&mut stream(seed, "clamp"));
            for fault in [ClampFault::StuckAtZero, ClampFault::GainOff(0.4), ClampFault::JawOpen] {
                let bad = clamp.with_fault(fault);
                let shown = bad.read(amps, 0.0, draw);
                prop_assert!((shown - amps).abs() > bad.limit(shown), "{:?} {}", fault, shown);
            }
        }
    }
}
