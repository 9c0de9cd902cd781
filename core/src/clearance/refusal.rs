//! Why an act on a clearance is refused.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::reading::reasons;

reasons! {
    /// One reason.
    pub enum Why {
        Unknown = "clearance-unknown": "No clearance of this name.";
        NameTaken = "clearance-name-taken": "This name was used before: a new offer has a new one.";
        NotOffered = "clearance-not-offered": "It is not on offer: accepted, refused or ended.";
        NotHeld = "clearance-not-held": "Nobody holds it.";
        OtherPerson = "clearance-other-person": "It was offered to somebody else.";
        HolderReleases = "holder-releases": "Only its holder releases or passes it on.";
        DeskOnly = "clearance-desk-only":
            "It was offered by link: only an entry signed by the desk moves it.";
        NotByLink = "clearance-not-by-link": "There is no link to end.";
        ProofStale = "clearance-proof-stale": "The proof of dead is too old to offer on.";
        OtherProof = "clearance-other-proof": "Not the proof that it was offered on.";
        OtherZone = "clearance-other-zone": "The holder's test is of another place.";
        BadHash = "clearance-bad-hash": "The record's hash is not 64 hexadecimal digits.";
        SameHolder = "clearance-same-holder": "It is passed to the one who holds it.";
        SecondPerson = "clearance-second-person":
            "Abandoning takes two people, neither of them its holder.";
        Reason = "clearance-reason": "A reason must be said.";
        Attempts = "clearance-attempts": "Too few attempts to reach the holder are on record.";
        LookForPeople = "clearance-look-for-people": "Nobody looked for people at the base.";
        SeenClear = "clearance-seen-clear": "The base was not seen clear.";
        BaseClosed = "clearance-base-closed": "The base was not closed.";
    }
}

/// An act on a clearance that is refused, with every reason; nothing of it is applied.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema, thiserror::Error)]
#[serde(deny_unknown_fields)]
#[error("the clearance stays as it is: {}", list(why))]
pub struct Refused {
    /// Every reason, by id.
    pub why: Vec<Why>,
}

fn list(why: &[Why]) -> String {
    why.iter().map(|why| why.id()).collect::<Vec<_>>().join(", ")
}

impl Refused {
    pub(super) fn one(why: Why) -> Self {
        Self { why: vec![why] }
    }
}
