//! Conductor sizes as the trade names them: area and diameter over the strands.

use crate::quantity::{Length, metres};

/// A stranded conductor's size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorSize {
    /// As the trade writes it: "1/0" and "2" are AWG, "350" thousands of circular mils; square
    /// millimetres are written out, "50 mm2", and never without their unit: "6" is an AWG size.
    pub name: &'static str,
    /// Area in circular mils.
    pub circular_mils: f64,
    /// Diameter over the strands in inches.
    pub diameter_in: f64,
}

/// Concentric stranded conductors: AWG areas by definition, thousands of circular mils above 4/0;
/// diameters from the usual table for stranded conductors (from memory). Then the nominal areas of
/// IEC 60228; diameters of equal round strands in whole layers that fill that area, 7 strands up to
/// 35 mm2, 19 up to 95, 37 up to 240, 61 above (strands from memory, the rest is geometry).
const SIZES: [ConductorSize; 31] = [
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
    metric("10 mm2", 10.0, 4.05),
    metric("16 mm2", 16.0, 5.12),
    metric("25 mm2", 25.0, 6.40),
    metric("35 mm2", 35.0, 7.57),
    metric("50 mm2", 50.0, 9.15),
    metric("70 mm2", 70.0, 10.83),
    metric("95 mm2", 95.0, 12.62),
    metric("120 mm2", 120.0, 14.22),
    metric("150 mm2", 150.0, 15.90),
    metric("185 mm2", 185.0, 17.66),
    metric("240 mm2", 240.0, 20.12),
    metric("300 mm2", 300.0, 22.52),
    metric("400 mm2", 400.0, 26.01),
];

const fn size(name: &'static str, circular_mils: f64, diameter_in: f64) -> ConductorSize {
    ConductorSize { name, circular_mils, diameter_in }
}

/// A circular mil in square millimetres: a circle of a thousandth of an inch.
const CIRCULAR_MIL_MM2: f64 = std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254;

const fn metric(name: &'static str, square_mm: f64, diameter_mm: f64) -> ConductorSize {
    size(name, square_mm / CIRCULAR_MIL_MM2, diameter_mm / 25.4)
}

impl ConductorSize {
    /// Every size known here: AWG and thousands of circular mils, then square millimetres, each
    /// smallest first.
    pub const fn all() -> &'static [Self] {
        &SIZES
    }

    /// The size of that name; none for one that is not made or not known here.
    pub fn named(name: &str) -> Option<Self> {
        SIZES.into_iter().find(|s| s.name == name)
    }

    /// The metric size that a text may mean that names none: a number alone, or its unit written
    /// another way. Never taken for it, only asked about.
    pub fn meant(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
        let (number, unit) = text.split_at(end);
        let metric = ["", "mm", "mm2", "mm²", "sqmm", "sq mm"].contains(&unit.trim());
        Self::named(&format!("{number} mm2")).filter(|_| metric)
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
        let (trade, square_mm) = SIZES.split_at(18);
        for sizes in [trade, square_mm] {
            for pair in sizes.windows(2) {
                assert!(pair[0].circular_mils < pair[1].circular_mils);
                assert!(pair[0].diameter_in < pair[1].diameter_in);
            }
        }
        for s in SIZES {
            // Strands fill 74 to 79 % of the circle around them.
            let solid_mils = s.diameter_in * 1000.0;
            let fill = s.circular_mils / (solid_mils * solid_mils);
            assert!((0.74..0.79).contains(&fill), "{}: {fill}", s.name);
        }
        assert_eq!(ConductorSize::named("5/0"), None);
    }

    /// n strands in layers around one: 7, 19, 37, 61 of them in a circle 3, 5, 7, 9 strands wide.
    #[test]
    fn metric_diameters_are_those_of_whole_layers() {
        for s in SIZES.iter().filter(|s| s.name.ends_with(" mm2")) {
            let square_mm: f64 = s.name.trim_end_matches(" mm2").parse().unwrap();
            let (strands, wide) = match square_mm {
                ..=35.0 => (7.0, 3.0),
                ..=95.0 => (19.0, 5.0),
                ..=240.0 => (37.0, 7.0),
                _ => (61.0, 9.0),
            };
            let strand = (square_mm / strands / std::f64::consts::FRAC_PI_4).sqrt();
            let diameter_mm = s.diameter_in * 25.4;
            assert!((diameter_mm - wide * strand).abs() < 0.006, "{}: {diameter_mm}", s.name);
            // 1 mm2 is 1973.5 circular mils.
            assert!((s.circular_mils / square_mm - 1973.525).abs() < 0.001, "{}", s.name);
        }
    }

    #[test]
    fn square_millimetres_are_never_taken_for_another_size() {
        for name in ["50", "50mm2", "50 mm", "50 mm²", "50 MM2", " 50 mm2", "10", "0 mm2"] {
            assert_eq!(ConductorSize::named(name), None, "{name}");
        }
        let kcmil = ConductorSize::named("300").unwrap();
        assert!((kcmil.circular_mils - 300_000.0).abs() < 1.0);
        let metric = ConductorSize::named("300 mm2").unwrap();
        assert!((metric.circular_mils - 592_000.0).abs() < 100.0);
        for text in ["50", "50mm2", "50 mm²", "50 sqmm", "50 MM2", "50 mm"] {
            let meant = ConductorSize::meant(text).map(|size| size.name);
            assert_eq!(meant, Some("50 mm2"), "{text}");
        }
        for text in ["120", "95"] {
            assert!(ConductorSize::meant(text).is_some(), "{text}");
        }
        for text in ["", "5/0", "51", "2", "mm2", "²"] {
            assert_eq!(ConductorSize::meant(text), None, "{text}");
        }
    }
}
