//! How a screen of the core looks: which shape and tone its verdict has.

use coldlug_core::{form::VerdictName, screen::Screen};

/// The tone of a screen's headline, a class of the style sheet. Never the only sign: a mark and
/// the words say the same.
pub(super) fn tone_of(screen: &Screen) -> &'static str {
    match screen {
        Screen::Ledger { judgement } => match judgement.verdict {
            VerdictName::Identified => "go",
            VerdictName::Contradicted => "stop",
            VerdictName::Unsettled => "wait",
        },
        Screen::Handover { hands, .. } => match hands.id.as_str() {
            "hands-held" => "go",
            "hands-held-void" | "hands-stopped" => "stop",
            _ => "wait",
        },
        Screen::Stopped { .. } => "stop",
        Screen::Closed { .. } => "rest",
        Screen::JobList { .. }
        | Screen::Briefing { .. }
        | Screen::Where { .. }
        | Screen::Switching { .. }
        | Screen::Keys { .. }
        | Screen::Lift { .. }
        | Screen::Proof { .. }
        | Screen::Clearance { .. }
        | Screen::Restore { .. } => "wait",
    }
}

/// The shape that goes with a tone.
pub(super) fn mark_of(screen: &Screen) -> &'static str {
    match tone_of(screen) {
        "go" => "mark-disc",
        "stop" => "mark-bar",
        "rest" => "mark-ring",
        _ => "mark-half",
    }
}

/// The shape that goes with how a claim stands.
pub(super) fn standing_mark(standing: &str) -> &'static str {
    match standing {
        "agrees" => "mark-disc",
        "contradicts" => "mark-bar",
        _ => "mark-half",
    }
}
