//! Why each candidate is out or in: everything drawn, with who saw it and what alone could make it
//! false. Nothing is decided here; the rule has decided.

use std::collections::BTreeSet;

use super::{case::AboutSets, judge::Found, verdict::PremisesVerdict};
use crate::{
    quantity::{AssetId, Instant, PersonId, SightingId, StayId},
    sighting::{Cause, Drawn, Evidence, Excludes, Ground, Premises, SetAt},
};

/// Who saw something, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenBy {
    /// The sighting.
    pub sighting: SightingId,
    /// Who reported it.
    pub who: PersonId,
    /// When.
    pub at: Instant,
}

/// What speaks for or against a stay having been somewhere.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PremisesReason {
    /// The stay.
    pub stay: StayId,
    /// By which rule of evidence.
    pub ground: Ground,
    /// The service that it names, or that it speaks against.
    pub service: AssetId,
    /// Whether it names the service.
    pub names_it: bool,
    /// Who saw it.
    pub seen: SeenBy,
    /// Each single cause that could make it false.
    pub false_if: Vec<Cause>,
}

/// What speaks for or against a cable set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetReason {
    /// The set that was in hand.
    pub set: SetAt,
    /// By which rule of evidence.
    pub ground: Ground,
    /// Whether it speaks for the set and so against every other; else against this set alone.
    pub speaks_for: bool,
    /// Whether it counts: every stay that it rests on is settled to be at the target.
    pub counts: bool,
    /// Those of its stays that are not.
    pub waits_for: BTreeSet<StayId>,
    /// Who saw it, one or two sightings.
    pub seen: Vec<SeenBy>,
    /// Each single cause with which it says nothing.
    pub false_if: Vec<Cause>,
}

/// A set that something speaks for and the rule does not name yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    /// The set.
    pub set: SetAt,
    /// With these false together, something else is still possible. Empty: sightings speak against
    /// each other and no single cause explains it.
    pub hole: Vec<Cause>,
}

/// Every reason of a judgement.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reasons {
    /// On the first question, in the order of their sightings.
    pub premises: Vec<PremisesReason>,
    /// On the second question, those that count first.
    pub sets: Vec<SetReason>,
    /// What could still name another set.
    pub doubts: Vec<Doubt>,
}

/// The reasons behind what the rule said.
pub(super) fn reasons(
    evidence: &Evidence,
    drawn: &Drawn,
    found: &Found,
    about: &AboutSets<'_>,
) -> Reasons {
    let at_target = |stay: &StayId| match found.premises.get(stay) {
        Some(PremisesVerdict::Identified { service }) => *service == evidence.target,
        Some(PremisesVerdict::Unsettled { .. }) | None => false,
    };
    let seen = |id: &SightingId| {
        let sighting = evidence.sightings.get(id)?;
        let (who, at) = (sighting.who.clone(), sighting.at.clone());
        Some(SeenBy { sighting: id.clone(), who, at })
    };
    let premises = drawn.premises.iter().filter_map(|effect| {
        let (service, names_it) = match &effect.excludes {
            Excludes::AllBut(Premises::Service(service)) => (service.clone(), true),
            Excludes::AllBut(Premises::Unmapped) | Excludes::These(_) => {
                (evidence.target.clone(), false)
            }
        };
        Some(PremisesReason {
            stay: effect.stay.clone(),
            ground: effect.ground,
            service,
            names_it,
            seen: seen(&effect.sighting)?,
            false_if: effect.causes.iter().cloned().collect(),
        })
    });
    let set_reason = |place: usize, lost: Option<Vec<Cause>>| {
        let effect = drawn.sets.get(place)?;
        let rests = effect.rests_on.iter().filter(|_| lost.is_none()).map(|rests| &rests.stay);
        let waits_for = rests.filter(|stay| !at_target(stay)).cloned().collect();
        Some(SetReason {
            set: effect.set.clone(),
            ground: effect.ground,
            speaks_for: matches!(effect.excludes, Excludes::AllBut(_)),
            counts: lost.is_some(),
            waits_for,
            seen: effect.sightings.iter().filter_map(seen).collect(),
            false_if: lost.unwrap_or_else(|| effect.causes.iter().cloned().collect()),
        })
    };
    let counting = about.lost_by().filter_map(|(place, lost)| set_reason(place, Some(lost)));
    let asked: BTreeSet<usize> = about.places().iter().copied().collect();
    let waiting = (0..drawn.sets.len())
        .filter(|place| !asked.contains(place))
        .filter_map(|place| set_reason(place, None));
    let (premises, sets) = (premises.collect(), counting.chain(waiting).collect());
    Reasons { premises, sets, doubts: found.doubts.clone() }
}
