//! What the field found wrong with the map, as GeoJSON for the people who keep it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::{members, write};
use crate::plant::{LonLat, Plant};
use crate::quantity::{AssetId, SightingId};

/// One claim of the map that the field has settled otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MapCorrection {
    /// Which claim: a stable word such as `feeding-pad` or `meter-number`.
    pub claim: String,
    /// The feature the claim is about.
    pub feature: AssetId,
    /// What the map says.
    pub was: Value,
    /// What was found.
    pub now: Value,
    /// What shows it.
    pub sightings: Vec<SightingId>,
}

/// The corrections of one map sheet as a FeatureCollection, in the order given. Each stands where the
/// sheet puts its feature; its geometry is null where the sheet does not say.
pub fn corrections_to_geojson(plant: &Plant, corrections: &[MapCorrection]) -> Value {
    let features: Vec<Value> = corrections
        .iter()
        .map(|c| {
            let sightings: Vec<&str> = c.sightings.iter().map(SightingId::as_str).collect();
            let properties = members([
                ("kind", "map-correction".into()),
                ("claim", c.claim.clone().into()),
                ("feature", c.feature.as_str().into()),
                ("was", c.was.clone()),
                ("now", c.now.clone()),
                ("sightings", sightings.into()),
            ]);
            json!({
                "type": "Feature",
                "geometry": place_of(plant, &c.feature).map_or(Value::Null, write::point),
                "properties": properties,
            })
        })
        .collect();
    json!({
        "type": "FeatureCollection",
        "coldlug_map_corrections": {
            "format": 1, "sheet": plant.name, "edition": plant.edition, "invented": plant.invented
        },
        "features": features,
    })
}

/// Where the sheet puts a feature, or the start of its course.
fn place_of(plant: &Plant, id: &AssetId) -> Option<LonLat> {
    let set = plant.sets.get(id).and_then(|s| s.course.first().copied());
    let cable = plant.cables.get(id).and_then(|c| c.course.first().copied());
    let switch = plant.switches.get(id).and_then(|s| s.at);
    let unit = plant.transformers.get(id).and_then(|t| t.at);
    let points = plant
        .pads
        .get(id)
        .map(|p| p.at)
        .or_else(|| plant.services.get(id).map(|s| s.at))
        .or_else(|| plant.pedestals.get(id).map(|p| p.at))
        .or_else(|| plant.sources.get(id).map(|s| s.at));
    points.or(set).or(cable).or(switch).or(unit)
}
