//! Pads and services by where the record puts them: geodesic distance on WGS84, ties by name.

use geo::{Distance, Geodesic, Point};
use rstar::{AABB, PointDistance, RTree, RTreeObject};

use super::feature::{Features, LonLat};
use crate::quantity::{AssetId, Length, in_metres, metres};

/// Semi-major axis of WGS84 in metres (NIMA TR8350.2).
const SEMI_MAJOR_M: f64 = 6_378_137.0;
/// Flattening of WGS84 (NIMA TR8350.2).
const FLATTENING: f64 = 1.0 / 298.257_223_563;

/// How far two places are apart along the ellipsoid.
pub fn distance(one: LonLat, other: LonLat) -> Length {
    let point = |p: LonLat| Point::new(p.lon_deg, p.lat_deg);
    metres(Geodesic.distance(point(one), point(other)))
}

/// A feature and how far away it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Near {
    /// Its name.
    pub id: AssetId,
    /// How far away the record puts it.
    pub distance: Length,
}

/// Features by place.
#[derive(Debug, Clone, Default)]
pub struct PlaceIndex {
    tree: RTree<Placed>,
}

#[derive(Debug, Clone, PartialEq)]
struct Placed {
    id: AssetId,
    at: LonLat,
    /// Earth-centred metres: the straight chord between two such points is never longer than the
    /// geodesic, so a search by chord misses nothing.
    centred: [f64; 3],
}

impl RTreeObject for Placed {
    type Envelope = AABB<[f64; 3]>;

    fn envelope(&self) -> Self::Envelope {
        AABB::from_point(self.centred)
    }
}

impl PointDistance for Placed {
    fn distance_2(&self, point: &[f64; 3]) -> f64 {
        squared_chord(&self.centred, point)
    }
}

impl PlaceIndex {
    /// Every pad of a record.
    pub fn of_pads(features: &Features) -> Self {
        Self::of(features.pads.values().map(|p| (p.id.clone(), p.at)))
    }

    /// Any named places.
    pub fn of(places: impl IntoIterator<Item = (AssetId, LonLat)>) -> Self {
        let leaves = places.into_iter().map(|(id, at)| Placed { id, at, centred: centred(at) });
        Self { tree: RTree::bulk_load(leaves.collect()) }
    }

    /// Every feature within `reach` of a place, nearest first.
    pub fn within(&self, place: LonLat, reach: Length) -> Vec<Near> {
        let from = centred(place);
        let chord = in_metres(reach).max(0.0);
        let found = self.tree.locate_within_distance(from, chord * chord * (1.0 + 1e-9) + 1e-6);
        let mut near: Vec<Near> = found.map(|p| p.near(place)).collect();
        near.retain(|n| n.distance <= reach);
        in_order(&mut near);
        near
    }

    /// The `count` nearest features, nearest first.
    pub fn nearest(&self, place: LonLat, count: usize) -> Vec<Near> {
        let from = centred(place);
        let mut near: Vec<Near> = Vec::new();
        for (placed, chord_2) in self.tree.nearest_neighbor_iter_with_distance_2(from) {
            let farthest = near.iter().map(|n| in_metres(n.distance)).fold(0.0, f64::max);
            if near.len() >= count && chord_2 > farthest * farthest * (1.0 + 1e-9) + 1e-6 {
                break;
            }
            near.push(placed.near(place));
            in_order(&mut near);
            near.truncate(count);
        }
        near
    }
}

impl Placed {
    fn near(&self, place: LonLat) -> Near {
        Near { id: self.id.clone(), distance: distance(place, self.at) }
    }
}

fn in_order(near: &mut [Near]) {
    near.sort_by(|a, b| {
        in_metres(a.distance).total_cmp(&in_metres(b.distance)).then_with(|| a.id.cmp(&b.id))
    });
}

fn squared_chord(one: &[f64; 3], other: &[f64; 3]) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b) * (a - b)).sum()
}

/// Earth-centred coordinates of a place on the ellipsoid, metres.
fn centred(place: LonLat) -> [f64; 3] {
    let (lon, lat) = (place.lon_deg.to_radians(), place.lat_deg.to_radians());
    let e2 = FLATTENING * (2.0 - FLATTENING);
    let sin_lat = libm::sin(lat);
    let normal = SEMI_MAJOR_M / libm::sqrt(1.0 - e2 * sin_lat * sin_lat);
    let flat = normal * libm::cos(lat);
    [flat * libm::cos(lon), flat * libm::sin(lon), normal * (1.0 - e2) * sin_lat]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(lon_deg: f64, lat_deg: f64) -> LonLat {
        LonLat { lon_deg, lat_deg }
    }

    fn named(places: &[LonLat]) -> Vec<(AssetId, LonLat)> {
        places
            .iter()
            .enumerate()
            .map(|(i, &p)| (AssetId::new(format!("P{i:03}")).unwrap(), p))
            .collect()
    }

    /// Figures of the geodesic inverse problem as GeographicLib prints them.
    #[test]
    fn distances_are_geodesic() {
        let check = |a: (f64, f64), b: (f64, f64), expected: f64| {
            let d = in_metres(distance(at(a.1, a.0), at(b.1, b.0)));
            assert!((d - expected).abs() < 1e-8, "{d} against {expected}");
        };
        check((39.7392, -104.9903), (39.73929, -104.9903), 9.992_666_327);
        check((39.7392, -104.9903), (39.739_213_5, -104.990_288_3), 1.803_470_723);
        check((64.837_777_8, -147.716_388_9), (64.837_777_8, -147.7142), 103.888_331_006);
    }

    #[test]
    fn equal_distances_stand_by_name() {
        let here = at(-30.2, 41.6);
        let index = PlaceIndex::of(named(&[at(-30.199, 41.6), at(-30.201, 41.6), here, here]));
        let names: Vec<String> = index.nearest(here, 2).iter().map(|n| n.id.to_string()).collect();
        assert_eq!(names, ["P002", "P003"]);
    }

    proptest! {
        #[test]
        fn the_index_finds_what_a_plain_search_finds(
            spots in proptest::collection::vec((-40_i32..40, -40_i32..40), 1..40),
            count in 1_usize..6, reach_m in 1.0_f64..9000.0, lat in -70_i32..70,
        ) {
            let lat = f64::from(lat);
            let places: Vec<LonLat> = spots
                .iter()
                .map(|&(x, y)| at(-30.0 + f64::from(x) * 1e-3, lat + f64::from(y) * 1e-3))
                .collect();
            let here = at(-30.0, lat);
            let index = PlaceIndex::of(named(&places));
            let mut plain: Vec<Near> = named(&places)
                .into_iter()
                .map(|(id, p)| Near { id, distance: distance(here, p) })
                .collect();
            in_order(&mut plain);
            let within: Vec<Near> =
                plain.iter().filter(|n| n.distance <= metres(reach_m)).cloned().collect();
            prop_assert_eq!(index.within(here, metres(reach_m)), within);
            plain.truncate(count);
            prop_assert_eq!(index.nearest(here, count), plain);
        }
    }
}
