//! The classes of instruments that crews carry, each with the limits that are usual for it.
//!
//! A crew enters its own instrument once, from its nameplate and manual. What they do not say is
//! taken from its class here, on the wide side: an instrument is rarely worse than this. Category,
//! its voltage and the day of calibration are never taken from here; they stand on every instrument.
//!
//! Where the numbers come from: a clamp of 2 % and 5 counts and a voltmeter of 1.5 % and 5 counts
//! are typical of field instruments (from memory); all others are common practice without a source.

use super::{Accuracy, InstrumentClass};
use crate::quantity::Decimal;

/// What an instrument of a class tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reads {
    /// Volts between two conductors.
    Volts,
    /// Amps of what is in its jaws.
    Amps,
    /// Megohms between two conductors.
    Megohms,
    /// The level of a tone, from 0 to 100, without a unit.
    Level,
    /// Whether a primary conductor is live: a signal, no number that is written down.
    Presence,
    /// The order of the phases, no number.
    Rotation,
}

/// What is usual for a class of instruments.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Usual {
    /// Top of the range, in the unit of the class.
    pub range: Decimal,
    /// Smallest step of the display.
    pub resolution: Decimal,
    /// Limit of error.
    pub accuracy: Accuracy,
    /// Months from one calibration to the next.
    pub calibration_months: u16,
}

impl InstrumentClass {
    /// Every class, in the order in which they are offered.
    pub const ALL: [Self; 8] = [
        Self::Clamp,
        Self::TwoPoleTester,
        Self::LowImpedanceVoltmeter,
        Self::DigitalMultimeter,
        Self::PrimaryVoltageDetector,
        Self::InsulationTester,
        Self::PhaseRotation,
        Self::ToneSet,
    ];

    /// Its name in events and answers.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clamp => "clamp",
            Self::TwoPoleTester => "two-pole-tester",
            Self::LowImpedanceVoltmeter => "low-impedance-voltmeter",
            Self::DigitalMultimeter => "digital-multimeter",
            Self::PrimaryVoltageDetector => "primary-voltage-detector",
            Self::InsulationTester => "insulation-tester",
            Self::PhaseRotation => "phase-rotation",
            Self::ToneSet => "tone-set",
        }
    }

    /// What it tells.
    pub const fn reads(self) -> Reads {
        match self {
            Self::TwoPoleTester | Self::LowImpedanceVoltmeter | Self::DigitalMultimeter => {
                Reads::Volts
            }
            Self::Clamp => Reads::Amps,
            Self::InsulationTester => Reads::Megohms,
            Self::ToneSet => Reads::Level,
            Self::PrimaryVoltageDetector => Reads::Presence,
            Self::PhaseRotation => Reads::Rotation,
        }
    }

    /// The unit of its range; empty: none.
    ///
    /// A rotation meter shows no number: its range is the voltage it may be put on.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::TwoPoleTester
            | Self::LowImpedanceVoltmeter
            | Self::DigitalMultimeter
            | Self::PhaseRotation => "V",
            Self::PrimaryVoltageDetector => "kV",
            Self::Clamp => "A",
            Self::InsulationTester => "MΩ",
            Self::ToneSet => "",
        }
    }

    /// True where its input draws so little that a voltage which is only coupled over stands as if
    /// it were fed. One that loads what it touches makes such a ghost fall away.
    pub const fn shows_ghosts(self) -> bool {
        matches!(self, Self::DigitalMultimeter)
    }

    /// What is usual for it.
    pub const fn usual(self) -> Usual {
        let (range, resolution, percent, counts) = match self {
            Self::Clamp => (whole(400), tenths(1), whole(2), 5),
            // Steps of a volt and no fraction on many of them.
            Self::TwoPoleTester => (whole(690), whole(1), whole(3), 3),
            Self::LowImpedanceVoltmeter => (whole(600), tenths(1), whole(2), 5),
            Self::DigitalMultimeter => (whole(600), tenths(1), tenths(15), 5),
            Self::PrimaryVoltageDetector => (whole(36), whole(1), whole(10), 1),
            Self::InsulationTester => (whole(2000), tenths(1), whole(5), 5),
            Self::PhaseRotation => (whole(690), whole(1), whole(0), 0),
            // A receiver's level moves by itself as it is turned in the hand.
            Self::ToneSet => (whole(100), whole(1), whole(10), 5),
        };
        Usual { range, resolution, accuracy: Accuracy { percent, counts }, calibration_months: 12 }
    }
}

const fn whole(units: u32) -> Decimal {
    Decimal::scaled(units, 0)
}

const fn tenths(tenths: u32) -> Decimal {
    Decimal::scaled(tenths, 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{quantity::InstrumentId, reading::Instrument, rule_sheet::Category};

    /// An instrument that is as its class usually is.
    fn usual(class: InstrumentClass) -> Instrument {
        let Usual { range, resolution, accuracy, .. } = class.usual();
        Instrument {
            id: InstrumentId::new("U1").unwrap(),
            class,
            category: Category::Four,
            category_volts: "600".parse().unwrap(),
            range,
            resolution,
            accuracy,
            calibration_due_ms: 0,
        }
    }

    #[test]
    fn every_class_makes_sense_and_is_named_as_in_events() {
        for class in InstrumentClass::ALL {
            assert!(usual(class).makes_sense(), "{class:?}");
            assert_eq!(serde_json::to_value(class).unwrap(), class.name());
            assert!(class.usual().calibration_months > 0);
        }
    }

    /// With the usual limits each voltage tester can still tell dead and live, and the clamp no load
    /// and load, at the limits of the default rule sheet. Else the class would be of no use.
    #[test]
    fn the_usual_instrument_can_decide() {
        for class in InstrumentClass::ALL {
            let limit = usual(class).limit_of_error(0.0, 0.0);
            match class.reads() {
                Reads::Volts => assert!(limit < 5.0, "{class:?} cannot tell dead"),
                Reads::Amps => assert!(limit < 1.0, "{class:?} cannot tell no load"),
                Reads::Megohms | Reads::Level | Reads::Presence | Reads::Rotation => {}
            }
        }
    }
}
