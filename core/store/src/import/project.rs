//! From a reference system's coordinates to longitude and latitude on WGS 84.
//!
//! A system is named by its EPSG code or described as PROJ does (`+proj=utm +zone=19 …`). One whose
//! way to WGS 84 needs a grid of shifts, or is not stated, is not taken: it may lie hundreds of
//! metres off. Datums that follow WGS 84 to a metre or two (NAD83, ETRS89, GDA) are taken as it.

use coldlug_core::mapsheet::SourceFindingId;
use proj4rs::{Proj, transform::transform};

/// A way to longitude and latitude.
#[derive(Debug)]
pub(super) struct Project {
    /// None where the coordinates are longitude and latitude already.
    system: Option<(Proj, Proj)>,
}

/// Why a system is not taken.
pub(super) type Why = (SourceFindingId, String);

impl Project {
    /// Of a system's name or description.
    pub(super) fn of(name: &str) -> Result<Self, Why> {
        let refuse = |reason: &str| (SourceFindingId::SystemUnknown, reason.to_owned());
        let name = name.trim();
        let description = match code(name) {
            Some("4326") => return Ok(Self { system: None }),
            Some(code) => {
                let known = code.parse().ok().and_then(crs_definitions::from_code);
                known.ok_or_else(|| refuse("no such EPSG code is known here"))?.proj4
            }
            None => name,
        };
        if !description.contains("+proj=") {
            return Err(refuse("it is neither an EPSG code nor a description with +proj="));
        }
        stated(description)?;
        let unread = |why: proj4rs::errors::Error| refuse(&why.to_string());
        let from = Proj::from_proj_string(description).map_err(unread)?;
        let to = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs").map_err(unread)?;
        if from.is_geocent() || !from.has_inverse() {
            return Err(refuse("there is no way back from it to longitude and latitude"));
        }
        Ok(Self { system: Some((from, to)) })
    }

    /// A place's longitude and latitude, degrees.
    pub(super) fn place(&self, place: [f64; 2]) -> Result<[f64; 2], String> {
        let [x, y] = place;
        if !x.is_finite() || !y.is_finite() {
            return Err("not a number".to_owned());
        }
        let Some((from, to)) = &self.system else { return Ok(place) };
        let mut turned =
            if from.is_latlong() { (x.to_radians(), y.to_radians(), 0.0) } else { (x, y, 0.0) };
        transform(from, to, &mut turned).map_err(|why| why.to_string())?;
        let degrees = [turned.0, turned.1].map(|angle| rounded(angle.to_degrees()));
        if degrees.iter().all(|d| d.is_finite()) {
            Ok(degrees)
        } else {
            Err("it lies nowhere on the earth".to_owned())
        }
    }
}

/// To a billionth of a degree, a tenth of a millimetre: what lies below differs between processors,
/// and the sheet's hash must not.
fn rounded(degrees: f64) -> f64 {
    (degrees * 1e9).round() / 1e9 + 0.0
}

/// What stands behind `EPSG:` or `urn:ogc:def:crs:EPSG::`; longitude and latitude as GeoJSON names
/// them are 4326.
fn code(name: &str) -> Option<&str> {
    let upper = name.to_ascii_uppercase();
    if ["OGC:CRS84", "URN:OGC:DEF:CRS:OGC:1.3:CRS84", "URN:OGC:DEF:CRS:OGC::CRS84"]
        .contains(&upper.as_str())
    {
        return Some("4326");
    }
    let epsg = upper.starts_with("EPSG:") || upper.starts_with("URN:OGC:DEF:CRS:EPSG:");
    name.rsplit_once(':').map(|(_, code)| code).filter(|_| epsg)
}

/// Whether the way to WGS 84 is stated, and without a grid.
fn stated(description: &str) -> Result<(), Why> {
    let refuse = |reason: &str| Err((SourceFindingId::SystemUnknown, reason.to_owned()));
    let value = |key: &str| description.split_whitespace().find_map(|word| word.strip_prefix(key));
    let grid = value("+nadgrids=").is_some_and(|grids| grids != "@null");
    // Of the datums that PROJ names, these are shifted by a grid.
    if grid || matches!(value("+datum="), Some("NAD27" | "OSGB36")) && value("+towgs84=").is_none()
    {
        return refuse("its way to WGS 84 needs a grid of shifts, which is not at hand");
    }
    let near = matches!(value("+ellps="), Some("GRS80" | "WGS84"));
    let known = ["+datum=", "+towgs84=", "+nadgrids="].iter().any(|key| value(key).is_some());
    if near || known {
        return Ok(());
    }
    refuse("it does not state its shift to WGS 84 (+towgs84= or +datum=)")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wgs_84_is_left_as_it_is() {
        for name in ["EPSG:4326", "epsg:4326", "urn:ogc:def:crs:EPSG::4326", "OGC:CRS84"] {
            let place = Project::of(name).unwrap().place([-30.2, 41.6]).unwrap();
            assert_eq!(place.map(f64::to_bits), [-30.2, 41.6].map(f64::to_bits));
        }
    }

    #[test]
    fn the_middle_of_a_zone_is_its_meridian() {
        // UTM: the false easting of 500 km is on the zone's central meridian, zone 26 on 27° W.
        for name in ["EPSG:32626", "+proj=utm +zone=26 +datum=WGS84 +units=m"] {
            let [lon, lat] = Project::of(name).unwrap().place([500_000.0, 4_600_000.0]).unwrap();
            assert!((lon + 27.0).abs() < 1e-9, "{lon}");
            assert!((41.0..42.0).contains(&lat), "{lat}");
        }
    }

    #[test]
    fn what_has_no_stated_way_is_not_taken() {
        for (name, part) in [
            ("EPSG:4267", "grid"),
            ("EPSG:99999", "no such EPSG code"),
            ("EPSG:1", "no such EPSG code"),
            ("EPSG:town", "no such EPSG code"),
            ("harbour grid", "neither"),
            ("+proj=utm +zone=19 +ellps=clrk66", "does not state its shift"),
            ("+proj=utm +zone=99 +datum=WGS84", "zone"),
            ("+proj=nowhere +datum=WGS84", "not found"),
        ] {
            let (_, why) = Project::of(name).unwrap_err();
            assert!(why.to_lowercase().contains(&part.to_lowercase()), "{name}: {why}");
        }
    }

    #[test]
    fn a_place_that_no_system_has_is_refused_or_finite() {
        let utm = Project::of("EPSG:32626").unwrap();
        for wild in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, f64::MIN_POSITIVE] {
            for place in [[wild, 0.0], [0.0, wild], [wild, wild]] {
                if let Ok(place) = utm.place(place) {
                    assert!(place.iter().all(|d| d.is_finite()));
                }
            }
        }
    }
}
