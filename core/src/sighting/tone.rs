//! A tone put on at the premises, heard at the pad on one set and on no other.
//!
//! For houses where no load can be switched. A tone bleeds into neighbours over the common neutral,
//! so one set heard alone says nothing: every set of the pad is compared, with the tone on and off.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    cause::Cause,
    condition::Condition,
    effect::{Candidate, Excludes, Ground, Idle, RestsOn, SetEffect},
    evidence::{DeedKind, SetAt},
    seen::{Seen, Sighting},
    sets::{Draw, handle_cause, resolve},
    stay,
};

impl Draw<'_> {
    pub(super) fn tone(&self, sighting: &Sighting) -> Result<SetEffect, Idle> {
        let Seen::Tone { deed, pad, levels, .. } = &sighting.seen else {
            return Err(Idle::OrdersTheSearch);
        };
        let deed = self.evidence.deeds.get(deed).filter(|deed| deed.kind == DeedKind::ToneOn);
        let deed = deed.ok_or(Idle::ToneUnclear)?;
        let at =
            stay::standing(self.evidence, &deed.stay, self.conditions).ok_or(Idle::NotInAStay)?;
        if !stay::holds(at, &deed.at) && self.conditions.keep(Condition::StayEndsByLeaving) {
            return Err(Idle::NotInAStay);
        }
        let mut rises = BTreeMap::new();
        let mut handles = BTreeSet::new();
        for level in levels {
            let set = resolve(self.evidence, pad, &level.handle).ok_or(Idle::PlacementUnusable)?;
            let rise = level.on_level.to_f64() - level.off_level.to_f64();
            if rises.insert(set, rise).is_some() {
                return Err(Idle::ToneUnclear);
            }
            handles.extend(self.cause(Condition::HandleIsACause, handle_cause(pad, &level.handle)));
        }
        let marked = self.evidence.marks_on(pad).into_iter().flat_map(|go| &go.sets);
        let all = marked.clone().count() == rises.len()
            && marked.clone().all(|marked| {
                let position = marked.position.clone();
                rises.contains_key(&SetAt { pad: pad.clone(), position })
            });
        if !all && self.conditions.keep(Condition::ToneOnEverySet) {
            return Err(Idle::ToneUnclear);
        }
        let lead = self.limits.tone_lead;
        let loudest = rises.iter().max_by(|one, other| one.1.total_cmp(other.1));
        let (set, loud) = loudest.ok_or(Idle::ToneUnclear)?;
        let stands_out = rises.iter().all(|(other, rise)| other == set || loud - rise >= lead);
        if *loud < lead || !stands_out {
            return Err(Idle::ToneUnclear);
        }
        let causes = [
            self.cause(Condition::ToneIsACause, Cause::Tone { pad: pad.clone() }),
            self.cause(Condition::DeedIsACause, Cause::Deed { deed: deed.id.clone() }),
            self.pad_report(&sighting.who),
        ];
        Ok(SetEffect {
            sightings: vec![sighting.id.clone()],
            set: set.clone(),
            excludes: Excludes::AllBut(Candidate::Set(set.clone())),
            causes: causes.into_iter().flatten().chain(handles).collect(),
            rests_on: BTreeSet::from([RestsOn {
                stay: deed.stay.clone(),
                reports: self.reports([&deed.doer, &at.person], &deed.stay),
                run: None,
            }]),
            ground: Ground::ToneHeard,
        })
    }
}
