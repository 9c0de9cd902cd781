//! What a job leaves, as files.

use coldlug_core::{
    event::Sha256Hex,
    exchange::PhotoForm,
    log::write_record,
    mapsheet::{MapCorrection, corrections_to_geojson},
};
use serde_json::{Value, json};

use super::act::job_named;
use crate::{
    answer::{Answered, bytes, file},
    asked::Asked,
    carried::Carried,
    desk::Desk,
    entrance::Signed,
    trouble::Trouble,
};

/// GeoJSON's media type (RFC 7946, section 12).
const GEOJSON: &str = "application/geo+json";

/// `GET /jobs/{job}/record`.
pub(crate) fn record(desk: &Desk, asked: &Asked, _: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let carried = held.job(&job)?.ok_or(Trouble::NotHere)?;
    let record = write_record(&carried.log, &desk.device, &desk.key)?;
    Ok(file("application/jsonl", &format!("{job}-record.jsonl"), record))
}

/// `GET /jobs/{job}/corrections.geojson`.
pub(crate) fn corrections(desk: &Desk, asked: &Asked, _: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let carried = held.job(&job)?.ok_or(Trouble::NotHere)?;
    geojson(&format!("{job}-corrections.geojson"), &corrected(carried))
}

/// `GET /corrections.geojson`: of every job, each feature with its job.
pub(crate) fn every_correction(desk: &Desk, _: &Asked, _: &Signed) -> Answered {
    let mut held = desk.held();
    let mut features = Vec::new();
    for job in held.every_job()? {
        let Some(carried) = held.job(&job)? else { continue };
        let mut collection = corrected(carried);
        let Some(Value::Array(found)) = collection.get_mut("features").map(Value::take) else {
            continue;
        };
        features.extend(found.into_iter().map(|mut feature| {
            if let Some(properties) = feature.get_mut("properties").and_then(Value::as_object_mut) {
                properties.insert("job".into(), job.as_str().into());
            }
            feature
        }));
    }
    geojson("corrections.geojson", &json!({"type": "FeatureCollection", "features": features}))
}

fn corrected(carried: &Carried) -> Value {
    let made = carried.state.map_corrections.iter().map(|made| MapCorrection {
        claim: made.claim.clone(),
        feature: made.feature.clone(),
        was: made.was.clone(),
        now: made.now.clone(),
        sightings: made.sightings.clone(),
    });
    corrections_to_geojson(carried.sheets.lend().plant, &made.collect::<Vec<_>>())
}

fn geojson(name: &str, value: &Value) -> Answered {
    let text = serde_json::to_vec_pretty(value).map_err(|error| Trouble::bug(&error))?;
    Ok(file(GEOJSON, name, text))
}

/// `GET /jobs/{job}/photos/{hash}`.
pub(crate) fn photo(desk: &Desk, asked: &Asked, _: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let hash: Sha256Hex = asked.part("hash").parse().map_err(|_| Trouble::NotHere)?;
    let carried = held.job(&job)?.ok_or(Trouble::NotHere)?;
    if !carried.photos.contains(&hash) {
        return Err(Trouble::NotHere);
    }
    let photo = held.photos.photo(&hash)?.ok_or(Trouble::NotHere)?;
    let form = PhotoForm::of(&photo).map_err(|_| Trouble::NotHere)?;
    Ok(bytes(200, form.media_type(), photo))
}
