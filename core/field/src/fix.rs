//! Position fixes: what a phone says of where it is.

use crate::seed::{mix, normal_of, unit_of};
use crate::world::{LonLat, Sky};

/// What a phone reports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fix {
    /// Where it believes to be.
    pub at: LonLat,
    /// Radius in which it believes to be with 68 % chance, metres.
    pub radius68_m: f64,
}

/// Metres in a degree of latitude near the middle latitudes of WGS 84; longitude is scaled by the
/// cosine of the latitude. Good to about 0.5 % over a town, which is far below a fix's error.
const METRES_PER_DEGREE: f64 = 111_100.0;

/// A place so many metres east and north of another.
pub fn moved(at: LonLat, east_m: f64, north_m: f64) -> LonLat {
    let shrink = libm::cos(at.lat.to_radians());
    LonLat {
        lon: at.lon + east_m / (METRES_PER_DEGREE * shrink),
        lat: at.lat + north_m / METRES_PER_DEGREE,
    }
}

/// Metres between two places of one town (flat, as [`moved`]).
pub fn metres_between(a: LonLat, b: LonLat) -> f64 {
    let shrink = libm::cos((0.5 * (a.lat + b.lat)).to_radians());
    let east = (a.lon - b.lon) * METRES_PER_DEGREE * shrink;
    let north = (a.lat - b.lat) * METRES_PER_DEGREE;
    libm::sqrt(east * east + north * north)
}

/// A fix taken at `truth`; `draw` is its chance. The error is circular normal. Its root mean
/// square over both axes lies in the span seen in published trials of phones: 1.7 to 4.5 m under
/// open sky, 5 to 12 m under trees, 7 to 13 m between walls. The stated radius is honest within a
/// factor of 0.7 to 1.4 (invented).
pub fn take(truth: LonLat, sky: Sky, draw: u64) -> Fix {
    let (least, most) = match sky {
        Sky::Open => (1.7, 4.5),
        Sky::Canopy => (5.0, 12.0),
        Sky::Walls => (7.0, 13.0),
    };
    let rms_m = least + (most - least) * unit_of(mix(draw, 1));
    let sigma_m = rms_m / core::f64::consts::SQRT_2;
    let east_m = sigma_m * normal_of(unit_of(mix(draw, 2)), unit_of(mix(draw, 3)));
    let north_m = sigma_m * normal_of(unit_of(mix(draw, 4)), unit_of(mix(draw, 5)));
    // A circular normal error is within 1.5096 sigma in 68 % of cases: sqrt(-2 ln 0.32).
    let honest_m = sigma_m * libm::sqrt(-2.0 * libm::log(0.32));
    Fix {
        at: moved(truth, east_m, north_m),
        radius68_m: honest_m * (0.7 + 0.7 * unit_of(mix(draw, 6))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const HERE: LonLat = LonLat { lon: -30.2, lat: 41.6 };

    fn root_mean_square(sky: Sky) -> f64 {
        let sum: f64 = (0..4_000)
            .map(|draw| metres_between(take(HERE, sky, draw).at, HERE))
            .map(|d| d * d)
            .sum();
        libm::sqrt(sum / 4_000.0)
    }

    #[test]
    fn trees_and_walls_make_fixes_worse() {
        let (open, canopy, walls) = (
            root_mean_square(Sky::Open),
            root_mean_square(Sky::Canopy),
            root_mean_square(Sky::Walls),
        );
        assert!((1.7..4.5).contains(&open), "{open}");
        assert!((5.0..12.0).contains(&canopy), "{canopy}");
        assert!((7.0..13.0).contains(&walls), "{walls}");
    }

    #[test]
    fn about_two_thirds_lie_within_the_stated_radius() {
        let inside = (0..4_000)
            .map(|draw| take(HERE, Sky::Open, draw))
            .filter(|fix| metres_between(fix.at, HERE) <= fix.radius68_m)
            .count();
        assert!((2_400..3_000).contains(&inside), "{inside}");
    }

    proptest! {
        #[test]
        fn moving_by_metres_is_measured_as_metres(east in -500.0..500.0f64, north in -500.0..500.0f64) {
            let moved = moved(HERE, east, north);
            let metres = metres_between(HERE, moved);
            prop_assert!((metres - libm::sqrt(east * east + north * north)).abs() < 0.05);
        }
    }
}
