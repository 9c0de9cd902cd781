//! What a screen looks up in the record to say what comes next.

use super::{
    proofs::CourseStep,
    sheets::Sheets,
    state::{State, VoltsTaken},
};
use crate::{event::OwnSources, proof::Rotation};

impl State {
    /// Voltages that a proof of dead may rest on: since the last opening, break or stop.
    pub fn volts_since_opening(&self) -> &[VoltsTaken] {
        self.volts.get(self.proofs.dead_from..).unwrap_or_default()
    }

    /// Voltages that a proof of live may rest on: since the last closing.
    pub fn volts_since_closing(&self) -> &[VoltsTaken] {
        self.volts.get(self.proofs.live_from..).unwrap_or_default()
    }

    /// Voltages since anything that can change what the base sees was operated.
    pub fn volts_since_operation(&self) -> Vec<&VoltsTaken> {
        let mut since = Vec::new();
        for step in self.proofs.course.iter().rev() {
            let CourseStep::Read(place) = step else { break };
            since.extend(self.volts.get(*place));
        }
        since.reverse();
        since
    }

    /// Whether the neutral was tested under load since the last closing.
    pub fn neutral_tested(&self) -> bool {
        self.neutral_test.is_some()
    }

    /// The phase rotation before anything was opened, and after the last closing.
    pub fn rotations(&self) -> (Option<Rotation>, Option<Rotation>) {
        (self.rotation_found, self.rotation_now)
    }

    /// Whether lifted ends are to be shorted to neutral before anybody is handed anything: the
    /// customer's own sources are known, or not ruled out.
    pub fn needs_short(&self, sheets: &Sheets<'_>) -> bool {
        let service = self.target().and_then(|service| sheets.plant.services.get(service));
        let out = self.physical.meter_out.as_ref();
        let none_found = out.is_some_and(|out| out.own_sources == OwnSources::NoneFound);
        !(none_found && service.is_some_and(|service| service.sources.is_empty()))
    }
}
