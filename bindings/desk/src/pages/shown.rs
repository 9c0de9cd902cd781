//! How a screen of the core looks: the class and the shape of each tone and standing.

use coldlug_core::screen::Tone;

/// A tone as a class of the style sheet. Never the only sign: a mark and the words say the same.
pub(super) const fn tone_class(tone: Tone) -> &'static str {
    match tone {
        Tone::Go => "go",
        Tone::Stop => "stop",
        Tone::Wait => "wait",
        Tone::Rest => "rest",
    }
}

/// The shape that goes with a tone.
pub(super) const fn tone_mark(tone: Tone) -> &'static str {
    match tone {
        Tone::Go => "mark-disc",
        Tone::Stop => "mark-bar",
        Tone::Wait => "mark-half",
        Tone::Rest => "mark-ring",
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
