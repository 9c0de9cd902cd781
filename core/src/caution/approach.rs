//! How near a person may come to what is energised and exposed.

use serde::Serialize;

use super::Sourced;
use crate::quantity::{Length, Voltage, in_metres, in_volts, metres};

/// Which way a person's body bridges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Exposure {
    /// From a live part to ground. A single-phase system has this one only.
    PhaseToGround,
    /// From a live part to another phase.
    PhaseToPhase,
}

/// What the table says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Approach {
    /// Below 50 V: the table asks for nothing.
    BelowTable,
    /// Any distance, and no contact.
    AvoidContact,
    /// At least this far, altitude included.
    AtLeast(Length),
    /// Above 72.5 kV or 6 000 m: the table has no number; the utility's own rule decides.
    NoNumber,
}

const R6: &str = "29 CFR 1910.269 Table R-6 (2014), 72.5 kV and less";
const R5: &str = "29 CFR 1910.269 Tables R-6 (2014) and R-5 (altitude; from memory)";

/// Table R-6: up to how many volts phase to phase, then metres phase to ground and phase to phase.
///
/// The 1994 table is still about (0.64 m for 1.1 to 15 kV): it is not this one.
const TABLE_R6: [(f64, f64, f64); 6] = [
    (750.0, 0.33, 0.33),
    (5_000.0, 0.63, 0.63),
    (15_000.0, 0.65, 0.68),
    (36_000.0, 0.77, 0.89),
    (46_000.0, 0.84, 0.98),
    (72_500.0, 1.00, 1.20),
];

/// Table R-5: up to how many metres of altitude, and by how much distances grow.
const TABLE_R5: [(f64, f64); 13] = [
    (900.0, 1.00),
    (1_200.0, 1.02),
    (1_500.0, 1.05),
    (1_800.0, 1.08),
    (2_100.0, 1.11),
    (2_400.0, 1.14),
    (2_700.0, 1.17),
    (3_000.0, 1.20),
    (3_600.0, 1.25),
    (4_200.0, 1.30),
    (4_800.0, 1.35),
    (5_400.0, 1.39),
    (6_000.0, 1.44),
];

/// Least approach distance to an exposed part of a system with this nominal voltage phase to phase
/// (for a single-phase system, to ground), at an altitude.
///
/// It is for exposed primary: live-front gear, an open probe, a drawn fuse, a damaged shield. An
/// intact, grounded dead-front elbow is not exposed; that it is intact is a step of its own.
pub fn approach(nominal: Voltage, exposure: Exposure, altitude: Length) -> Sourced<Approach> {
    let volts = in_volts(nominal).abs();
    let said = |value, source| Sourced { value, source };
    if volts < 50.0 {
        return said(Approach::BelowTable, R6);
    }
    if volts <= 300.0 {
        return said(Approach::AvoidContact, R6);
    }
    let row = TABLE_R6.iter().find(|(most, ..)| volts <= *most);
    let factor = TABLE_R5.iter().find(|(most, _)| in_metres(altitude) <= *most);
    let (Some(&(_, to_ground, to_phase)), Some(&(_, factor))) = (row, factor) else {
        return said(Approach::NoNumber, R5);
    };
    let distance = match exposure {
        Exposure::PhaseToGround => to_ground,
        Exposure::PhaseToPhase => to_phase,
    };
    said(Approach::AtLeast(metres(distance * factor)), if factor > 1.0 { R5 } else { R6 })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::volts;

    fn check(nominal: f64, exposure: Exposure, altitude: f64, wanted: Approach) {
        let found = approach(volts(nominal), exposure, metres(altitude)).value;
        match (found, wanted) {
            (Approach::AtLeast(found), Approach::AtLeast(wanted)) => {
                assert!((in_metres(found) - in_metres(wanted)).abs() < 1e-9, "{nominal} V");
            }
            _ => assert_eq!(found, wanted, "{nominal} V"),
        }
    }

    #[test]
    fn the_rows_that_matter_here() {
        use Exposure::{PhaseToGround, PhaseToPhase};
        let at_least = |m| Approach::AtLeast(metres(m));
        check(24.0, PhaseToGround, 0.0, Approach::BelowTable);
        check(240.0, PhaseToGround, 0.0, Approach::AvoidContact);
        check(480.0, PhaseToGround, 0.0, at_least(0.33));
        check(7_200.0, PhaseToGround, 0.0, at_least(0.65));
        check(12_470.0, PhaseToGround, 900.0, at_least(0.65));
        check(13_200.0, PhaseToPhase, 0.0, at_least(0.68));
        check(34_500.0, PhaseToGround, 0.0, at_least(0.77));
        check(72_501.0, PhaseToGround, 0.0, Approach::NoNumber);
        check(7_200.0, PhaseToGround, 1_600.0, at_least(0.65 * 1.08));
        check(7_200.0, PhaseToGround, 6_001.0, Approach::NoNumber);
        check(f64::NAN, PhaseToGround, 0.0, Approach::NoNumber);
    }

    /// The feet of the table are its metres, rounded up to a hundredth of a foot.
    #[test]
    fn metres_agree_with_the_feet_of_the_table() {
        let feet =
            [(1.09, 1.09), (2.07, 2.07), (2.14, 2.24), (2.53, 2.92), (2.76, 3.22), (3.29, 3.94)];
        for ((_, ground, phase), (ground_ft, phase_ft)) in TABLE_R6.iter().zip(feet) {
            for (m, ft) in [(ground, ground_ft), (phase, phase_ft)] {
                let up = (m / 0.3048 * 100.0_f64).ceil() / 100.0;
                assert!((up - ft).abs() < 1e-9, "{m} m is {up} ft, the table has {ft}");
            }
        }
    }

    proptest! {
        #[test]
        fn more_volts_or_altitude_never_let_anyone_nearer(
            v in 301.0..70_000.0, more in 0.0..2_500.0, alt in 0.0..5_000.0, up in 0.0..1_000.0,
        ) {
            let far = |v: f64, alt: f64| {
                match approach(volts(v), Exposure::PhaseToGround, metres(alt)).value {
                    Approach::AtLeast(distance) => in_metres(distance),
                    _ => f64::NAN,
                }
            };
            prop_assert!(far(v, alt) <= far(v + more, alt));
            prop_assert!(far(v, alt) <= far(v, alt + up));
        }
    }
}
