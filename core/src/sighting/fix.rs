//! Position fixes: how far one may be off, and how far several together may be.
//!
//! A phone reports the radius in which it is with 68 %. Under trees and beside walls it is farther
//! off than it says, so a report is taken as no better than `fix_least_radius_m` and then widened by
//! `fix_canopy_factor`: a crew cannot be asked how good the sky is, and it is not assumed to be.
//!
//! # Several fixes
//!
//! Fixes taken together are wrong together: they see the same satellites through the same leaves and
//! off the same walls, and only the receiver's own noise differs. The errors of two fixes are taken
//! as correlated by `fix_correlation` (an intraclass correlation) unless one boot's monotonic clock
//! shows `fix_together_s` between them; without such a clock they count as taken together. A mean
//! weighs each fix by its inverse variance, and its variance is the sum over all pairs,
//!
//! > var = Σᵢ Σⱼ wᵢ wⱼ ρᵢⱼ σᵢ σⱼ, with ρᵢᵢ = 1.
//!
//! With n equal fixes taken together it is σ² (1 + (n − 1) ρ) / n: ten fixes in one minute are a
//! little better than one, and never ten times. Fixes are taken in from the best on for as long as
//! the variance falls, so that a bad one never spoils a good one.
//!
//! What alone could make a fix false: the sky at that spot, which is one cause for all fixes of a
//! phone there; a phone that makes its fix up from the network; a fix noted at another pad than it
//! was taken at. A fix excludes no cable set. It orders the search and contradicts claims.

use std::collections::BTreeSet;

use super::seen::{Seen, Sighting};
use crate::{
    plant::{LonLat, distance},
    quantity::{Age, AssetId, Instant, Length, SightingId, in_metres, metres, seconds},
    rule_sheet::RuleSheet,
};

/// A 68 % radius of a circular normal error is this many standard deviations of one axis:
/// sqrt(-2 ln 0.32), the quantile of the Rayleigh distribution. Checked against SciPy.
pub const SIGMAS_IN_RADIUS68: f64 = 1.509_592_185_451_663_6;

/// Share of a chi-square distribution with two degrees of freedom that lies beyond a value:
/// exp(-x/2). Checked against SciPy.
pub fn chi_square_2_tail(value: f64) -> f64 {
    libm::exp(-value / 2.0)
}

/// One fix, or the mean of several.
#[derive(Debug, Clone, PartialEq)]
pub struct Fixed {
    /// Where it puts the phone.
    pub at: LonLat,
    /// 68 % radius that is believed, whatever was reported.
    pub radius68: Length,
    /// The sightings that it is drawn from.
    pub sightings: BTreeSet<SightingId>,
}

impl Fixed {
    /// The mean of every fix noted at a pad (or, without a pad, of those noted at none); nothing
    /// where there is no fix.
    pub fn at_pad<'a>(
        pad: Option<&AssetId>,
        sightings: impl IntoIterator<Item = &'a Sighting>,
        rules: &RuleSheet,
    ) -> Option<Self> {
        mean(sightings.into_iter().filter_map(|s| Fix::of(s, pad, rules)).collect(), rules)
    }

    /// How far a place is, in chi-square with two degrees of freedom: the squared distance over the
    /// variance of one axis, that of the place included.
    pub fn chi_square(&self, place: LonLat, accuracy: Length) -> f64 {
        let d = in_metres(distance(self.at, place));
        d * d / self.variance_to(accuracy)
    }

    /// Variance of one axis of the difference to a place, square metres.
    pub(super) fn variance_to(&self, accuracy: Length) -> f64 {
        let (own, its) = (in_metres(self.radius68), in_metres(accuracy));
        own.mul_add(own, its * its) / (SIGMAS_IN_RADIUS68 * SIGMAS_IN_RADIUS68)
    }
}

/// One fix as it is believed.
struct Fix<'a> {
    sighting: &'a Sighting,
    at: LonLat,
    radius68_m: f64,
}

impl<'a> Fix<'a> {
    fn of(sighting: &'a Sighting, noted: Option<&AssetId>, rules: &RuleSheet) -> Option<Self> {
        let Seen::Fix { pad, lon_deg, lat_deg, radius68_m } = &sighting.seen else { return None };
        let at = LonLat { lon_deg: lon_deg.to_f64(), lat_deg: lat_deg.to_f64() };
        let reported = radius68_m.to_f64().max(rules.fix_least_radius_m.to_f64());
        let radius68_m = reported * rules.fix_canopy_factor.to_f64();
        (pad.as_ref() == noted).then_some(Self { sighting, at, radius68_m })
    }
}

/// Whether two fixes are not shown to have been taken apart.
fn together(one: &Instant, other: &Instant, rules: &RuleSheet) -> bool {
    let apart = seconds(f64::from(rules.fix_together_s));
    let is_apart = |age| matches!(age, Age::Known(age) if age >= apart);
    !is_apart(one.age_of(other)) && !is_apart(other.age_of(one))
}

/// The mean of fixes, best first, for as long as one more makes it better.
fn mean(mut fixes: Vec<Fix<'_>>, rules: &RuleSheet) -> Option<Fixed> {
    fixes.sort_by(|one, other| {
        one.radius68_m
            .total_cmp(&other.radius68_m)
            .then_with(|| one.sighting.id.cmp(&other.sighting.id))
    });
    let rho = rules.fix_correlation.to_f64();
    let correlation = |one: &Fix<'_>, other: &Fix<'_>| {
        if one.sighting.id == other.sighting.id {
            1.0
        } else if together(&one.sighting.at, &other.sighting.at, rules) {
            rho
        } else {
            0.0
        }
    };
    // In squared radii, with weights that do not yet sum to one: each 1 / radius².
    let (mut taken, mut weight, mut crossed) = (0, 0.0, 0.0);
    let mut best = f64::INFINITY;
    for (n, fix) in fixes.iter().enumerate() {
        let pairs: f64 = fixes
            .iter()
            .take(n)
            .map(|before| 2.0 * correlation(before, fix) / (before.radius68_m * fix.radius68_m))
            .sum();
        let own = 1.0 / (fix.radius68_m * fix.radius68_m);
        let more = (weight + own, crossed + own + pairs);
        let squared = more.1 / (more.0 * more.0);
        if squared >= best {
            break;
        }
        (weight, crossed) = more;
        best = squared;
        taken = n + 1;
    }
    fixes.truncate(taken);
    let from = fixes.first()?.at;
    let (mut east, mut north) = (0.0, 0.0);
    for fix in &fixes {
        let share = 1.0 / (fix.radius68_m * fix.radius68_m) / weight;
        east += share * turned_in(fix.at.lon_deg - from.lon_deg);
        north += share * (fix.at.lat_deg - from.lat_deg);
    }
    Some(Fixed {
        at: LonLat { lon_deg: turned_in(from.lon_deg + east), lat_deg: from.lat_deg + north },
        radius68: metres(libm::sqrt(best)),
        sightings: fixes.into_iter().map(|fix| fix.sighting.id.clone()).collect(),
    })
}

/// Degrees of longitude within -180 and 180: the date line is no jump.
fn turned_in(lon_deg: f64) -> f64 {
    if lon_deg > 180.0 {
        lon_deg - 360.0
    } else if lon_deg < -180.0 {
        lon_deg + 360.0
    } else {
        lon_deg
    }
}

#[cfg(test)]
mod tests;
