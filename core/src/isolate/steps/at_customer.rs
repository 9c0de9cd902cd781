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
        if !done {
            let act = match opening.device {
                _ if opening.hold => StepAct::SeeOpen,
                Device::SourceDisconnect => StepAct::SourceOff,
                _ => StepAct::OpenMain,
            };
            steps.push(at(act, opening, &[]));
        }
        steps.push(at(StepAct::TagAndLock, opening, &[]));
    }

    /// Meters set, mains closed and own sources let on again, tag and lock off each before it is
    /// operated.
    ///
    /// Source: OSHA 1910.269(m)(3)(xii) and (xiii), from memory.
    pub(super) fn customers_back(&self, steps: &mut Vec<Step>) -> Result<(), IdError> {
        for service in self.meters_out() {
            let set = closing(&[
                Rule::TagsOffBeforeClosing,
                Rule::MainOpenBeforeSet,
                Rule::LiveProvenBeforeLoad,
            ]);
            let meter = derived::meter(&service.id)?;
            self.untag_and(StepAct::SetMeter, (service, meter), &set, steps);
            let main = derived::main(&service.id)?;
            self.untag_and(StepAct::CloseMain, (service, main), &load(), steps);
            for number in 1..=service.sources.len() {
                let source = derived::source(&service.id, number)?;
                self.untag_and(StepAct::SourceOn, (service, source), &load(), steps);
            }
        }
        for opening in self.openings.iter().rev() {
            let Some(service) = &opening.service else { continue };
            if self.pulls(service) {
                continue;
            }
            steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
            if !self.stays_open(&opening.branch) {
                let act = match opening.device {
                    Device::SourceDisconnect => StepAct::SourceOn,
                    _ => StepAct::CloseMain,
                };
                steps.push(at(act, opening, &load()));
            }
        }
        Ok(())
    }

    /// Does it to a branch at a service, after tag and lock are off where the plan put them on.
    fn untag_and(
        &self,
        act: StepAct,
        (service, branch): (&Service, AssetId),
        gates: &[Rule],
        steps: &mut Vec<Step>,
    ) {
        if let Some(opening) = self.openings.iter().find(|o| o.branch == branch) {
            steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
        }
        if !self.stays_open(&branch) {
            let (branch, service) = (Some(branch), Some(service.id.clone()));
            steps.push(Step { branch, service, ..step(act, gates) });
        }
    }

    /// Shuts off what is behind a meter, reads it and pulls it; what is off already is looked at.
    pub(super) fn behind_meter_off(
        &self,
        service: &Service,
        steps: &mut Vec<Step>,
    ) -> Result<(), IdError> {
        let mut here = |act, branch: AssetId, gates: &[Rule]| {
            let is_open = self.request.is_open(&branch);
            let act = if is_open { StepAct::SeeOpen } else { act };
            let gates = if is_open { &[] } else { gates };
            let (branch, service) = (Some(branch), Some(service.id.clone()));
            steps.push(Step { branch, service, ..step(act, gates) });
        };
        for number in 1..=service.sources.len() {
            here(StepAct::SourceOff, derived::source(&service.id, number)?, &[]);
        }
        here(StepAct::OpenMain, derived::main(&service.id)?, &[]);
        let meter = derived::meter(&service.id)?;
        if !self.request.is_open(&meter) {
            here(StepAct::ReadMeter, meter.clone(), &[]);
        }
        here(StepAct::PullMeter, meter, &PULL);
        Ok(())
    }
}

/// Before a customer's load or own source comes back on.
fn load() -> Vec<Rule> {
    closing(&[Rule::TagsOffBeforeClosing, Rule::LiveProvenBeforeLoad])
}
