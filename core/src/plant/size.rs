//! Conductor sizes as the trade names them: area and diameter over the strands.

use crate::quantity::{Length, metres};

/// A stranded conductor's size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorSize {
    /// As the trade writes it: "1/0", "350".
    pub name: &'static str,
    /// Area in circular mils.
    pub circular_mils: f64,
    /// Diameter over the strands in inches.
    pub diameter_in: f64,
}

/// Concentric stranded conductors: AWG areas by definition, thousands of circular mils above 4/0;
/// diameters from the usual table for stranded conductors (from memory).
const SIZES: [ConductorSize; 18] = [
    size("6", 26_240.0, 0.184),
    size("4", 41_740.0, 0.232),
    size("3", 52_620.0, 0.260),
    size("2", 66_360.0, 0.292),
    size("1", 83_690.0, 0.332),
    size("1/0", 105_600.0, 0.372),
    size("2/0", 133_100.0, 0.418),
    size("3/0", 167_800.0, 0.470),
    size("4/0", 211_600.0, 0.528),
    size("250", 250_000.0, 0.575),
    size("300", 300_000.0, 0.630),
    size("350", 350_000.0, 0.681),
    size("400", 400_000.0, 0.728),
    size("500", 500_000.0, 0.813),
    size("600", 600_000.0, 0.893),
    size("700", 700_000.0, 0.964),
    size("750", 750_000.0, 0.998),
    size("1000", 1_000_000.0, 1.152),
];

const fn size(name: &'static str, circular_mils: f64, diameter_in: f64) -> ConductorSize {
    ConductorSize { name, circular_mils, diameter_in }
}

impl ConductorSize {
    /// Every size known here, smallest first.
    pub const fn all() -> &'static [Self] {
        &SIZES
    }

    /// The size of that name; none for one that is not made or not known here.
    pub fn named(name: &str) -> Option<Self> {
        SIZES.into_iter().find(|s| s.name == name)
    }

    /// Diameter over the strands.
    pub fn diameter(self) -> Length {
        metres(self.diameter_in * 0.0254)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_grow_and_fill_like_stranded_wire() {
        for pair in SIZES.windows(2) {
            assert!(pair[0].circular_mils < pair[1].circular_mils);
            assert!(pair[0].diameter_in < pair[1].diameter_in);
        }
        for s in SIZES {
            // Strands fill 74 to 79 % of the circle around them.
            let solid_mils = s.diameter_in * 1000.0;
            let fill = s.circular_mils / (solid_mils * solid_mils);
            assert!((0.74..0.79).contains(&fill), "{}: {fill}", s.name);
        }
        assert_eq!(ConductorSize::named("5/0"), None);
    }
}
