//! What a person wears: rubber gloves by class, arc-rated clothing by place.

use serde::Serialize;

use super::Sourced;
use crate::{
    plant::VoltageSystem,
    quantity::{Decimal, Voltage, in_volts},
    rule_sheet::{GloveClass, RuleSheet},
};

/// Where hands go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hands {
    /// In an open pad: elbows and bushings are a hand's breadth away.
    OpenPad,
    /// At a meter base, pedestal or secondary without primary beside it.
    Secondary,
}

/// Arc rating of clothing, whole body.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "clothing")]
pub enum Clothing {
    /// At least this, cal/cm2.
    AtLeast {
        /// Arc rating, cal/cm2.
        cal_per_cm2: Decimal,
    },
    /// No number without the utility's study.
    StudyNeeded,
}

const D120: &str = "ASTM D120; 29 CFR 1910.137 Table I-4: most use voltage";
const D120_AND_SHEET: &str = "ASTM D120; 29 CFR 1910.137 Table I-4; the rule sheet's least class";
const NESC: &str =
    "NESC Table 410-1, 50 to 250 V: 4 cal/cm2 (from memory); the rule sheet's margin";
const STUDY: &str = "29 CFR 1910.269(l)(8): a reasonable estimate; no table value is taken here";

/// Most use voltage of each glove class, AC volts.
const MOST_USE: [(GloveClass, f64); 6] = [
    (GloveClass::DoubleZero, 500.0),
    (GloveClass::Zero, 1_000.0),
    (GloveClass::One, 7_500.0),
    (GloveClass::Two, 17_000.0),
    (GloveClass::Three, 26_500.0),
    (GloveClass::Four, 36_000.0),
];

/// The least class for a voltage (phase to phase where there are phases); none above class 4.
pub fn class_for(nominal: Voltage) -> Option<GloveClass> {
    let volts = in_volts(nominal).abs();
    MOST_USE.iter().find(|(_, most)| volts <= *most).map(|(class, _)| *class)
}

/// Gloves with leather protectors for a place, by the highest voltage in reach and by the rule
/// sheet, whichever asks for more. None: no glove is rated for it.
pub fn gloves(highest: Voltage, hands: Hands, rules: &RuleSheet) -> Sourced<Option<GloveClass>> {
    let by_sheet = match hands {
        Hands::OpenPad => rules.gloves_in_open_pad.max(rules.gloves_at_secondary),
        Hands::Secondary => rules.gloves_at_secondary,
    };
    match class_for(highest) {
        Some(class) if class >= by_sheet => Sourced { value: Some(class), source: D120 },
        Some(_) => Sourced { value: Some(by_sheet), source: D120_AND_SHEET },
        None => Sourced { value: None, source: D120 },
    }
}

/// Arc rating at the secondary of a pad, a meter or a pedestal of this voltage system.
///
/// Only a 120/240 V single-phase service has a default. Engineers compute far more on 480Y/277, and
/// a large 208Y/120 or network holds an arc: those, and every system not split-phase, need the
/// utility's study.
pub fn clothing(system: VoltageSystem, rules: &RuleSheet) -> Sourced<Clothing> {
    match system {
        VoltageSystem::Split120_240 => Sourced {
            value: Clothing::AtLeast { cal_per_cm2: rules.arc_clothing_cal_per_cm2 },
            source: NESC,
        },
        VoltageSystem::Delta120_240
        | VoltageSystem::Wye208
        | VoltageSystem::Network208
        | VoltageSystem::Wye480
        | VoltageSystem::Wye600
        | VoltageSystem::Wye400
        | VoltageSystem::Wye400Pen => Sourced { value: Clothing::StudyNeeded, source: STUDY },
    }
}

/// Arc rating where primary is handled: only the utility's study has a number.
pub const fn clothing_at_primary() -> Sourced<Clothing> {
    Sourced { value: Clothing::StudyNeeded, source: STUDY }
}

/// True where two qualified workers are asked for: exposed parts above 600 V
/// (29 CFR 1910.269(l)(2)(i)). Elbows by stick too: two on site (WAC 296-45-225).
pub fn needs_two_workers(exposed: Voltage) -> bool {
    let volts = in_volts(exposed).abs();
    volts > 600.0 || volts.is_nan()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::volts;

    fn check(highest: f64, hands: Hands, wanted: Option<GloveClass>) {
        let found = gloves(volts(highest), hands, &RuleSheet::default()).value;
        assert_eq!(found, wanted, "{highest} V {hands:?}");
    }

    #[test]
    fn gloves_follow_the_table_and_the_sheet() {
        check(240.0, Hands::Secondary, Some(GloveClass::Zero));
        check(240.0, Hands::OpenPad, Some(GloveClass::Two));
        check(7_200.0, Hands::OpenPad, Some(GloveClass::Two));
        check(12_470.0, Hands::OpenPad, Some(GloveClass::Two));
        check(24_900.0, Hands::OpenPad, Some(GloveClass::Three));
        check(34_500.0, Hands::OpenPad, Some(GloveClass::Four));
        check(36_001.0, Hands::OpenPad, None);
        check(f64::NAN, Hands::Secondary, None);
    }

    #[test]
    fn the_sheet_never_takes_a_glove_below_its_voltage() {
        let rules = RuleSheet { gloves_in_open_pad: GloveClass::Zero, ..RuleSheet::default() };
        assert_eq!(gloves(volts(12_470.0), Hands::OpenPad, &rules).value, Some(GloveClass::Two));
    }

    #[test]
    fn only_a_split_phase_service_has_a_number_for_clothing() {
        let rules = RuleSheet::default();
        let eight = Clothing::AtLeast { cal_per_cm2: "8".parse().unwrap() };
        assert_eq!(clothing(VoltageSystem::Split120_240, &rules).value, eight);
        for system in [VoltageSystem::Wye480, VoltageSystem::Wye208, VoltageSystem::Network208] {
            assert_eq!(clothing(system, &rules).value, Clothing::StudyNeeded);
        }
    }

    #[test]
    fn two_workers_above_600_volts() {
        assert!(!needs_two_workers(volts(480.0)));
        assert!(!needs_two_workers(volts(600.0)));
        assert!(needs_two_workers(volts(7_200.0)));
        assert!(needs_two_workers(volts(f64::NAN)));
    }
}
