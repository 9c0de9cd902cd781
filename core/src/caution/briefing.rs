//! What the tailboard briefing must cover.

use crate::reading::reasons;

reasons! {
    /// A subject of the tailboard briefing.
    pub enum Subject {
        Hazards = "brief-hazards": "What can hurt here: 29 CFR 1910.269(c)(2).";
        Procedures = "brief-procedures": "How the work is done, step by step: (c)(2).";
        Precautions = "brief-precautions": "Special precautions: (c)(2).";
        EnergyControl = "brief-energy-control":
            "What is opened, tested and grounded, and what stays hot: (c)(2).";
        Protection = "brief-protection": "Gloves, clothing, approach distance: (c)(2).";
        Premises = "brief-premises": "Which premises, and how they are known without the map.";
        Neighbours = "brief-neighbours": "Who stays supplied from the same pad, and who goes out.";
        Holder = "brief-holder": "Who takes the clearance, and how they are reached.";
        Emergency = "brief-emergency": "Where we are in words, who calls, who makes safe.";
        Backfeed = "brief-backfeed": "Customer sources known or not ruled out.";
        OpenPad = "brief-open-pad":
            "The cabinet is attended while open; its elbows and bushings stay hot.";
        Rotation = "brief-rotation": "Phase rotation is found before anything is opened.";
        SharedNeutral = "brief-pen": "Opening the PEN makes metalwork live.";
    }
}

/// What of a job decides its subjects.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[allow(clippy::struct_excessive_bools, reason = "four plain answers, each by its own name")]
pub struct BriefingFacts {
    /// A pad is opened.
    pub opens_pad: bool,
    /// Customer sources are known or not ruled out.
    pub customer_sources: bool,
    /// The service has three legs.
    pub three_legs: bool,
    /// The neutral is the protective earth too.
    pub neutral_is_earth: bool,
}

/// The subjects of a job, in the order they are talked through.
pub fn subjects(facts: BriefingFacts) -> Vec<Subject> {
    let asked = |subject: Subject| match subject {
        Subject::Hazards
        | Subject::Procedures
        | Subject::Precautions
        | Subject::EnergyControl
        | Subject::Protection
        | Subject::Premises
        | Subject::Neighbours
        | Subject::Holder
        | Subject::Emergency => true,
        Subject::Backfeed => facts.customer_sources,
        Subject::OpenPad => facts.opens_pad,
        Subject::Rotation => facts.three_legs,
        Subject::SharedNeutral => facts.neutral_is_earth,
    };
    Subject::ALL.iter().copied().filter(|&subject| asked(subject)).collect()
}

/// The subjects that were asked for and not briefed.
pub fn unbriefed(facts: BriefingFacts, briefed: &[Subject]) -> Vec<Subject> {
    subjects(facts).into_iter().filter(|subject| !briefed.contains(subject)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_five_of_the_regulation_are_always_there() {
        let always = subjects(BriefingFacts::default());
        for subject in [
            Subject::Hazards,
            Subject::Procedures,
            Subject::Precautions,
            Subject::EnergyControl,
            Subject::Protection,
        ] {
            assert!(always.contains(&subject), "{subject}");
        }
        assert!(!always.contains(&Subject::OpenPad));
    }

    #[test]
    fn what_was_left_out_is_named() {
        let facts = BriefingFacts { opens_pad: true, ..BriefingFacts::default() };
        let mut briefed = subjects(facts);
        assert_eq!(unbriefed(facts, &briefed), []);
        briefed.retain(|&subject| subject != Subject::OpenPad);
        assert_eq!(unbriefed(facts, &briefed), [Subject::OpenPad]);
    }
}
