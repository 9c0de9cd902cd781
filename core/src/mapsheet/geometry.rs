//! Reads the geometry of one feature: a point or a line inside the sheet's bounds.

use serde_json::Value;

use super::field::Fields;
use super::finding::{Finding, FindingId};
use crate::plant::LonLat;

impl<'a> Fields<'a> {
    fn place(&self, value: &Value) -> Option<LonLat> {
        let numbers: Option<Vec<f64>> =
            value.as_array().and_then(|a| a.iter().map(Value::as_f64).collect());
        let Some([lon, lat] | [lon, lat, _]) = numbers.as_deref() else {
            let says = "a position must be [longitude, latitude] in degrees";
            self.note(FindingId::BadGeometry, "geometry", says);
            return None;
        };
        // A minus zero would be lost on the way out.
        let place = LonLat { lon_deg: *lon + 0.0, lat_deg: *lat + 0.0 };
        if matches!(numbers.as_deref(), Some([_, _, _])) {
            let says = "the height of a position is not kept";
            let finding = Finding::of(FindingId::UnknownField, &self.label, "geometry", says);
            self.take(vec![finding.into_warning()]);
        }
        if !self.bounds.hold(place) {
            let says = format!(
                "longitude {}, latitude {} lies outside the sheet's bounds",
                place.lon_deg, place.lat_deg
            );
            self.note(FindingId::OutsideBounds, "geometry", says);
            return None;
        }
        Some(place)
    }

    fn coordinates(&self, kind: &str) -> Option<&'a Value> {
        let object = self.geometry.and_then(Value::as_object);
        let found = object.and_then(|g| g.get("type")).and_then(Value::as_str);
        let coordinates = object.and_then(|g| g.get("coordinates"));
        if found != Some(kind) || coordinates.is_none() {
            let says = format!("the geometry must be a {kind} with coordinates");
            self.note(FindingId::BadGeometry, "geometry", says);
            return None;
        }
        coordinates
    }

    pub(super) fn point(&self) -> Option<LonLat> {
        self.coordinates("Point").and_then(|c| self.place(c))
    }

    /// None also where the geometry is null.
    pub(super) fn maybe_point(&self) -> Option<LonLat> {
        self.geometry.filter(|g| !g.is_null())?;
        self.point()
    }

    pub(super) fn course(&self) -> Option<Vec<LonLat>> {
        let value = self.coordinates("LineString")?;
        let positions = value.as_array().filter(|a| a.len() >= 2);
        if positions.is_none() {
            let says = "a LineString must have two positions or more";
            self.note(FindingId::BadGeometry, "geometry", says);
        }
        let positions = positions?;
        let course: Vec<LonLat> = positions.iter().filter_map(|p| self.place(p)).collect();
        (course.len() == positions.len()).then_some(course)
    }

    /// Empty where the geometry is null.
    pub(super) fn maybe_course(&self) -> Option<Vec<LonLat>> {
        match self.geometry {
            None | Some(Value::Null) => Some(Vec::new()),
            Some(_) => self.course(),
        }
    }
}
