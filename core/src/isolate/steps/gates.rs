//! What must be on record before the steps of each kind.

use crate::gate::Rule;

/// Before a leg is lifted.
pub(super) const LIFT: [Rule; 13] = [
    Rule::IdentifiedBeforeOpening,
    Rule::DeadFrontOnly,
    Rule::EnclosureSoundBeforeLift,
    Rule::QuestionsBeforeLift,
    Rule::MeterOutBeforeLift,
    Rule::AmpsFreshBeforeLift,
    Rule::NoLoadBeforeLift,
    Rule::NoLoadWithMeterOut,
    Rule::ClampProvenAfterAmps,
    Rule::NoLoadWhileLoosened,
    Rule::NeutralStaysLanded,
    Rule::OneLegAtATime,
    Rule::AllRunsLifted,
];

/// Before a meter is pulled.
pub(super) const PULL: [Rule; 7] = [
    Rule::MeterNumberReadBeforePull,
    Rule::OwnSourcesOffBeforePull,
    Rule::MainOpenBeforePull,
    Rule::NoDamageBeforePull,
    Rule::BypassOpenBeforePull,
    Rule::CtMeterStays,
    Rule::SelfContainedBelow300VoltsBeforePull,
];

/// Before anything is proven.
pub(super) const PROOF: [Rule; 2] = [Rule::TesterProvenAroundProof, Rule::ProofHolds];

/// Before anything is closed.
const CLOSING: [Rule; 4] = [
    Rule::NoClearanceHeldBeforeClosing,
    Rule::NoLinkOfferBeforeClosing,
    Rule::InspectedBeforeRestore,
    Rule::ClearSaidBeforeClosing,
];

/// What stands before every closing, and more.
pub(super) fn closing(more: &[Rule]) -> Vec<Rule> {
    CLOSING.iter().chain(more).copied().collect()
}
