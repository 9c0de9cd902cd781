//! Every rule that stands before a step, each with a stable name.
//!
//! A rule's id is the message id, the doc anchor, the name of its test and the counter of the
//! simulator, so "what gates lifting a leg?" is one search: the file `opening`. The gate judges
//! plain facts that `job` fills in; it knows nothing of events, clocks or the map.

mod facts;
mod handover;
mod judge;
mod opening;
mod premises;
mod proving;
mod record;
mod restoring;
mod role;
mod rule;
mod scope;
mod stage;
#[cfg(test)]
mod tests;

pub use facts::{
    AbandonFacts, AcceptFacts, CloseFacts, Closing, CorrectFacts, DeviationFacts, GroundFacts,
    KeysFacts, LandFacts, LiftFacts, LinkEndFacts, OfferFacts, OpenSwitchFacts, ProofFacts,
    PullFacts, ReleaseFacts, ResumeFacts, RunEndFacts, SetMeterFacts, ShortFacts, Standing, Step,
    SwitchClosedFacts, TransferFacts,
};
pub use judge::{Passed, Refusal, judge};
pub use role::Role;
pub use rule::{Rule, RuleEntry, rule_book};
pub use scope::{Scope, ScopeError};
pub use stage::Stage;

/// Edition of these rules. A job is pinned to the edition it was opened with.
pub const EDITION: &str = "1";
