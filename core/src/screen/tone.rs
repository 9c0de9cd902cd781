//! How a screen's headline stands out. Decided here, so that no shell decides it another way.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Screen, build::Scene, handover};
use crate::form::VerdictName;

/// How a headline stands out. A shell gives each tone a shape, and a colour only besides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Tone {
    /// It stands: identified, or hands may go in.
    Go,
    /// It does not: contradicted, stopped, or the proof is void.
    Stop,
    /// Something is still to be done.
    Wait,
    /// Nothing is in doubt.
    Rest,
}

/// The tone of a verdict.
pub(super) const fn of_verdict(verdict: VerdictName) -> Tone {
    match verdict {
        VerdictName::Identified => Tone::Go,
        VerdictName::Contradicted => Tone::Stop,
        VerdictName::Unsettled => Tone::Wait,
    }
}

/// The tone of a job's screen.
pub(super) fn tone(scene: &Scene<'_>, screen: &Screen) -> Tone {
    match screen {
        Screen::Ledger { judgement } => of_verdict(judgement.verdict),
        Screen::Handover { .. } => handover::own(scene)
            .map_or(Tone::Wait, |(_, clearance)| handover::Hands::of(scene, clearance).tone()),
        Screen::Stopped { .. } => Tone::Stop,
        Screen::Closed { .. } | Screen::JobList { .. } => Tone::Rest,
        Screen::Briefing { .. }
        | Screen::Where { .. }
        | Screen::Switching { .. }
        | Screen::Keys { .. }
        | Screen::Lift { .. }
        | Screen::Proof { .. }
        | Screen::Clearance { .. }
        | Screen::Restore { .. } => Tone::Wait,
    }
}
