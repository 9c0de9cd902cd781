//! The JSON forms of what the core answers: plain data with the unit in every name.
//!
//! A form is made from a core type and never read back into one. Each has a JSON Schema made from
//! its type; tests hold every printed form to its schema.

mod cause;
mod check;
mod explanation;
mod fault_current;
mod import;
mod judgement;
mod plan;
mod pointer;
mod problem;
mod reason;
mod record;
mod rule_book;

pub use cause::{CauseForm, Clauses};
pub use check::{CheckForm, SheetForm};
pub use explanation::{
    ExplanationForm, ExplanationsForm, FalseClaimForm, FindingForm, HypothesisForm,
    confirm_sentence, contradiction_sentence, false_claim_sentence,
};
pub use fault_current::{
    Beside, ClothingForm, FaultCurrentForm, FaultPathForm, LateralForm, SmallestForm, WithstandForm,
};
pub use import::{FoundForm, ImportForm, Tally};
pub use judgement::{
    CandidateForm, ClaimForm, IdleForm, JudgementForm, PremisesForm, SettlingTestForm,
    StillExcludedForm, VerdictName, claim_sentence, name, test_sentence, verdict_sentence,
};
pub use plan::{NotAllowedForm, PlanForm, StepForm, WayForm, opening_sentence};
pub use reason::{ReasonForm, SeenForm};
pub use record::{RecordDeviceForm, RecordFaultForm, RecordForm, WholeRecordForm};
pub use rule_book::{RuleBookForm, RuleForm};

/// The stable id of a plain enum's variant, as its JSON has it; empty where it is none.
pub(crate) fn kebab<T: serde::Serialize>(value: &T) -> String {
    let json = serde_json::to_value(value).ok();
    json.and_then(|json| json.as_str().map(str::to_owned)).unwrap_or_default()
}
