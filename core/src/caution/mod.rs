//! Cautions: approach distance, gloves, clothing and briefing, each number with its source.

mod approach;
mod briefing;
mod wear;

pub use approach::{Approach, Exposure, approach};
pub use briefing::{BriefingFacts, Subject, subjects, unbriefed};
pub use wear::{
    Clothing, Hands, class_for, clothing, clothing_at_primary, gloves, needs_two_workers,
};

/// A value and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Standard, table, and whether it was read or recalled.
    pub source: &'static str,
}
