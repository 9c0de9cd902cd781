//! Facts of clearances: what the book of clearances says about an act before it is done.

use super::{facts::names, known::Known, sheets::Sheets, state::State};
use crate::{
    clearance::{Abandonment, Author, Blocks, HolderTest, Offer, Refused, Standing, Why},
    event::{ClearanceEvent, ClearanceOp, Event, OwnTest},
    gate::{
        AbandonFacts, AcceptFacts, Closing, LinkEndFacts, OfferFacts, ReleaseFacts, Role, Scope,
        TransferFacts,
    },
    proof::{DeadProof, MissingDead, ProvenDead, Zone, prove_dead},
    quantity::{ClearanceId, PersonId, ProofId},
};

/// Which part of the gate a reason belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    AsOffered,
    Holder,
    Fresh,
    Test,
    Procedure,
}

const fn part(why: Why) -> Part {
    match why {
        Why::Unknown
        | Why::NameTaken
        | Why::NotOffered
        | Why::NotHeld
        | Why::OtherPerson
        | Why::DeskOnly
        | Why::NotByLink
        | Why::BadHash
        | Why::SameHolder => Part::AsOffered,
        Why::HolderReleases => Part::Holder,
        Why::ProofStale => Part::Fresh,
        Why::OtherProof | Why::OtherZone => Part::Test,
        Why::SecondPerson
        | Why::Reason
        | Why::Attempts
        | Why::LookForPeople
        | Why::SeenClear
        | Why::BaseClosed => Part::Procedure,
    }
}

/// The reasons of one part, by id.
fn of_part(refused: &Result<(), Refused>, wanted: Part) -> Vec<String> {
    let why = refused.as_ref().err().map(|refused| refused.why.as_slice()).unwrap_or_default();
    why.iter().filter(|why| part(**why) == wanted).map(|why| why.id().to_owned()).collect()
}

impl State {
    /// What stands before a closing step of any kind, as far as its writer had heard.
    pub(super) fn closing(&self, event: &Event, known: Known<'_>) -> Closing {
        let (mut held, mut link_offers) = (Vec::new(), Vec::new());
        for blocks in self.clearances.blocks_closing() {
            match blocks {
                Blocks::Held { clearance, .. } | Blocks::Offered { clearance, .. } => {
                    held.push(clearance.to_string());
                }
                Blocks::OfferedByLink { clearance, .. } => link_offers.push(clearance.to_string()),
            }
        }
        let conflicts = names(self.open_conflicts());
        let unheard = self.unheard(event, known);
        let inspected = !self.ever_handed_over || self.inspected;
        Closing { held, link_offers, conflicts, inspected, unheard }
    }

    /// The zone a clearance of this job's scope covers; none: the rules here cannot prove it dead.
    pub fn work_zone(&self) -> Option<Zone> {
        let header = self.header.as_ref()?;
        match &header.scope {
            Scope::BaseLineSide | Scope::BaseBothSides => {
                Some(Zone::MeterBase { service: header.service.clone() })
            }
            Scope::PadSecondary => {
                Some(Zone::PadBus { pad: self.identified.as_ref()?.pad.clone() })
            }
            Scope::PadPrimary | Scope::Cable { .. } => None,
        }
    }

    /// The proof of dead of the work zone, by name.
    pub(super) fn work_proof(&self, proof: &ProofId) -> Option<&ProvenDead> {
        let zone = self.work_zone()?;
        self.proofs.dead.get(proof).filter(|dead| *dead.zone() == zone)
    }

    /// Applies an act on a clearance to the book, or says why not. A proof that does not stand is
    /// said apart: then nothing is tried.
    pub(super) fn act_on_clearance(
        &self,
        book: &mut crate::clearance::Clearances,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> Option<Result<(), Refused>> {
        let author = Author { person: &event.person, desk: self.is_desk(&event.device) };
        let id = &body.clearance;
        Some(match &body.act {
            ClearanceOp::Offered { to, proof, record_sha256, by_link } => {
                let dead = self.work_proof(proof)?;
                let record_sha256 = &record_sha256.to_string();
                let offer = Offer { to, proof, dead, record_sha256, by_link: *by_link };
                book.offer(id, author, offer, &event.when(), sheets.rules)
            }
            ClearanceOp::Accepted { test } => {
                let own = self.own_test(sheets, test, &event.person);
                book.accept(id, author, holder_test(test, own.as_ref().ok()?.as_ref())?)
            }
            ClearanceOp::Transferred { to, test } => {
                let own = self.own_test(sheets, test, to);
                book.transfer(id, author, to, holder_test(test, own.as_ref().ok()?.as_ref())?)
            }
            ClearanceOp::Refused { .. } => book.refuse(id, author),
            ClearanceOp::Released => book.release(id, author),
            ClearanceOp::LinkEnded => book.end_link(id, author),
            ClearanceOp::Abandoned {
                second_person,
                reason,
                attempts,
                looked_for_people,
                seen_clear,
                base_closed,
            } => {
                let done = Abandonment {
                    second_person,
                    reason,
                    attempts,
                    looked_for_people: *looked_for_people,
                    seen_clear: *seen_clear,
                    base_closed: *base_closed,
                };
                book.abandon(id, author, done, sheets.rules)
            }
        })
    }

    /// The holder's own proof over their own readings; what it lacks, by id.
    fn own_test(
        &self,
        sheets: &Sheets<'_>,
        test: &OwnTest,
        holder: &PersonId,
    ) -> Result<Option<ProvenDead>, Vec<String>> {
        let OwnTest::Readings { readings } = test else { return Ok(None) };
        let none = || vec!["readings".to_owned()];
        let zone = self.work_zone().ok_or_else(none)?;
        let with = self.judging(sheets).ok_or_else(none)?;
        let own = self.volts_since(|volts| volts.person == *holder);
        if readings.is_empty() || !readings.iter().all(|id| own.iter().any(|v| v.event == *id)) {
            return Err(none());
        }
        match prove_dead(&zone, &own, with) {
            DeadProof::Proven(dead) => Ok(Some(dead)),
            DeadProof::Live { most_likely, .. } => Err(vec![most_likely.id().to_owned()]),
            DeadProof::Missing { missing } => {
                Err(missing.iter().flat_map(MissingDead::said).collect())
            }
        }
    }

    fn tried(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> Result<(), Refused> {
        let mut book = self.clearances.clone();
        self.act_on_clearance(&mut book, sheets, event, body).unwrap_or(Ok(()))
    }

    pub(super) fn offer_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
        known: Known<'_>,
    ) -> OfferFacts {
        let tried = self.tried(sheets, event, body);
        let mut amiss = of_part(&tried, Part::AsOffered);
        let ClearanceOp::Offered { to, proof, .. } = &body.act else {
            return OfferFacts {
                amiss: vec![body.clearance.to_string()],
                dead_proven: false,
                fresh: false,
                opening_proven: false,
                unsafe_ends: Vec::new(),
                without_proof: Vec::new(),
                grounded: false,
                conflicts: Vec::new(),
                said_clear: false,
                unaware: Vec::new(),
            };
        };
        if !matches!(self.role_of(to), Some(Role::Lineworker | Role::Electrician)) {
            amiss.push(to.to_string());
        }
        if self.clearances.get(&body.clearance).is_some() {
            amiss.push(body.clearance.to_string());
        }
        // Nobody who closes anything waits for the word of any other device.
        if !self.is_crews_phone(&event.device) {
            amiss.push(event.device.to_string());
        }
        let base = self.header.as_ref().is_some_and(|header| {
            matches!(header.scope, Scope::BaseLineSide | Scope::BaseBothSides)
        });
        let dead = self.work_proof(proof);
        OfferFacts {
            amiss,
            dead_proven: dead.is_some(),
            fresh: dead.is_some_and(|dead| dead.is_fresh(&event.when(), sheets.rules)),
            opening_proven: self.proofs.opening.is_some() && self.was_all_open(),
            unsafe_ends: self.unsafe_ends(sheets),
            without_proof: self.openings_without_proof(),
            grounded: base || self.zone_grounded(sheets),
            conflicts: names(self.open_conflicts()),
            said_clear: self.said_clear(&event.device),
            unaware: self.unaware(event, known),
        }
    }

    /// Lifted ends that are not capped, restrained and tagged; and sets that are not shorted where
    /// a customer's source is known or not ruled out.
    fn unsafe_ends(&self, sheets: &Sheets<'_>) -> Vec<String> {
        let needs_short = self.needs_short(sheets);
        let mut ends = Vec::new();
        for (set, legs) in &self.physical.legs {
            for (leg, end) in legs {
                if end.capped.is_none() || end.restrained.is_none() || end.tagged.is_none() {
                    ends.push(leg.to_string());
                }
            }
            if needs_short && !self.physical.shorts.contains_key(set) {
                ends.push("short".into());
            }
        }
        ends
    }

    /// Openings that stand and passed a gate by deviation, settlement or in the name of safety alone:
    /// no clearance rests on them.
    fn openings_without_proof(&self) -> Vec<String> {
        let legs = self.physical.legs.values().flatten().map(|(_, end)| &end.lifted.event);
        let switches = self.physical.switches.values().map(|(_, touch)| &touch.event);
        let marked = legs.chain(switches).filter(|event| self.without_proof.contains_key(event));
        marked.map(ToString::to_string).collect()
    }

    fn dead_stands(&self, id: &ClearanceId) -> bool {
        let proof = self.clearances.get(id).map(crate::clearance::Clearance::proof);
        proof.is_some_and(|proof| self.work_proof(proof).is_some())
    }

    fn test_lacks(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        id: &ClearanceId,
        test: &OwnTest,
        holder: &PersonId,
        tried: &Result<(), Refused>,
    ) -> Vec<String> {
        let mut lacks = of_part(tried, Part::Test);
        match test {
            OwnTest::Readings { .. } => match self.own_test(sheets, test, holder) {
                Err(missing) => lacks.extend(missing),
                Ok(own) => {
                    let now = event.when();
                    if !own.is_some_and(|own| own.is_fresh(&now, sheets.rules)) {
                        lacks.push("stale".into());
                    }
                }
            },
            OwnTest::Witnessed { proof } => {
                let fresh = self
                    .work_proof(proof)
                    .is_some_and(|dead| dead.is_fresh(&event.when(), sheets.rules));
                let same = self.clearances.get(id).is_some_and(|c| c.proof() == proof);
                if !fresh || !same {
                    lacks.push(proof.to_string());
                }
            }
        }
        lacks
    }

    pub(super) fn accept_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> AcceptFacts {
        let tried = self.tried(sheets, event, body);
        let mut amiss = of_part(&tried, Part::AsOffered);
        let offered =
            self.clearances.get(&body.clearance).map(crate::clearance::Clearance::standing);
        if !matches!(offered, Some(Standing::Offered { to }) if *to == event.person) {
            amiss.push(event.person.to_string());
        }
        let ClearanceOp::Accepted { test } = &body.act else {
            return AcceptFacts { amiss, dead_stands: false, test_lacks: Vec::new() };
        };
        AcceptFacts {
            amiss,
            dead_stands: self.dead_stands(&body.clearance),
            test_lacks: self.test_lacks(
                sheets,
                event,
                &body.clearance,
                test,
                &event.person,
                &tried,
            ),
        }
    }

    pub(super) fn transfer_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> TransferFacts {
        let tried = self.tried(sheets, event, body);
        let mut amiss = of_part(&tried, Part::AsOffered);
        let holder =
            self.clearances.get(&body.clearance).and_then(crate::clearance::Clearance::holder);
        let ClearanceOp::Transferred { to, test } = &body.act else {
            amiss.push(body.clearance.to_string());
            return TransferFacts {
                amiss,
                by_holder: false,
                dead_stands: false,
                test_lacks: Vec::new(),
            };
        };
        if holder.is_none() {
            amiss.push(body.clearance.to_string());
        }
        if !matches!(self.role_of(to), Some(Role::Lineworker | Role::Electrician)) {
            amiss.push(to.to_string());
        }
        TransferFacts {
            amiss,
            by_holder: holder == Some(&event.person),
            dead_stands: self.dead_stands(&body.clearance),
            test_lacks: self.test_lacks(sheets, event, &body.clearance, test, to, &tried),
        }
    }

    pub(super) fn release_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> ReleaseFacts {
        let tried = self.tried(sheets, event, body);
        ReleaseFacts {
            amiss: of_part(&tried, Part::AsOffered),
            by_holder: of_part(&tried, Part::Holder).is_empty(),
        }
    }

    pub(super) fn abandon_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> AbandonFacts {
        let tried = self.tried(sheets, event, body);
        let mut lacks = of_part(&tried, Part::Procedure);
        if let ClearanceOp::Abandoned { second_person, .. } = &body.act
            && self.role_of(second_person).is_none()
        {
            lacks.push(second_person.to_string());
        }
        AbandonFacts { amiss: of_part(&tried, Part::AsOffered), lacks }
    }

    pub(super) fn link_end_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &ClearanceEvent,
    ) -> LinkEndFacts {
        LinkEndFacts { amiss: of_part(&self.tried(sheets, event, body), Part::AsOffered) }
    }
}

/// The holder's test as the book takes it; none: an own test that proves nothing.
fn holder_test<'a>(test: &'a OwnTest, own: Option<&'a ProvenDead>) -> Option<HolderTest<'a>> {
    match test {
        OwnTest::Readings { .. } => own.map(HolderTest::Own),
        OwnTest::Witnessed { proof } => Some(HolderTest::Witnessed(proof)),
    }
}
