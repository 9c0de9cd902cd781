//! The utility's rule sheet: every limit the core judges by, from TOML, with a conservative default.
//!
//! A sheet is refused whole with a complete list of findings, never half applied. A value that is
//! less cautious than the default is accepted only with a reason on the sheet itself. Jobs pin a
//! sheet by its hash.

mod choice;
mod finding;
mod parse;
mod setting;
mod sheet;
mod typed;

pub use choice::{Category, GloveClass};
pub use finding::{Finding, Reason, Refused};
pub use parse::MOST_BYTES;
pub use sheet::RuleSheet;
