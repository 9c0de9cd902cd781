//! Fixes and their means.

use proptest::prelude::*;

use super::*;
use crate::quantity::{Decimal, PersonId};

fn number(value: f64) -> Decimal {
    Decimal::from_f64(value, 8).unwrap()
}

/// A fix so many metres east of the middle of the invented sheet, after so many seconds.
fn fix(n: usize, east_m: f64, radius68_m: f64, s: i64) -> Sighting {
    Sighting {
        id: format!("f{n:02}").as_str().try_into().unwrap(),
        who: PersonId::new("finn").unwrap(),
        at: Instant { wall_ms: s * 1000, boot: "b1".into(), mono_ms: s * 1000 },
        seen: Seen::Fix {
            pad: None,
            lon_deg: number(-30.2 + east_m / METRES_A_DEGREE),
            lat_deg: number(0.0),
            radius68_m: number(radius68_m),
        },
    }
}

/// A degree of longitude on the equator of WGS84: 6 378 137 m times pi over 180.
const METRES_A_DEGREE: f64 = 111_319.490_793;

fn mean_of(fixes: &[Sighting]) -> (f64, f64) {
    let mean = Fixed::at_pad(None, fixes, &RuleSheet::default()).unwrap();
    ((mean.at.lon_deg + 30.2) * METRES_A_DEGREE, in_metres(mean.radius68))
}

#[test]
fn radius_of_68_percent_is_rayleigh() {
    let expected = libm::sqrt(-2.0 * libm::log(0.32));
    assert!((SIGMAS_IN_RADIUS68 - expected).abs() < 1e-12, "{expected}");
    let held = 1.0 - chi_square_2_tail(SIGMAS_IN_RADIUS68 * SIGMAS_IN_RADIUS68);
    assert!((held - 0.68).abs() < 1e-12);
}

#[test]
fn the_limit_of_the_rule_sheet_is_99_percent() {
    let limit = RuleSheet::default().position_chi_square.to_f64();
    assert!((limit + 2.0 * libm::log(0.01)).abs() < 0.001);
    assert!((chi_square_2_tail(limit) - 0.01).abs() < 1e-4);
}

#[test]
fn a_report_is_floored_and_widened() {
    assert!((mean_of(&[fix(1, 0.0, 2.0, 0)]).1 - 14.0).abs() < 1e-9, "5 m, times 2.8");
    assert!((mean_of(&[fix(1, 0.0, 10.0, 0)]).1 - 28.0).abs() < 1e-9);
}

#[test]
fn ten_fixes_in_a_minute_are_hardly_better_than_one() {
    let one: Vec<Sighting> = (0..10).map(|n| fix(n, 0.0, 5.0, 6)).collect();
    // sqrt((1 + 9 * 0.9) / 10) of 14 m; independent ones would give 14 / sqrt(10) = 4.4.
    assert!((mean_of(&one).1 - 14.0 * libm::sqrt(0.91)).abs() < 1e-9);
    let apart: Vec<Sighting> =
        (0_u32..10).map(|n| fix(n as usize, 0.0, 5.0, i64::from(n) * 1800)).collect();
    assert!((mean_of(&apart).1 - 14.0 / libm::sqrt(10.0)).abs() < 1e-9);
}

#[test]
fn without_one_clock_they_count_as_taken_together() {
    let mut other = fix(2, 0.0, 5.0, 86_400);
    other.at.boot = "b2".into();
    let together = mean_of(&[fix(1, 0.0, 5.0, 0), other]).1;
    assert!((together - 14.0 * libm::sqrt(0.95)).abs() < 1e-9);
}

#[test]
fn a_bad_fix_does_not_spoil_a_good_one() {
    let (east, radius) = mean_of(&[fix(1, 0.0, 5.0, 0), fix(2, 90.0, 50.0, 1)]);
    assert!(east.abs() < 1e-3 && (radius - 14.0).abs() < 1e-9, "{east} {radius}");
}

#[test]
fn the_mean_lies_between_even_over_the_date_line() {
    let (east, _) = mean_of(&[fix(1, 0.0, 5.0, 0), fix(2, 10.0, 5.0, 1)]);
    assert!((east - 5.0).abs() < 1e-3, "{east}");
    let mut far = [fix(1, 0.0, 5.0, 0), fix(2, 0.0, 5.0, 1)];
    for (fix, lon) in far.iter_mut().zip([179.9999, -179.9999]) {
        if let Seen::Fix { lon_deg, .. } = &mut fix.seen {
            *lon_deg = number(lon);
        }
    }
    let mean = Fixed::at_pad(None, &far, &RuleSheet::default()).unwrap();
    assert!((mean.at.lon_deg.abs() - 180.0).abs() < 1e-9, "{}", mean.at.lon_deg);
}

#[test]
fn a_fix_far_off_speaks_against_the_place() {
    let mean = Fixed::at_pad(None, &[fix(1, 0.0, 5.0, 0)], &RuleSheet::default()).unwrap();
    let at = |east_m: f64| LonLat { lon_deg: -30.2 + east_m / METRES_A_DEGREE, lat_deg: 0.0 };
    // Variance of one axis: (14² + 3²) / 1.5096² = 89.96 m²; 9.21 is passed at 28.8 m.
    assert!(mean.chi_square(at(28.7), metres(3.0)) < 9.21);
    assert!(mean.chi_square(at(28.9), metres(3.0)) > 9.21);
}

proptest! {
    /// However many fixes, the mean is never believed worse than the best of them, nor better than
    /// all of them would be if nothing tied them together.
    #[test]
    fn more_fixes_never_make_it_worse(
        each in proptest::collection::vec((-50.0_f64..50.0, 1.0_f64..60.0, 0_i64..8000), 1..9),
    ) {
        let fixes: Vec<Sighting> =
            each.iter().enumerate().map(|(n, &(east, r, s))| fix(n, east, r, s)).collect();
        let (east, radius) = mean_of(&fixes);
        let believed = || each.iter().map(|&(_, r, _)| r.max(5.0) * 2.8);
        let best = believed().fold(f64::INFINITY, f64::min);
        let independent = 1.0 / libm::sqrt(believed().map(|r| 1.0 / (r * r)).sum::<f64>());
        prop_assert!(radius <= best * (1.0 + 1e-6) && radius >= independent * (1.0 - 1e-6));
        let (west, far) = each.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), &(e, ..)| {
            (a.min(e), b.max(e))
        });
        prop_assert!(east >= west - 0.01 && east <= far + 0.01);
    }
}
