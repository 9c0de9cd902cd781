//! One clearance: what it rests on, and how it stands.

use serde::Serialize;

use crate::{
    proof::Zone,
    quantity::{EventId, PersonId, ProofId},
};

/// Who writes, and from where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Author<'a> {
    /// The person who acts.
    pub person: &'a PersonId,
    /// Whether the entry is signed by the desk: for an electrician on their own phone the desk
    /// signs, and says so.
    pub desk: bool,
}

/// How a clearance stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "standing")]
pub enum Standing {
    /// On offer.
    Offered {
        /// To whom.
        to: PersonId,
    },
    /// Held: people may be at work.
    Held {
        /// By whom.
        holder: PersonId,
    },
    /// Not taken, or taken back before it was accepted.
    Refused,
    /// Released by its holder.
    Released,
    /// Ended without its holder by the procedure for that.
    Abandoned,
    /// The desk ended the offer by link: nobody accepts by it any more.
    LinkEnded,
}

/// A clearance with its chain of holders.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Clearance {
    pub(super) by: PersonId,
    pub(super) by_link: bool,
    pub(super) proof: ProofId,
    pub(super) zone: Zone,
    pub(super) record_sha256: String,
    pub(super) standing: Standing,
    pub(super) holders: Vec<Holding>,
}

/// One who held it, and how they convinced themselves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Holding {
    /// Who.
    pub holder: PersonId,
    /// The readings of their own test; none: they stood by at the proof it was offered on.
    pub own_test: Option<Vec<EventId>>,
}

impl Clearance {
    /// Who offered it.
    pub const fn by(&self) -> &PersonId {
        &self.by
    }

    /// Whether it was offered by link.
    pub const fn by_link(&self) -> bool {
        self.by_link
    }

    /// The proof of dead it was offered on.
    pub const fn proof(&self) -> &ProofId {
        &self.proof
    }

    /// What it covers.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// Hash of the record's head as its holder was shown it.
    pub fn record_sha256(&self) -> &str {
        &self.record_sha256
    }

    /// How it stands.
    pub const fn standing(&self) -> &Standing {
        &self.standing
    }

    /// Everyone who held it, in order.
    pub fn holders(&self) -> &[Holding] {
        &self.holders
    }

    /// Who holds it now.
    pub const fn holder(&self) -> Option<&PersonId> {
        match &self.standing {
            Standing::Held { holder } => Some(holder),
            _ => None,
        }
    }
}
