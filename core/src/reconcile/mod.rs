//! Claims against sightings: which premises, which cable set, and what would settle it.
//!
//! Two questions, in this order: *which premises is this stay at*, and *which cable set feeds the
//! target*. Candidates of the first are every service of the sheet and `unmapped`; of the second,
//! every set seen in a pad and `elsewhere`, which is never identified.
//!
//! # The rule
//!
//! Let S be the current valid sightings, C their causes (with the reports of everyone who says where
//! something that a sighting rests on was done), and k the number of causes that the rule sheet
//! tolerates as false, one more (two at most) once an opening of the job showed that another set feeds
//! the target. S \ D keeps a sighting if
//!
//! 1. none of its causes is in D;
//! 2. where it rests on a stay, that stay's kept premises sightings still exclude all premises but
//!    the target;
//! 3. where it rests on a run or deed and D holds the report of its doer, or of the person whose
//!    stay it was recorded in, another person's premises
//!    sighting was taken inside that run, is kept, and by itself excludes all but the target.
//!
//! `x` is identified when for every D of at most k causes, the empty one included, S \ D excludes
//! every candidate but `x`; and, if anything in S speaks against `x` or against the target's
//! premises, some single cause explains all of it together, and for each such cause d the same
//! holds for S \ (D and d). A stay counts only when its own premises are identified as the target by the
//! same rule.
//!
//! # The theorem
//!
//! *With at most k causes false in the world, a wrong set is never identified.* Let F be the false
//! causes, so that F has at most k members, and take D = F ∩ C. What S \ D keeps has only true
//! causes, and rests on stays whose kept premises sightings are true and leave only the target: so
//! these deeds were done at the target, or were watched there by somebody whose sighting is true.
//! A sighting whose causes are all true never excludes the true set. If S \ D excludes every
//! candidate but `x`, it excludes the true set unless `x` is it. ∎
//!
//! The claims of the record never exclude and never support; a record counts only as a named cause.
//! Property tests hold the theorem over random fields and faults, and fail when any one
//! [`Condition`](crate::sighting::Condition) is left out.
//!
//! Known limits: a vacant neighbour on an unmapped shared set cannot be seen from the target; two
//! false premises sightings at once can agree on the wrong house at k = 1.

mod case;
mod explain;
mod ids;
mod judge;
mod ledger;
mod numbers;
mod reason;
mod rule;
mod settle;
#[cfg(test)]
mod tests;
mod verdict;

pub use explain::{
    Confirm, Contradiction, Explaining, Explanation, Explanations, FalseClaim, Finding, Hypothesis,
};
#[cfg(feature = "weakened")]
pub use judge::identified_under;
pub use judge::judge;
pub(crate) use judge::seen_sets;
pub(crate) use judge::{advise_by, identified_by, judge_by};
pub use ledger::{Claim, LedgerRow, Standing};
pub use reason::{Doubt, PremisesReason, Reasons, SeenBy, SetReason};
pub use settle::{By, Expected, SettlingTest, Test};
pub use verdict::{Advice, CandidateRow, Judgement, PremisesVerdict, StillExcluded, Verdict};
