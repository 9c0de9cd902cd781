//! What the events of a job say about the field, for a plan: the map as corrected, what stands
//! otherwise than normally, and whose sources are ruled out.

use coldlug_core::{
    event::{MapCorrected, OwnSources},
    gate::Scope,
    isolate::Request,
    job::State,
    mapsheet::CorrectError,
    plant::Plant,
    quantity::AssetId,
};

/// The claim that a service hangs on a pad and lug position.
const SERVICE_AT_PAD: &str = "service-at-pad";

/// Why a correction of the map cannot be drawn.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotDrawn {
    /// It does not name pad and position.
    #[error("the correction of '{feature}' names no pad and lug position")]
    NoPlace {
        /// The feature.
        feature: AssetId,
    },
    /// The record has no room for it.
    #[error(transparent)]
    Record(#[from] CorrectError),
}

/// The map with the corrections that bear on how things are joined. Others are left to the
/// dispatcher.
pub(crate) fn corrected(plant: &Plant, corrections: &[MapCorrected]) -> Result<Plant, NotDrawn> {
    let mut plant = plant.clone();
    for correction in corrections.iter().filter(|c| c.claim == SERVICE_AT_PAD) {
        let no_place = || NotDrawn::NoPlace { feature: correction.feature.clone() };
        let text = |key: &str| correction.now.get(key).and_then(|value| value.as_str());
        let (Some(pad), Some(position)) = (text("pad"), text("position")) else {
            return Err(no_place());
        };
        let pad = AssetId::new(pad).map_err(|_| no_place())?;
        plant = plant.with_service_at(&correction.feature, &pad, position)?;
    }
    Ok(plant)
}

/// What is asked, with everything the job has found out.
pub(crate) fn request(state: &State, service: &AssetId, scope: &Scope) -> Request {
    let mut request = Request::new(service.clone(), scope.clone());
    request.states = state.physical.switch_states();
    let none_found = state
        .physical
        .meter_out
        .as_ref()
        .is_some_and(|out| out.own_sources == OwnSources::NoneFound);
    if none_found {
        request.sources_ruled_out.insert(service.clone());
    }
    request
}
