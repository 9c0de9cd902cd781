//! The same cable marker at the base and at one lug.

use std::collections::BTreeSet;

use super::{
    cause::Cause,
    condition::Condition,
    effect::{Candidate, Excludes, Ground, Idle, RestsOn, SetEffect},
    evidence::Handle,
    seen::{End, Seen, Sighting},
    sets::{Draw, handle_cause, resolve},
    stay,
};
use crate::{plant::plain, quantity::AssetId};

impl Draw<'_> {
    /// A marker at a lug against every marker read at a base.
    pub(super) fn marker(
        &self,
        lug: &Sighting,
        pad: &AssetId,
        handle: &Handle,
        text: &str,
        effects: &mut Vec<SetEffect>,
    ) -> Result<(), Idle> {
        let set = resolve(self.evidence, pad, handle).ok_or(Idle::PlacementUnusable)?;
        let text = plain(text);
        let same_elsewhere = self.evidence.sightings.values().any(|other| match &other.seen {
            Seen::Marker { end: End::Lug { pad, handle }, text: theirs } => {
                plain(theirs) == text
                    && resolve(self.evidence, pad, handle).is_none_or(|other| other != set)
            }
            _ => false,
        });
        if text.is_empty() || same_elsewhere {
            return Err(Idle::MarkersDoNotPair);
        }
        let before = effects.len();
        for base in self.fresh() {
            let Seen::Marker { end: End::Base { stay }, text: theirs } = &base.seen else {
                continue;
            };
            let Some(at) = stay::standing(self.evidence, stay, self.conditions) else { continue };
            let in_stay =
                stay::holds(at, &base.at) || !self.conditions.keep(Condition::StayEndsByLeaving);
            if at.person != base.who || !in_stay || plain(theirs) != text {
                continue;
            }
            let report = self.evidence.report_of(&base.who, stay);
            let causes = [
                self.cause(Condition::MarkerSchemeIsACause, Cause::MarkerScheme),
                self.pad_report(&lug.who),
                Some(Cause::Look { sighting: lug.id.clone() }),
                Some(Cause::Look { sighting: base.id.clone() }),
                self.cause(Condition::ReportIsOneCause, report),
                self.cause(Condition::HandleIsACause, handle_cause(pad, handle)),
            ];
            effects.push(SetEffect {
                sightings: vec![lug.id.clone(), base.id.clone()],
                set: set.clone(),
                excludes: Excludes::AllBut(Candidate::Set(set.clone())),
                causes: causes.into_iter().flatten().collect(),
                rests_on: BTreeSet::from([RestsOn {
                    stay: stay.clone(),
                    reports: self.reports([&base.who], stay),
                    run: None,
                }]),
                ground: Ground::MarkerAtBothEnds,
            });
        }
        if effects.len() == before { Err(Idle::MarkersDoNotPair) } else { Ok(()) }
    }
}
