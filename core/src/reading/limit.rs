//! How far the true value may be from what a display shows.

use super::{AmpsReading, Instrument, VoltsReading};
use crate::{
    quantity::{Bounded, Current, Decimal, Voltage, amps, volts},
    rule_sheet::RuleSheet,
};

/// Most percent of reading an instrument's entry may state: more is a slip of the pen.
const MOST_PERCENT: f64 = 20.0;

/// Most counts an instrument's entry may state.
const MOST_COUNTS: u16 = 100;

impl Instrument {
    /// Whether its entry makes sense: range and resolution above zero, the step below the range,
    /// percent from 0 to 20, at most 100 counts.
    ///
    /// One that does not is taken for no instrument at all.
    pub fn makes_sense(&self) -> bool {
        let (range, step) = (self.range.to_f64(), self.resolution.to_f64());
        let percent = self.accuracy.percent.to_f64();
        step > 0.0
            && step < range
            && (0.0..=MOST_PERCENT).contains(&percent)
            && self.accuracy.counts <= MOST_COUNTS
            && self.category_volts.to_f64() > 0.0
    }

    /// Limit of error at a value it shows, in the unit it reads: percent of reading plus counts of
    /// the last digit, and never less than one step of the display.
    ///
    /// Makers state it so: 120 V at 0.7 % and 2 counts of 0.1 V gives 1.04 V. `extra_share` of the
    /// reading comes on top, for position in the jaws. Infinite where the entry makes no sense.
    pub fn limit_of_error(&self, shown: f64, extra_share: f64) -> f64 {
        if !self.makes_sense() || !shown.is_finite() || !extra_share.is_finite() {
            return f64::INFINITY;
        }
        let step = self.resolution.to_f64();
        let share = self.accuracy.percent.to_f64() / 100.0 + extra_share.max(0.0);
        let stated = share * shown.abs() + f64::from(self.accuracy.counts) * step;
        stated.max(step)
    }

    /// A voltage it shows, with its limit of error.
    pub fn volts_of(&self, reading: &VoltsReading) -> Bounded<Voltage> {
        let shown = reading.volts.to_f64();
        Bounded { value: volts(shown), limit_of_error: volts(self.limit_of_error(shown, 0.0)) }
    }

    /// A current it shows, with its limit of error, the conductor's position in the jaws included.
    pub fn amps_of(&self, reading: &AmpsReading, rules: &RuleSheet) -> Bounded<Current> {
        self.amps_shown(reading.amps, rules)
    }

    /// Amps as it shows them, whatever was in its jaws.
    pub fn amps_shown(&self, typed: Decimal, rules: &RuleSheet) -> Bounded<Current> {
        let shown = typed.to_f64();
        let limit = self.limit_of_error(shown, rules.clamp_position_share());
        Bounded { value: amps(shown), limit_of_error: amps(limit) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::example;

    #[test]
    fn the_makers_example_comes_out() {
        let mut meter = example::tester();
        meter.accuracy.percent = "0.7".parse().unwrap();
        meter.accuracy.counts = 2;
        assert!((meter.limit_of_error(120.0, 0.0) - 1.04).abs() < 1e-9);
    }

    #[test]
    fn five_counts_of_a_tenth_cannot_tell_zero_from_half_an_amp() {
        assert!((example::clamp().limit_of_error(0.0, 0.02) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn no_display_is_better_than_its_last_digit() {
        let mut meter = example::tester();
        meter.accuracy.percent = "0".parse().unwrap();
        meter.accuracy.counts = 0;
        assert!((meter.limit_of_error(0.0, 0.0) - 0.1).abs() < 1e-12);
    }

    #[test]
    fn an_entry_that_makes_no_sense_bounds_nothing() {
        for (what, wrong) in [("percent", "-1"), ("percent", "21"), ("step", "0"), ("step", "-0.1")]
        {
            let mut meter = example::tester();
            match what {
                "percent" => meter.accuracy.percent = wrong.parse().unwrap(),
                _ => meter.resolution = wrong.parse().unwrap(),
            }
            assert!(meter.limit_of_error(0.0, 0.0).is_infinite(), "{what} {wrong}");
        }
    }
}
