//! What is done at customers' premises: mains, own sources, meters.

use std::collections::BTreeSet;

use super::gates::{PULL, closing};
use super::{Work, at, step};
use crate::gate::Rule;
use crate::isolate::plan::{Opening, Step, StepAct};
use crate::plant::{Device, Service, derived};
use crate::quantity::{AssetId, IdError};

impl Work<'_> {
    /// The services whose meters are pulled: the target's for the work, others' as openings.
    pub(super) fn meters_out(&self) -> impl Iterator<Item = &Service> {
        let target = self.meter_comes_out.then_some(&self.request.service);
        let pulled = self
            .openings
            .iter()
            .filter(|o| o.device == Device::Meter && !o.hold)
            .filter_map(|o| o.service.as_ref());
        let all: BTreeSet<&AssetId> = target.into_iter().chain(pulled).collect();
        all.into_iter().filter_map(|id| self.plant.services.get(id))
    }

    fn pulls(&self, service: &AssetId) -> bool {
        self.meters_out().any(|s| &s.id == service)
    }

    /// Openings at a customer that pulling the meter has not made already.
    pub(super) fn open_at_customer(&self, opening: &Opening, steps: &mut Vec<Step>) {
        let done = opening.service.as_ref().is_some_and(|s| self.pulls(s));
        if opening.hold {
            steps.push(at(StepAct::SeeOpen, opening, &[]));
        } else if !done {
            let act = match opening.device {
                Device::SourceDisconnect => StepAct::SourceOff,
                _ => StepAct::OpenMain,
            };
            steps.push(at(act, opening, &[]));
        }
        steps.push(at(StepAct::TagAndLock, opening, &[]));
    }

    /// Meters set, mains closed and own sources let on again.
    pub(super) fn customers_back(&self, steps: &mut Vec<Step>) -> Result<(), IdError> {
        let gates = closing(&[Rule::MainOpenBeforeSet]);
        let load = closing(&[Rule::LiveProvenBeforeLoad]);
        for service in self.meters_out() {
            let here = |act, branch: AssetId, gates: &[Rule]| Step {
                branch: Some(branch),
                service: Some(service.id.clone()),
                ..step(act, gates)
            };
            steps.push(here(StepAct::SetMeter, derived::meter(&service.id)?, &gates));
            steps.push(here(StepAct::CloseMain, derived::main(&service.id)?, &load));
            for number in 1..=service.sources.len() {
                let branch = derived::source(&service.id, number)?;
                steps.push(here(StepAct::SourceOn, branch, &closing(&[])));
            }
        }
        for opening in self.openings.iter().rev() {
            let Some(service) = &opening.service else { continue };
            steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
            if !opening.hold && !self.pulls(service) {
                let act = match opening.device {
                    Device::SourceDisconnect => StepAct::SourceOn,
                    _ => StepAct::CloseMain,
                };
                steps.push(at(act, opening, &load));
            }
        }
        Ok(())
    }
}

/// Shuts off what is behind a meter, reads it and pulls it.
pub(super) fn behind_meter_off(service: &Service, steps: &mut Vec<Step>) -> Result<(), IdError> {
    let here = |act, branch: AssetId, gates: &[Rule]| Step {
        branch: Some(branch),
        service: Some(service.id.clone()),
        ..step(act, gates)
    };
    for number in 1..=service.sources.len() {
        steps.push(here(StepAct::SourceOff, derived::source(&service.id, number)?, &[]));
    }
    steps.push(here(StepAct::OpenMain, derived::main(&service.id)?, &[]));
    let meter = derived::meter(&service.id)?;
    steps.push(here(StepAct::ReadMeter, meter.clone(), &[]));
    steps.push(here(StepAct::PullMeter, meter, &PULL));
    Ok(())
}
