//! Every rule that stands before a step, each with a stable name.
//!
//! A rule's id is the message id, the doc anchor, the name of its test and the counter of the
//! simulator, so "what gates lifting a leg?" is one search.

mod rule;
mod scope;
mod stage;

pub use rule::{Rule, RuleEntry, rule_book};
pub use scope::{Scope, ScopeError};
pub use stage::Stage;
