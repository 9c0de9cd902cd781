//! What somebody read at a branch, and what that is worth.

use crate::quantity::{Current, amps};
use crate::reading::reasons;

reasons! {
    /// Why what was read shows no opening to be within its rating.
    pub enum AmpsLack {
        NotRead = "amps-not-read": "Nobody has read what flows.";
        BeforeSwitching = "amps-before-switching": "Something was opened or closed since.";
        NotEveryPhase = "amps-not-every-phase": "The fullest phase may be one that was not read.";
        NearLoadBreak = "amps-near-load-break":
            "The instrument cannot tell whether it is more than the rating.";
        OverLoadBreak = "amps-over-load-break": "It is more than the rating.";
    }
}

/// What somebody read at a branch, on the fullest of the conductors that were read.
///
/// A reading against which nothing is held goes before the record. Any other only ever speaks against
/// an opening: it makes nothing smaller than the record has it.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadAmps {
    /// What flows at least: as shown, less the limit of error.
    pub least: Current,
    /// What flows at most: as shown, with the limit of error.
    pub most: Current,
    /// How many conductors were read with nothing held against it.
    pub conductors: u32,
    /// When, as it is told; none: nobody said.
    pub at: Option<String>,
    /// What is held against it, by the ids of the sentences; empty: nothing.
    pub doubts: Vec<String>,
}

impl ReadAmps {
    /// So many amps on the fullest conductor, known to be just that.
    pub const fn exactly(read: Current) -> Self {
        Self { least: read, most: read, conductors: u32::MAX, at: None, doubts: Vec::new() }
    }

    /// What is held against it for a branch with so many loaded conductors; empty: it goes before the
    /// record.
    pub(super) fn doubts(&self, conductors: u32) -> Vec<String> {
        let mut doubts = self.doubts.clone();
        if doubts.is_empty() && self.conductors < conductors {
            doubts.push(AmpsLack::NotEveryPhase.id().to_owned());
        }
        doubts
    }

    /// Whether more than that flows for certain.
    pub(super) fn is_over(&self, rated: Current) -> bool {
        self.least > rated.max(amps(0.0))
    }
}
