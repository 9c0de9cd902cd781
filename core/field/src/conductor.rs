//! Conductors: metal, size, impedance per metre, and the names of the three conductors of a set.

/// The metal of a conductor, as a person sees it at a lug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Metal {
    /// Aluminium.
    Al,
    /// Copper.
    Cu,
}

impl Metal {
    /// The word used on a map sheet: `al` or `cu`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Al => "al",
            Self::Cu => "cu",
        }
    }

    /// The other metal.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Al => Self::Cu,
            Self::Cu => Self::Al,
        }
    }
}

/// The size of a conductor: AWG up to 4/0, kcmil above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Size {
    /// 6 AWG.
    Awg6,
    /// 4 AWG.
    Awg4,
    /// 2 AWG.
    Awg2,
    /// 1/0 AWG.
    Awg1o0,
    /// 2/0 AWG.
    Awg2o0,
    /// 4/0 AWG.
    Awg4o0,
    /// 350 kcmil.
    Kcmil350,
    /// 500 kcmil.
    Kcmil500,
}

impl Size {
    /// Every size, thinnest first.
    pub const ALL: [Self; 8] = [
        Self::Awg6,
        Self::Awg4,
        Self::Awg2,
        Self::Awg1o0,
        Self::Awg2o0,
        Self::Awg4o0,
        Self::Kcmil350,
        Self::Kcmil500,
    ];

    /// The word used on a map sheet: `6`, `1/0`, `350`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Awg6 => "6",
            Self::Awg4 => "4",
            Self::Awg2 => "2",
            Self::Awg1o0 => "1/0",
            Self::Awg2o0 => "2/0",
            Self::Awg4o0 => "4/0",
            Self::Kcmil350 => "350",
            Self::Kcmil500 => "500",
        }
    }
}

const METRES_PER_KILOFOOT: f64 = 304.8;

/// Series resistance of one conductor in ohms per metre, 60 Hz, 75 °C, in PVC conduit.
/// Source: NEC Chapter 9, Table 9.
pub fn ohms_per_metre(metal: Metal, size: Size) -> f64 {
    let (copper, aluminium) = match size {
        Size::Awg6 => (0.49, 0.81),
        Size::Awg4 => (0.31, 0.51),
        Size::Awg2 => (0.19, 0.32),
        Size::Awg1o0 => (0.12, 0.20),
        Size::Awg2o0 => (0.10, 0.16),
        Size::Awg4o0 => (0.062, 0.10),
        Size::Kcmil350 => (0.038, 0.061),
        Size::Kcmil500 => (0.027, 0.043),
    };
    let per_kilofoot = match metal {
        Metal::Cu => copper,
        Metal::Al => aluminium,
    };
    per_kilofoot / METRES_PER_KILOFOOT
}

/// Series reactance of one conductor in ohms per metre, 60 Hz, in PVC conduit.
/// Source: NEC Chapter 9, Table 9.
pub fn reactance_per_metre(size: Size) -> f64 {
    let per_kilofoot = match size {
        Size::Awg6 => 0.051,
        Size::Awg4 => 0.048,
        Size::Awg2 => 0.045,
        Size::Awg1o0 => 0.044,
        Size::Awg2o0 => 0.043,
        Size::Awg4o0 => 0.041,
        Size::Kcmil350 => 0.040,
        Size::Kcmil500 => 0.039,
    };
    per_kilofoot / METRES_PER_KILOFOOT
}

/// One hot leg of a 120/240 V split-phase set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Leg {
    /// Leg 1.
    L1,
    /// Leg 2.
    L2,
}

impl Leg {
    /// Both legs, in order.
    pub const ALL: [Self; 2] = [Self::L1, Self::L2];

    /// The other leg.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::L1 => Self::L2,
            Self::L2 => Self::L1,
        }
    }
}

/// One conductor of a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Conductor {
    /// Leg 1.
    L1,
    /// Leg 2.
    L2,
    /// The neutral.
    N,
}

impl Conductor {
    /// All three, in order.
    pub const ALL: [Self; 3] = [Self::L1, Self::L2, Self::N];
}

impl From<Leg> for Conductor {
    fn from(leg: Leg) -> Self {
        match leg {
            Leg::L1 => Self::L1,
            Leg::L2 => Self::L2,
        }
    }
}

/// What a look at the end of a set shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Look {
    /// The metal seen.
    pub metal: Metal,
    /// The size printed on the jacket.
    pub size: Size,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thicker_and_copper_conduct_better() {
        for pair in Size::ALL.windows(2) {
            for metal in [Metal::Al, Metal::Cu] {
                assert!(ohms_per_metre(metal, pair[0]) > ohms_per_metre(metal, pair[1]));
            }
            assert!(reactance_per_metre(pair[0]) >= reactance_per_metre(pair[1]));
            assert!(ohms_per_metre(Metal::Al, pair[0]) > ohms_per_metre(Metal::Cu, pair[0]));
        }
    }

    #[test]
    fn a_kilofoot_of_4o0_aluminium_is_a_tenth_of_an_ohm() {
        let ohms = ohms_per_metre(Metal::Al, Size::Awg4o0) * 304.8;
        assert!((ohms - 0.1).abs() < 1e-12, "{ohms}");
    }
}
