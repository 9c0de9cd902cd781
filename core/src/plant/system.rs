//! Voltage systems: which conductors there are, which pairs to test, and what each pair should read.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{Voltage, in_volts, volts};

/// A conductor at a meter base or lug, or the independent ground a tester is held to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Conductor {
    /// First leg.
    L1,
    /// Second leg.
    L2,
    /// Third leg of a three-phase service; in a four-wire delta the high leg.
    L3,
    /// Neutral.
    N,
    /// Independent ground.
    G,
}

/// Two conductors a reading is taken between, in the order L1, L2, L3, N, G.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub struct Pair(pub Conductor, pub Conductor);

/// A voltage system that has rules here. One that is not listed is a stop.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum VoltageSystem {
    /// 120/240 V, one phase, three wires, centre tap grounded.
    #[serde(rename = "120/240-split-phase")]
    Split120_240,
    /// 120/240 V four-wire delta with a high leg, which is called L3 here whatever its place.
    #[serde(rename = "120/240-delta-4w")]
    Delta120_240,
    /// 208Y/120 V, three legs.
    #[serde(rename = "208y/120")]
    Wye208,
    /// Two of the three legs of a 208Y/120 V network.
    #[serde(rename = "208y/120-network")]
    Network208,
    /// 480Y/277 V.
    #[serde(rename = "480y/277")]
    Wye480,
    /// 600Y/347 V.
    #[serde(rename = "600y/347")]
    Wye600,
    /// 230/400 V, three legs, separate neutral.
    #[serde(rename = "230/400")]
    Wye400,
    /// 230/400 V where neutral and protective earth are one conductor (PEN); it is called N here.
    #[serde(rename = "230/400-pen")]
    Wye400Pen,
}

/// What a pair may read when the supply is healthy, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The least.
    pub least: Voltage,
    /// The most.
    pub most: Voltage,
}

impl Band {
    /// Whether the size of a voltage lies in it, edges included.
    pub fn holds(self, voltage: Voltage) -> bool {
        let size = voltage.abs();
        self.least <= size && size <= self.most
    }
}

impl Conductor {
    /// True for a hot leg.
    pub const fn is_leg(self) -> bool {
        matches!(self, Self::L1 | Self::L2 | Self::L3)
    }
}

impl fmt::Display for Conductor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::L1 => "L1",
            Self::L2 => "L2",
            Self::L3 => "L3",
            Self::N => "N",
            Self::G => "G",
        })
    }
}

impl Pair {
    /// The pair in its one order, whichever way round it was given; none for a conductor with itself.
    pub fn of(one: Conductor, other: Conductor) -> Option<Self> {
        match one.cmp(&other) {
            std::cmp::Ordering::Less => Some(Self(one, other)),
            std::cmp::Ordering::Greater => Some(Self(other, one)),
            std::cmp::Ordering::Equal => None,
        }
    }
}

impl fmt::Display for Pair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.0, self.1)
    }
}

impl VoltageSystem {
    /// Every system that has rules here.
    pub const ALL: [Self; 8] = [
        Self::Split120_240,
        Self::Delta120_240,
        Self::Wye208,
        Self::Network208,
        Self::Wye480,
        Self::Wye600,
        Self::Wye400,
        Self::Wye400Pen,
    ];

    /// Its name on map sheets and in events.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Split120_240 => "120/240-split-phase",
            Self::Delta120_240 => "120/240-delta-4w",
            Self::Wye208 => "208y/120",
            Self::Network208 => "208y/120-network",
            Self::Wye480 => "480y/277",
            Self::Wye600 => "600y/347",
            Self::Wye400 => "230/400",
            Self::Wye400Pen => "230/400-pen",
        }
    }

    /// The system of that name; none for one without rules, which is a stop.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|system| system.name() == name)
    }

    /// The hot legs.
    pub const fn legs(self) -> &'static [Conductor] {
        match self {
            Self::Split120_240 | Self::Network208 => &[Conductor::L1, Conductor::L2],
            Self::Delta120_240
            | Self::Wye208
            | Self::Wye480
            | Self::Wye600
            | Self::Wye400
            | Self::Wye400Pen => &[Conductor::L1, Conductor::L2, Conductor::L3],
        }
    }

    /// The hot legs and the neutral (the PEN where that is what it is).
    pub const fn conductors(self) -> &'static [Conductor] {
        match self.legs().len() {
            2 => &[Conductor::L1, Conductor::L2, Conductor::N],
            _ => &[Conductor::L1, Conductor::L2, Conductor::L3, Conductor::N],
        }
    }

    /// Every pair of conductors, and each conductor to an independent ground, in order.
    ///
    /// These are the pairs of a proof of dead on one side of the base; across each jaw pair comes on
    /// top and is not a pair of this system.
    pub fn pairs_to_test(self) -> Vec<Pair> {
        let mut all = self.conductors().to_vec();
        all.push(Conductor::G);
        let mut pairs = Vec::new();
        for (i, &one) in all.iter().enumerate() {
            pairs.extend(all.iter().skip(i + 1).map(|&other| Pair(one, other)));
        }
        pairs
    }

    /// Nominal volts of a pair: leg to leg, leg to neutral or ground, neutral to ground (0).
    ///
    /// None for a pair this system does not have.
    pub fn expected(self, pair: Pair) -> Option<Voltage> {
        let Pair(one, other) = Pair::of(pair.0, pair.1)?;
        let has = |c: Conductor| c == Conductor::G || self.conductors().contains(&c);
        if !has(one) || !has(other) {
            return None;
        }
        let (leg_to_leg, leg_to_neutral) = self.nominal();
        let nominal = match (one, other) {
            (Conductor::N, _) => 0.0,
            // The high leg of a four-wire delta stands at sqrt(3) x 120 V to the neutral.
            (Conductor::L3, Conductor::N | Conductor::G) if self == Self::Delta120_240 => 208.0,
            (_, Conductor::N | Conductor::G) => leg_to_neutral,
            _ => leg_to_leg,
        };
        Some(volts(nominal))
    }

    /// What a pair may read where the supply is handed over, when it is healthy.
    ///
    /// None for pairs with the ground (a reading to remote earth proves no quality of supply) and
    /// for pairs this system does not have.
    pub fn service_band(self, pair: Pair) -> Option<Band> {
        let Pair(one, other) = Pair::of(pair.0, pair.1)?;
        if other == Conductor::G {
            return None;
        }
        self.expected(pair)?;
        let to_neutral = other == Conductor::N;
        let (least, most) = match self {
            // The high leg is not in C84.1: 5 % of 208 V, rounded inwards as the table does for 208Y.
            Self::Delta120_240 if to_neutral && one == Conductor::L3 => (198.0, 218.0),
            // ANSI C84.1 Table 1, Range A at the service (from memory; a utility's published figures
            // of 456 to 504 V at 480 V agree with the same 5 %).
            Self::Split120_240 | Self::Delta120_240 | Self::Wye208 | Self::Network208
                if to_neutral =>
            {
                (114.0, 126.0)
            }
            Self::Split120_240 | Self::Delta120_240 => (228.0, 252.0),
            Self::Wye208 | Self::Network208 => (197.0, 218.0),
            Self::Wye480 if to_neutral => (263.0, 291.0),
            Self::Wye480 => (456.0, 504.0),
            // What both 5 % of nominal (ANSI C84.1) and CSA C235's normal range (318 to 360 V, 550 to
            // 625 V, from memory) allow.
            Self::Wye600 if to_neutral => (330.0, 360.0),
            Self::Wye600 => (570.0, 625.0),
            // IEC 60038: 230/400 V, 10 % either way.
            Self::Wye400 | Self::Wye400Pen if to_neutral => (207.0, 253.0),
            Self::Wye400 | Self::Wye400Pen => (360.0, 440.0),
        };
        Some(Band { least: volts(least), most: volts(most) })
    }

    /// What a pair may read at the service for a short time: Range B of ANSI C84.1 (from memory), 110
    /// to 127 V on 120 V, and in proportion.
    ///
    /// None for systems that the table does not have, and where there is no [`Self::service_band`].
    pub fn range_b(self, pair: Pair) -> Option<Band> {
        let in_table = match self {
            Self::Split120_240
            | Self::Delta120_240
            | Self::Wye208
            | Self::Network208
            | Self::Wye480 => true,
            Self::Wye600 | Self::Wye400 | Self::Wye400Pen => false,
        };
        self.service_band(pair).filter(|_| in_table)?;
        let nominal = in_volts(self.expected(pair)?);
        let share = |share: f64| volts((nominal * share).round());
        Some(Band { least: share(110.0 / 120.0), most: share(127.0 / 120.0) })
    }

    /// How far apart the voltages of two legs to neutral stand, degrees: opposite about a centre
    /// tap, a third of a turn in a wye, a quarter between a high leg and the others.
    ///
    /// None for anything but two legs of this system.
    pub fn degrees_apart(self, pair: Pair) -> Option<f64> {
        let Pair(one, other) = Pair::of(pair.0, pair.1)?;
        if !self.legs().contains(&one) || !self.legs().contains(&other) {
            return None;
        }
        Some(match self {
            Self::Delta120_240 if other == Conductor::L3 => 90.0,
            Self::Split120_240 | Self::Delta120_240 => 180.0,
            Self::Wye208
            | Self::Network208
            | Self::Wye480
            | Self::Wye600
            | Self::Wye400
            | Self::Wye400Pen => 120.0,
        })
    }

    /// True where opening the neutral makes metalwork live, because it is the protective earth too.
    pub const fn neutral_is_protective_earth(self) -> bool {
        matches!(self, Self::Wye400Pen)
    }

    /// Nominal volts leg to leg and leg to neutral.
    const fn nominal(self) -> (f64, f64) {
        match self {
            Self::Split120_240 | Self::Delta120_240 => (240.0, 120.0),
            Self::Wye208 | Self::Network208 => (208.0, 120.0),
            Self::Wye480 => (480.0, 277.0),
            Self::Wye600 => (600.0, 347.0),
            Self::Wye400 | Self::Wye400Pen => (400.0, 230.0),
        }
    }
}

impl fmt::Display for VoltageSystem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_the_serialised_ones() {
        for system in VoltageSystem::ALL {
            let json = serde_json::to_string(&system).unwrap();
            assert_eq!(json, format!("\"{}\"", system.name()));
            assert_eq!(VoltageSystem::from_name(system.name()), Some(system));
        }
        assert_eq!(VoltageSystem::from_name("corner-grounded-delta"), None);
    }

    #[test]
    fn split_phase_tests_six_pairs() {
        let pairs: Vec<String> =
            VoltageSystem::Split120_240.pairs_to_test().iter().map(Pair::to_string).collect();
        assert_eq!(pairs, ["L1-L2", "L1-N", "L1-G", "L2-N", "L2-G", "N-G"]);
        assert_eq!(VoltageSystem::Wye208.pairs_to_test().len(), 10);
    }

    #[test]
    fn every_pair_to_test_has_an_expectation_inside_its_band() {
        for system in VoltageSystem::ALL {
            for pair in system.pairs_to_test() {
                let expected = system.expected(pair).unwrap();
                match system.service_band(pair) {
                    Some(band) => assert!(band.least < expected && expected < band.most, "{pair}"),
                    None => assert_eq!(pair.1, Conductor::G),
                }
            }
        }
    }

    #[test]
    fn wye_legs_stand_at_root_three_of_the_neutral() {
        use Conductor::{L1, L2, L3, N};
        for system in [VoltageSystem::Wye208, VoltageSystem::Wye480, VoltageSystem::Wye600] {
            let line = in_volts(system.expected(Pair(L1, L2)).unwrap());
            let neutral = in_volts(system.expected(Pair(L1, N)).unwrap());
            assert!((line / neutral - 3.0_f64.sqrt()).abs() < 0.005, "{system}");
        }
        let high = VoltageSystem::Delta120_240.expected(Pair(L3, N)).unwrap();
        assert!((in_volts(high) - 120.0 * 3.0_f64.sqrt()).abs() < 0.5);
    }

    /// Two voltages to neutral and the angle between them give the voltage between the legs.
    #[test]
    fn angles_and_voltages_of_legs_agree() {
        for system in VoltageSystem::ALL {
            for (i, &one) in system.legs().iter().enumerate() {
                for &other in system.legs().iter().skip(i + 1) {
                    let to_neutral =
                        |leg| in_volts(system.expected(Pair(leg, Conductor::N)).unwrap());
                    let (a, b) = (to_neutral(one), to_neutral(other));
                    let apart = system.degrees_apart(Pair(other, one)).unwrap().to_radians();
                    let between = (a * a + b * b - 2.0 * a * b * apart.cos()).sqrt();
                    let expected = in_volts(system.expected(Pair(one, other)).unwrap());
                    assert!((between / expected - 1.0).abs() < 0.005, "{system} {one} {other}");
                }
            }
            assert_eq!(system.degrees_apart(Pair(Conductor::L1, Conductor::N)), None);
        }
    }

    #[test]
    fn two_leg_systems_have_no_third_leg() {
        let pair = Pair(Conductor::L1, Conductor::L3);
        assert_eq!(VoltageSystem::Split120_240.expected(pair), None);
        assert_eq!(VoltageSystem::Network208.service_band(pair), None);
        assert_eq!(Pair::of(Conductor::N, Conductor::N), None);
    }
}
