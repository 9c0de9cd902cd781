//! The answer as plain data.

use std::collections::{BTreeMap, BTreeSet};

use super::{explain::Explanations, ledger::LedgerRow, reason::Reasons, settle::SettlingTest};
use crate::{
    quantity::{AssetId, SightingId, StayId},
    sighting::{Candidate, Cause, Idle, Pointer, SetAt},
};

/// Which premises a stay was at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PremisesVerdict {
    /// These, whatever single cause may be false.
    Identified {
        /// The service.
        service: AssetId,
    },
    /// Not settled: the stay counts for nothing yet.
    Unsettled {
        /// Services that some sighting names.
        named: BTreeSet<AssetId>,
        /// With these causes false, other premises are still possible. Empty: sightings speak
        /// against each other and no single cause explains it, or there is no sighting at all.
        hole: Vec<Cause>,
    },
}

/// Which cable set feeds the target.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// This one, whatever the tolerated number of causes may be false.
    Identified {
        /// The set.
        set: SetAt,
        /// For no cause and for each cause: what still excludes every other candidate without it.
        holds: Vec<StillExcluded>,
    },
    /// The record is wrong about the way to the target, or no seen set is left.
    Contradicted {
        /// Claims naming the target's pad or set that are excluded, with their sightings.
        claims: Vec<LedgerRow>,
        /// Every seen set is excluded.
        no_set_left: bool,
    },
    /// Not settled yet.
    Unsettled,
}

/// What still excludes every other candidate when one cause is false.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StillExcluded {
    /// The cause taken as false; none: nothing is false.
    pub without: Option<Cause>,
    /// Sightings that still do.
    pub by: BTreeSet<SightingId>,
}

/// A candidate, and what excludes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CandidateRow {
    /// The candidate.
    pub candidate: Candidate,
    /// Sightings that exclude it; none: it can still be the one.
    pub excluded_by: BTreeSet<SightingId>,
}

/// Everything that follows from the evidence of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// The answer to the second question.
    pub verdict: Verdict,
    /// The answer to the first question, stay by stay.
    pub premises: BTreeMap<StayId, PremisesVerdict>,
    /// Every seen set, and `elsewhere` last.
    pub candidates: Vec<CandidateRow>,
    /// Claims of the record beside what was seen.
    pub ledger: Vec<LedgerRow>,
    /// What contradicts the record, and why that may be. Nothing is excluded by it.
    pub explanations: Explanations,
    /// What to do next, best first. Empty once identified.
    pub settling: Vec<SettlingTest>,
    /// Sightings that exclude nothing, with the reason.
    pub idle: BTreeMap<SightingId, Idle>,
    /// Where tags and fixes point to, other than the pad they were noted at.
    pub pointers: BTreeMap<SightingId, Pointer>,
    /// Why each candidate is out or in, sighting by sighting.
    pub reasons: Reasons,
}

/// What a judgement says to do next, and nothing else: for whoever plays many jobs and reads no
/// ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// The identified set, if there is one.
    pub identified: Option<SetAt>,
    /// As [`Judgement::settling`].
    pub settling: Vec<SettlingTest>,
    /// As [`Judgement::idle`].
    pub idle: BTreeMap<SightingId, Idle>,
}

impl Judgement {
    /// The identified set, if there is one.
    pub fn identified(&self) -> Option<&SetAt> {
        match &self.verdict {
            Verdict::Identified { set, .. } => Some(set),
            Verdict::Contradicted { .. } | Verdict::Unsettled => None,
        }
    }
}
