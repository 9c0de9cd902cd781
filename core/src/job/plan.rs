//! The plan of a job: the map as the field corrected it, what stands otherwise than normally, and
//! whose sources are ruled out.

use super::{sheets::Sheets, state::State};
use crate::{
    event::OwnSources,
    gate::Scope,
    isolate::{Isolation, Request, RequestError, isolate},
    mapsheet::CorrectError,
    plant::Plant,
    quantity::{AssetId, Instant},
};

/// The claim that a service hangs on a pad and lug position.
const SERVICE_AT_PAD: &str = "service-at-pad";

/// Why there is no plan for a job.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoPlan {
    /// The job is not opened.
    #[error("the job is not opened")]
    NotOpened,
    /// A correction of the map does not name pad and position.
    #[error("the correction of '{feature}' names no pad and lug position")]
    NoPlace {
        /// The feature.
        feature: AssetId,
    },
    /// The record has no room for a correction.
    #[error(transparent)]
    Record(#[from] CorrectError),
    /// What is asked cannot be asked of this map.
    #[error(transparent)]
    Request(#[from] RequestError),
}

impl State {
    /// The plans for the job's own service and scope, with everything it has found out.
    /// As of `now`: what was read long ago counts no more.
    pub fn plan(&self, sheets: &Sheets<'_>, now: &Instant) -> Result<Isolation, NoPlan> {
        let header = self.header.as_ref().ok_or(NoPlan::NotOpened)?;
        let plant = self.corrected(sheets.plant)?;
        let request = self.plan_request(sheets, &plant, (&header.service, &header.scope), now)?;
        Ok(isolate(&plant, &request, sheets.rules)?)
    }

    /// The map with the job's corrections that bear on how things are joined. Others are left to
    /// the dispatcher.
    pub fn corrected(&self, plant: &Plant) -> Result<Plant, NoPlan> {
        let mut plant = plant.clone();
        for correction in self.map_corrections.iter().filter(|c| c.claim == SERVICE_AT_PAD) {
            let no_place = || NoPlan::NoPlace { feature: correction.feature.clone() };
            let text = |key: &str| correction.now.get(key).and_then(|value| value.as_str());
            let (Some(pad), Some(position)) = (text("pad"), text("position")) else {
                return Err(no_place());
            };
            let pad = AssetId::new(pad).map_err(|_| no_place())?;
            plant = plant.with_service_at(&correction.feature, &pad, position)?;
        }
        Ok(plant)
    }

    /// What is asked for a service and scope, with everything the job has found out and done, on
    /// the map as it was corrected.
    pub fn plan_request(
        &self,
        sheets: &Sheets<'_>,
        plant: &Plant,
        (service, scope): (&AssetId, &Scope),
        now: &Instant,
    ) -> Result<Request, RequestError> {
        let present = self.present(plant)?;
        let mut request = Request::new(service.clone(), scope.clone());
        request.opened_here = present.opened(plant);
        request.picked_up = present.picked_up(plant);
        request.states = present.states;
        request.lifted = present.lifted;
        let out = self.physical.meter_out.as_ref();
        if out.is_some_and(|out| out.own_sources == OwnSources::NoneFound) {
            request.sources_ruled_out.insert(service.clone());
        }
        request.loads = self.read_amps(sheets, now);
        Ok(request)
    }
}
