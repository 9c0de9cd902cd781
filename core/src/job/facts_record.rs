//! Facts of deviations, settlements and of going on after a stop.

use super::{sheets::Sheets, state::State};
use crate::{
    event::{ConflictSettled, Deviation, Event, Resumed},
    gate::{DeviationFacts, ResumeFacts, Stage, Step},
    quantity::AssetId,
};

impl State {
    pub(super) fn deviation_facts(&self, event: &Event, body: &Deviation) -> DeviationFacts {
        let mut lacks = Vec::new();
        if body.reason.trim().is_empty() {
            lacks.push("reason".into());
        }
        if body.second_person == event.person || self.role_of(&body.second_person).is_none() {
            lacks.push(body.second_person.to_string());
        }
        if self.ids.contains(&body.step) {
            lacks.push(body.step.to_string());
        }
        DeviationFacts { deviable: body.rule.deviable(), lacks }
    }

    pub(super) fn resume_facts(&self, body: &Resumed) -> ResumeFacts {
        let mut lacks = Vec::new();
        match &self.stopped {
            None => lacks.push("stopped".into()),
            Some(stop) => {
                let furthest = if stop.live { Stage::Found } else { stop.from };
                if body.stage > furthest {
                    lacks.push("stage".into());
                }
            }
        }
        if body.checks.iter().all(|check| check.trim().is_empty()) {
            lacks.push("checks".into());
        }
        ResumeFacts { lacks }
    }

    /// Settling a conflict is a note; one that is not open is not there.
    pub(super) fn settle_step(&self, body: &ConflictSettled) -> Step {
        let open = self.conflicts.get(&body.refused).is_some_and(|c| c.settled.is_none());
        if open && !body.finding.trim().is_empty() {
            Step::Note
        } else {
            Step::Correct(crate::gate::CorrectFacts {
                code_known: Vec::new(),
                of_stay: false,
                faults: vec![body.refused.to_string()],
            })
        }
    }

    /// The target service, once the job is opened.
    pub fn target(&self) -> Option<&AssetId> {
        self.header.as_ref().map(|header| &header.service)
    }

    /// Whether a leg of the identified or any other set is off, or a switch of ours is open.
    pub(crate) fn is_open_now(&self, sheets: &Sheets<'_>) -> bool {
        let switched = self.physical.switches.keys().any(|switch| {
            let normally = sheets.plant.switches.get(switch).map(|switch| switch.normally);
            self.is_open(sheets, switch) != (normally == Some(crate::plant::Normally::Open))
        });
        !self.physical.legs.is_empty() || switched
    }
}
