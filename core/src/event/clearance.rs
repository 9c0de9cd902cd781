//! What is proven and handed over.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::opened::Sha256Hex;
use crate::{
    plant::Conductor,
    quantity::{AssetId, ClearanceId, EventId, PersonId, ProofId},
};

/// What a proof is of.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case", tag = "of", deny_unknown_fields)]
pub enum ProofOf {
    /// The meter base is dead, every pair on both sides.
    Dead {
        /// The service.
        service: AssetId,
    },
    /// Exactly one leg of the base died when it was lifted, and the pad's bus still lives.
    OneLeg {
        /// The service.
        service: AssetId,
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
        /// The leg that was lifted.
        leg: Conductor,
    },
    /// Base live before, only our opening between, base dead after, bus still live.
    Opening {
        /// The service.
        service: AssetId,
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// The secondary bus of a pad is dead, for work inside its secondary compartment.
    BusDead {
        /// The pad.
        pad: AssetId,
    },
    /// The lifted legs are dead at the pad, so that they can be shorted to neutral.
    Lifted {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// The base is live and healthy.
    Live {
        /// The service.
        service: AssetId,
    },
}

/// `proof`: the writer says that these readings prove something; the rule decides whether they do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ProofMade {
    /// The proof.
    pub proof: ProofId,
    /// What it is of.
    pub of: ProofOf,
    /// The events of kind `volts`, `ohms` and `sighting` it rests on, in the order they were taken.
    pub readings: Vec<EventId>,
}

/// How the holder of a clearance convinced themselves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "by", deny_unknown_fields)]
pub enum OwnTest {
    /// With their own tester: the events of kind `volts` they wrote.
    Readings {
        /// The events.
        readings: Vec<EventId>,
    },
    /// They stood by while dead was proven.
    Witnessed {
        /// The proof they saw.
        proof: ProofId,
    },
}

/// One act on a clearance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "op", deny_unknown_fields)]
pub enum ClearanceOp {
    /// Offered to somebody.
    Offered {
        /// Who is to hold it.
        to: PersonId,
        /// The proof of dead it rests on.
        proof: ProofId,
        /// Hash of the record's head as the holder is shown it.
        record_sha256: Sha256Hex,
        /// Offered by a link, so that this device cannot know whether it was accepted.
        by_link: bool,
    },
    /// Accepted by the holder.
    Accepted {
        /// Their own test.
        test: OwnTest,
    },
    /// Not taken.
    Refused {
        /// Why.
        reason: String,
    },
    /// Released by the holder: their people and tools are clear.
    Released,
    /// Ended without its holder, by the procedure for that.
    Abandoned {
        /// The second person.
        second_person: PersonId,
        /// Why the holder does not release.
        reason: String,
        /// Each attempt to reach the holder.
        attempts: Vec<String>,
        /// Somebody looked for people at the base.
        looked_for_people: bool,
        /// The base was seen clear.
        seen_clear: bool,
        /// The base was closed.
        base_closed: bool,
    },
    /// Passed to another holder.
    Transferred {
        /// Who holds it now.
        to: PersonId,
        /// The new holder's own test.
        test: OwnTest,
    },
    /// The desk ended an offer by link: nobody can accept by it any more.
    LinkEnded,
}

/// `clearance`: one act on one clearance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClearanceEvent {
    /// Which.
    pub clearance: ClearanceId,
    /// What was done.
    pub act: ClearanceOp,
}
