//! What the pads have shown so far: which were searched, and where a bare step answered.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    plant::{Conductor, Plant},
    quantity::{AssetId, MarksId, SightingId, StayId},
    sighting::{
        Bare, BeforeAfter, Candidate, Drawn, Evidence, Excludes, Ground, Handle, Idle, Limits,
        Seen, SetAt, read_bare, resolve,
    },
};

/// Where a load at an outlet shows, or does not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct On {
    pub(super) leg: Conductor,
    pub(super) outlet: String,
}

/// What is known of one set from steps, coded or bare.
#[derive(Debug, Default)]
pub(super) struct Known {
    /// Where a coded step was seen on it.
    pub(super) seen: Option<On>,
    /// Where a coded step of this stay was flat, and when; the other leg is still to be read.
    pub(super) flat: Option<(i64, On)>,
    /// Where a bare step answered.
    pub(super) answered: Option<On>,
    /// By which goes of marks a bare step answered on it.
    pub(super) answered_by: BTreeSet<MarksId>,
    /// Legs on which bare steps were flat, by outlet.
    pub(super) silent: BTreeSet<(String, Conductor)>,
    /// How often a coded step was neither seen nor flat.
    pub(super) unclear: usize,
    /// Sightings that keep this set alone.
    pub(super) positive: i32,
    /// Pairs of flat readings against it.
    pub(super) negative: i32,
}

impl Known {
    /// How much more speaks for it than against it. What was read flat twice over weighs more than
    /// one step seen, since a mark may be wrong; a load that answers on it again once the marks are
    /// put on anew weighs as much, since then it was the positions.
    pub(super) fn weight(&self) -> i32 {
        let again = i32::from(self.answered_by.len() > 1);
        self.positive - 2 * self.negative.min(2) + 2 * again
    }

    /// Bare steps were flat on both legs from one outlet, and nothing speaks for it.
    pub(super) fn is_silent(&self) -> bool {
        let both = self.silent.iter().any(|(outlet, leg)| {
            self.silent.iter().any(|(other, theirs)| other == outlet && theirs != leg)
        });
        both && self.answered.is_none() && self.positive == 0
    }
}

/// All sets, as far as steps have told.
pub(super) fn known(
    evidence: &Evidence,
    stay: &StayId,
    drawn: &Drawn,
    limits: &Limits,
) -> BTreeMap<SetAt, Known> {
    let mut all: BTreeMap<SetAt, Known> = BTreeMap::new();
    for effect in &drawn.sets {
        if effect.excludes == Excludes::AllBut(Candidate::Set(effect.set.clone())) {
            let known = all.entry(effect.set.clone()).or_default();
            known.positive += 1;
            if effect.ground == Ground::LoadStepSeen {
                known.seen =
                    effect.sightings.first().and_then(|id| on(evidence, id)).map(|on| on.1);
            }
        }
    }
    for effect in drawn.sets.iter().filter(|effect| effect.ground == Ground::LoadStepFlat) {
        all.entry(effect.set.clone()).or_default().negative += 1;
    }
    for (id, idle) in &drawn.idle {
        if !matches!(idle, Idle::FlatOnOneLeg | Idle::StepUnclear) {
            continue;
        }
        let Some((set, on)) = on(evidence, id) else { continue };
        let known = all.entry(set).or_default();
        if *idle == Idle::StepUnclear {
            known.unclear += 1;
        } else if let Some(at) = flat_at(evidence, id, stay)
            && known.flat.as_ref().is_none_or(|(before, _)| *before <= at)
        {
            known.flat = Some((at, on));
        }
    }
    for sighting in evidence.sightings.values() {
        let Seen::BareStep { outlet, load_amps, placement, off_amps, on_amps, .. } = &sighting.seen
        else {
            continue;
        };
        if drawn.idle.get(&sighting.id) == Some(&Idle::Stale) {
            continue;
        }
        let Some(placement) = evidence.placements.get(placement) else { continue };
        let clamp = evidence.instruments.get(&placement.instrument);
        let set = resolve(evidence, &placement.pad, &placement.handle);
        let (Some(set), Some(leg), Some(clamp)) = (set, placement.leg, clamp) else { continue };
        let amps = BeforeAfter { before_amps: *off_amps, after_amps: *on_amps };
        let known = all.entry(set).or_default();
        match read_bare(*load_amps, &amps, clamp, limits) {
            Bare::Like => {
                known.answered = Some(On { leg, outlet: outlet.clone() });
                if let Handle::Mark { marks, .. } = &placement.handle {
                    known.answered_by.insert(marks.clone());
                }
            }
            Bare::Flat => {
                known.silent.insert((outlet.clone(), leg));
            }
            Bare::Neither => {}
        }
    }
    all
}

/// Set, leg and outlet of a coded step.
fn on(evidence: &Evidence, id: &SightingId) -> Option<(SetAt, On)> {
    let Seen::LoadStep { run, placement, .. } = &evidence.sightings.get(id)?.seen else {
        return None;
    };
    let placement = evidence.placements.get(placement)?;
    let set = resolve(evidence, &placement.pad, &placement.handle)?;
    let outlet = evidence.runs.get(run)?.outlet.clone();
    Some((set, On { leg: placement.leg?, outlet }))
}

/// When a coded step was read, if its load was switched in this stay: only such readings pair.
fn flat_at(evidence: &Evidence, id: &SightingId, stay: &StayId) -> Option<i64> {
    let sighting = evidence.sightings.get(id)?;
    let Seen::LoadStep { run, .. } = &sighting.seen else { return None };
    (evidence.runs.get(run)?.stay == *stay).then_some(sighting.at.wall_ms)
}

/// Pads whose sets nobody has marked yet: the claimed one first, then the next along the cable.
pub(super) fn unsearched(
    plant: &Plant,
    evidence: &Evidence,
    claimed: Option<&SetAt>,
) -> Vec<AssetId> {
    let marked = |pad: &AssetId| evidence.marks_on(pad).is_some();
    let Some(claimed) = claimed else { return Vec::new() };
    let mut ring = vec![claimed.pad.clone()];
    let mut known = ring.clone();
    while !ring.is_empty() {
        let fresh: Vec<AssetId> = ring.iter().filter(|pad| !marked(pad)).cloned().collect();
        if !fresh.is_empty() {
            return fresh;
        }
        let mut next: Vec<AssetId> = ring
            .iter()
            .flat_map(|pad| plant.next_pads(pad))
            .filter(|pad| !known.contains(pad))
            .collect();
        next.sort();
        next.dedup();
        known.extend(next.iter().cloned());
        ring = next;
    }
    Vec::new()
}

/// How many outlets the bare steps of a pad were switched from.
pub(super) fn outlets(known: &BTreeMap<SetAt, Known>, pad: &AssetId) -> usize {
    let of_pad = known.iter().filter(|(set, _)| set.pad == *pad);
    let outlets: BTreeSet<&str> = of_pad
        .flat_map(|(_, known)| known.silent.iter().map(|(outlet, _)| outlet.as_str()))
        .collect();
    outlets.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_that_answers_by_new_marks_too_outweighs_two_flats_by_position() {
        let mut known = Known { positive: 1, negative: 1, ..Known::default() };
        assert!(known.weight() < 0);
        for go in ["first", "anew"] {
            known.answered_by.insert(go.try_into().unwrap());
        }
        assert!(known.weight() > 0);
    }
}
