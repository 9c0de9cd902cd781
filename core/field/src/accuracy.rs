//! The limit of error of an instrument, as its maker states it: percent of reading plus counts.

/// Percent of reading plus a number of smallest steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Percent of the reading.
    pub percent: f64,
    /// How many smallest steps besides.
    pub counts: f64,
    /// The smallest step, in the unit of the reading.
    pub resolution: f64,
}

impl Accuracy {
    /// The limit of error at a displayed value, in the unit of the reading.
    pub fn limit(&self, displayed: f64) -> f64 {
        self.percent / 100.0 * displayed.abs() + self.counts * self.resolution
    }

    /// The nearest value that the display can show.
    pub fn shown(&self, value: f64) -> f64 {
        // Division by the whole number of steps in one keeps 12.3 from becoming 12.300000000000001.
        let steps_in_one = libm::round(1.0 / self.resolution);
        if self.resolution < 1.0 && (steps_in_one * self.resolution - 1.0).abs() < 1e-9 {
            libm::round(value * steps_in_one) / steps_in_one
        } else {
            libm::round(value / self.resolution) * self.resolution
        }
    }

    /// The displayed value nearest to `wanted` whose error against `truth` is inside the limit.
    /// `truth` itself, as displayed, must be inside it: at least half a count is stated.
    pub fn held_within(&self, truth: f64, wanted: f64) -> f64 {
        let mut shown = self.shown(wanted);
        let step = if shown > truth { -self.resolution } else { self.resolution };
        // At most as many steps as lie between; a wild value is first brought near.
        if (shown - truth).abs() > 2.0 * self.limit(shown) + 2.0 * self.resolution {
            shown = self.shown(truth + (shown - truth).signum() * self.limit(truth));
        }
        for _ in 0..64 {
            if (shown - truth).abs() <= self.limit(shown) {
                return shown;
            }
            shown = self.shown(shown + step);
        }
        self.shown(truth)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_hundred_and_twenty_volts_at_seven_tenths_percent_and_two_counts() {
        let accuracy = Accuracy { percent: 0.7, counts: 2.0, resolution: 0.1 };
        assert!((accuracy.limit(120.0) - 1.04).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn what_is_held_is_inside_the_limit(
            truth in 0.0..400.0f64, wanted in -50.0..800.0f64, percent in 0.5..3.0f64, counts in 1.0..6.0f64,
            resolution in prop::sample::select(vec![0.01, 0.1, 1.0]),
        ) {
            let accuracy = Accuracy { percent, counts, resolution };
            let shown = accuracy.held_within(truth, wanted);
            prop_assert!((shown - truth).abs() <= accuracy.limit(shown) + 1e-9, "{}", shown);
        }

        #[test]
        fn what_was_inside_is_left_alone(truth in 0.0..400.0f64, share in -0.9..0.9f64) {
            let accuracy = Accuracy { percent: 2.0, counts: 5.0, resolution: 0.1 };
            let wanted = accuracy.shown(truth + share * 0.4);
            prop_assert!((accuracy.held_within(truth, wanted) - wanted).abs() < 1e-9);
        }
    }
}
