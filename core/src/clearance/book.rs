//! The clearances of a job and every act on them.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Author, Clearance, Holding, Refused, Standing, Why};
use crate::{
    proof::ProvenDead,
    quantity::{ClearanceId, Instant, PersonId, ProofId},
    rule_sheet::RuleSheet,
};

/// All clearances of a job.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Clearances(BTreeMap<ClearanceId, Clearance>);

/// What an offer says.
#[derive(Debug, Clone, Copy)]
pub struct Offer<'a> {
    /// Who is to hold it.
    pub to: &'a PersonId,
    /// The name of the proof of dead.
    pub proof: &'a ProofId,
    /// That proof.
    pub dead: &'a ProvenDead,
    /// Hash of the record's head as the holder is shown it, 64 hexadecimal digits.
    pub record_sha256: &'a str,
    /// Offered by a link, so that this device cannot know whether it was accepted.
    pub by_link: bool,
}

/// How a holder convinced themselves that it is dead.
#[derive(Debug, Clone, Copy)]
pub enum HolderTest<'a> {
    /// By their own test, which proves dead by the same rule.
    Own(&'a ProvenDead),
    /// They stood by while this proof was made.
    Witnessed(&'a ProofId),
}

/// What was done before a clearance is ended without its holder. Calls alone are not enough.
#[derive(Debug, Clone, Copy)]
#[allow(clippy::struct_excessive_bools, reason = "three deeds, each on record by its own name")]
pub struct Abandonment<'a> {
    /// The second person.
    pub second_person: &'a PersonId,
    /// Why the holder does not release it.
    pub reason: &'a str,
    /// Each attempt to reach the holder.
    pub attempts: &'a [String],
    /// People were looked for at the base.
    pub looked_for_people: bool,
    /// The base was seen clear.
    pub seen_clear: bool,
    /// The base was closed.
    pub base_closed: bool,
}

/// Why a closing is blocked by a clearance.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "blocks", deny_unknown_fields)]
pub enum Blocks {
    /// Somebody holds it.
    Held {
        /// Which.
        clearance: ClearanceId,
        /// Who.
        holder: PersonId,
    },
    /// It is on offer by link: it may have been accepted where this device cannot see it.
    OfferedByLink {
        /// Which.
        clearance: ClearanceId,
        /// To whom.
        to: PersonId,
    },
    /// It is on offer here: take it back first.
    Offered {
        /// Which.
        clearance: ClearanceId,
        /// To whom.
        to: PersonId,
    },
}

impl Blocks {
    /// The id of the rule that blocks.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::Held { .. } | Self::Offered { .. } => "no-clearance-held-before-closing",
            Self::OfferedByLink { .. } => "no-link-offer-before-closing",
        }
    }
}

impl Clearances {
    /// A clearance by its name.
    pub fn get(&self, id: &ClearanceId) -> Option<&Clearance> {
        self.0.get(id)
    }

    /// All of them, by name.
    pub fn iter(&self) -> impl Iterator<Item = (&ClearanceId, &Clearance)> {
        self.0.iter()
    }

    /// Everything that keeps every closing gate shut; empty when nothing does.
    pub fn blocks_closing(&self) -> Vec<Blocks> {
        self.0
            .iter()
            .filter_map(|(id, clearance)| match &clearance.standing {
                Standing::Held { holder } => {
                    Some(Blocks::Held { clearance: id.clone(), holder: holder.clone() })
                }
                Standing::Offered { to } if clearance.by_link => {
                    Some(Blocks::OfferedByLink { clearance: id.clone(), to: to.clone() })
                }
                Standing::Offered { to } => {
                    Some(Blocks::Offered { clearance: id.clone(), to: to.clone() })
                }
                Standing::Refused
                | Standing::Released
                | Standing::Abandoned
                | Standing::LinkEnded => None,
            })
            .collect()
    }

    /// Offers a clearance on a fresh proof of dead.
    pub fn offer(
        &mut self,
        id: &ClearanceId,
        author: Author<'_>,
        offer: Offer<'_>,
        now: &Instant,
        rules: &RuleSheet,
    ) -> Result<(), Refused> {
        let is_hash = offer.record_sha256.len() == 64
            && offer.record_sha256.bytes().all(|b| b.is_ascii_hexdigit());
        refuse_all([
            (self.0.contains_key(id), Why::NameTaken),
            (!offer.dead.is_fresh(now, rules), Why::ProofStale),
            (!is_hash, Why::BadHash),
        ])?;
        let clearance = Clearance {
            by: author.person.clone(),
            by_link: offer.by_link,
            proof: offer.proof.clone(),
            zone: offer.dead.zone().clone(),
            record_sha256: offer.record_sha256.to_owned(),
            standing: Standing::Offered { to: offer.to.clone() },
            holders: Vec::new(),
        };
        self.0.insert(id.clone(), clearance);
        Ok(())
    }

    /// Accepts an offer: by the person it was made to, with their own test or as a witness.
    pub fn accept(
        &mut self,
        id: &ClearanceId,
        author: Author<'_>,
        test: HolderTest<'_>,
    ) -> Result<(), Refused> {
        let clearance = self.known(id)?;
        let Standing::Offered { to } = &clearance.standing else {
            return Err(Refused::one(Why::NotOffered));
        };
        let to = to.clone();
        refuse_all([
            (*author.person != to, Why::OtherPerson),
            (clearance.by_link && !author.desk, Why::DeskOnly),
        ])?;
        let holding = holding(clearance, &to, test)?;
        clearance.holders.push(holding);
        clearance.standing = Standing::Held { holder: to };
        Ok(())
    }

    /// Turns an offer down; who made it may take it back, unless it went out by link.
    pub fn refuse(&mut self, id: &ClearanceId, author: Author<'_>) -> Result<(), Refused> {
        let clearance = self.known(id)?;
        let Standing::Offered { to } = &clearance.standing else {
            return Err(Refused::one(Why::NotOffered));
        };
        let takes_back = !clearance.by_link && *author.person == clearance.by;
        refuse_all([
            (*author.person != *to && !takes_back, Why::OtherPerson),
            (clearance.by_link && !author.desk, Why::DeskOnly),
        ])?;
        clearance.standing = Standing::Refused;
        Ok(())
    }

    /// Releases it: only its holder does, when people and tools are clear.
    pub fn release(&mut self, id: &ClearanceId, author: Author<'_>) -> Result<(), Refused> {
        let clearance = self.known(id)?;
        clearance.must_be_holders(author)?;
        clearance.standing = Standing::Released;
        Ok(())
    }

    /// Passes it to another holder, who has convinced themselves too; the chain is kept.
    pub fn transfer(
        &mut self,
        id: &ClearanceId,
        author: Author<'_>,
        to: &PersonId,
        test: HolderTest<'_>,
    ) -> Result<(), Refused> {
        let clearance = self.known(id)?;
        clearance.must_be_holders(author)?;
        refuse_all([(author.person == to, Why::SameHolder)])?;
        let holding = holding(clearance, to, test)?;
        clearance.holders.push(holding);
        clearance.standing = Standing::Held { holder: to.clone() };
        Ok(())
    }

    /// Ends a held clearance without its holder. One that went out by link is ended at the desk.
    pub fn abandon(
        &mut self,
        id: &ClearanceId,
        author: Author<'_>,
        done: Abandonment<'_>,
        rules: &RuleSheet,
    ) -> Result<(), Refused> {
        let clearance = self.known(id)?;
        let Some(holder) = clearance.holder() else {
            return Err(Refused::one(Why::NotHeld));
        };
        let said = |text: &str| !text.trim().is_empty();
        let attempts = done.attempts.iter().filter(|attempt| said(attempt)).count();
        let least = usize::try_from(rules.abandon_least_attempts).unwrap_or(usize::MAX);
        let second = done.second_person;
        let two = author.person != second && second != holder && author.person != holder;
        refuse_all([
            (clearance.by_link && !author.desk, Why::DeskOnly),
            (!two, Why::SecondPerson),
            (!said(done.reason), Why::Reason),
            (attempts < least, Why::Attempts),
            (!done.looked_for_people, Why::LookForPeople),
            (!done.seen_clear, Why::SeenClear),
            (!done.base_closed, Why::BaseClosed),
        ])?;
        clearance.standing = Standing::Abandoned;
        Ok(())
    }

    /// The desk ends an offer by link, so that nobody can accept by it any more.
    pub fn end_link(&mut self, id: &ClearanceId, author: Author<'_>) -> Result<(), Refused> {
        let clearance = self.known(id)?;
        let offered = matches!(clearance.standing, Standing::Offered { .. });
        refuse_all([
            (!clearance.by_link, Why::NotByLink),
            (!author.desk, Why::DeskOnly),
            (!offered, Why::NotOffered),
        ])?;
        clearance.standing = Standing::LinkEnded;
        Ok(())
    }

    fn known(&mut self, id: &ClearanceId) -> Result<&mut Clearance, Refused> {
        self.0.get_mut(id).ok_or_else(|| Refused::one(Why::Unknown))
    }
}

impl Clearance {
    fn must_be_holders(&self, author: Author<'_>) -> Result<(), Refused> {
        let Some(holder) = self.holder() else {
            return Err(Refused::one(Why::NotHeld));
        };
        refuse_all([
            (author.person != holder, Why::HolderReleases),
            (self.by_link && !author.desk, Why::DeskOnly),
        ])
    }
}

fn holding(
    clearance: &Clearance,
    holder: &PersonId,
    test: HolderTest<'_>,
) -> Result<Holding, Refused> {
    let own_test = match test {
        HolderTest::Own(dead) if *dead.zone() == clearance.zone => Some(dead.readings().to_vec()),
        HolderTest::Own(_) => return Err(Refused::one(Why::OtherZone)),
        HolderTest::Witnessed(proof) if *proof == clearance.proof => None,
        HolderTest::Witnessed(_) => return Err(Refused::one(Why::OtherProof)),
    };
    Ok(Holding { holder: holder.clone(), own_test })
}

/// All reasons that hold, together.
fn refuse_all<const N: usize>(reasons: [(bool, Why); N]) -> Result<(), Refused> {
    let why: Vec<Why> =
        reasons.into_iter().filter_map(|(holds, why)| holds.then_some(why)).collect();
    if why.is_empty() { Ok(()) } else { Err(Refused { why }) }
}

#[cfg(test)]
mod tests;
