//! Units that a mapping may name, and how many of the map sheet's own each is.

use coldlug_core::mapsheet::Measure;

/// A unit: times the first, through the second, is the map sheet's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    times: f64,
    through: f64,
}

const fn unit(times: f64, through: f64) -> Unit {
    Unit { times, through }
}

/// The international foot is 0.3048 m and the mile 5280 of it by agreement (1959); the survey foot
/// of the United States 1200/3937 m (both NIST SP 811, appendix B, from memory).
const LENGTHS: [(&str, Unit); 5] = [
    ("m", unit(1.0, 1.0)),
    ("km", unit(1000.0, 1.0)),
    ("ft", unit(3048.0, 10_000.0)),
    ("us-ft", unit(1200.0, 3937.0)),
    ("mi", unit(1_609_344.0, 1000.0)),
];
const VOLTS: [(&str, Unit); 2] = [("V", unit(1.0, 1.0)), ("kV", unit(1000.0, 1.0))];
const KILOVOLTS: [(&str, Unit); 2] = [("kV", unit(1.0, 1.0)), ("V", unit(1.0, 1000.0))];
const AMPS: [(&str, Unit); 2] = [("A", unit(1.0, 1.0)), ("kA", unit(1000.0, 1.0))];
const KILOVOLT_AMPS: [(&str, Unit); 3] =
    [("kVA", unit(1.0, 1.0)), ("VA", unit(1.0, 1000.0)), ("MVA", unit(1000.0, 1.0))];
const KILOWATTS: [(&str, Unit); 3] =
    [("kW", unit(1.0, 1.0)), ("W", unit(1.0, 1000.0)), ("MW", unit(1000.0, 1.0))];
const PERCENT: [(&str, Unit); 2] = [("percent", unit(1.0, 1.0)), ("per-unit", unit(100.0, 1.0))];

impl Unit {
    /// The map sheet's own.
    pub(super) const OWN: Self = unit(1.0, 1.0);

    /// The unit of that name.
    pub(super) fn named(measure: Measure, name: &str) -> Option<Self> {
        units(measure).iter().find(|(known, _)| *known == name).map(|&(_, unit)| unit)
    }

    /// A number in this unit, in the map sheet's own.
    pub(super) fn of(self, number: f64) -> f64 {
        number * self.times / self.through
    }
}

/// The names of the units of a measure; none for a bare ratio.
pub(super) fn names(measure: Measure) -> Vec<&'static str> {
    units(measure).iter().map(|&(name, _)| name).collect()
}

fn units(measure: Measure) -> &'static [(&'static str, Unit)] {
    match measure {
        Measure::Metres => &LENGTHS,
        Measure::Volts => &VOLTS,
        Measure::Kilovolts => &KILOVOLTS,
        Measure::Amps => &AMPS,
        Measure::KilovoltAmps => &KILOVOLT_AMPS,
        Measure::Kilowatts => &KILOWATTS,
        Measure::Percent => &PERCENT,
        Measure::Bare => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_comes_out_in_the_sheets_own_unit() {
        let check = |measure, name, number: f64, own: f64| {
            let got = Unit::named(measure, name).unwrap().of(number);
            assert!((got - own).abs() <= own.abs() * 1e-15, "{number} {name}: {got}, not {own}");
        };
        check(Measure::Metres, "ft", 100.0, 30.48);
        check(Measure::Metres, "us-ft", 3937.0, 1200.0);
        check(Measure::Metres, "mi", 1.0, 5280.0 * 0.3048);
        check(Measure::Kilovolts, "V", 15_000.0, 15.0);
        check(Measure::KilovoltAmps, "VA", 37_500.0, 37.5);
        check(Measure::Percent, "per-unit", 0.018, 1.8);
        assert_eq!(Unit::named(Measure::Bare, "percent"), None);
        assert_eq!(Unit::named(Measure::Amps, "V"), None);
        assert!(names(Measure::Metres).contains(&"ft"));
    }

    #[test]
    fn a_cable_class_in_volts_is_one_of_the_sheets() {
        for kilovolts in [15.0, 25.0, 35.0] {
            let volts = Unit::named(Measure::Kilovolts, "V").unwrap().of(kilovolts * 1000.0);
            assert_eq!(volts.to_bits(), kilovolts.to_bits());
        }
    }
}
