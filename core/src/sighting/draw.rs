//! From sightings to effects: what each of them excludes, or why it excludes nothing.

use std::collections::BTreeMap;

use super::{
    condition::Conditions,
    effect::{Idle, PremisesEffect, SetEffect},
    evidence::Evidence,
    limits::Limits,
    premises,
    seen::{End, Seen},
    sets,
};
use crate::{plant::Plant, quantity::SightingId};

/// What all sightings of a job do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawn {
    /// Effects on the first question, within their stays.
    pub premises: Vec<PremisesEffect>,
    /// Effects on the second question.
    pub sets: Vec<SetEffect>,
    /// Sightings that exclude nothing, with the reason.
    pub idle: BTreeMap<SightingId, Idle>,
}

/// Draws every effect there is in the evidence.
pub fn draw(plant: &Plant, limits: &Limits, evidence: &Evidence, conditions: Conditions) -> Drawn {
    // In the order of their names, so that the map is made in one go.
    let mut idle = Vec::new();
    let mut of_premises = Vec::new();
    for sighting in evidence.sightings.values() {
        if evidence.is_old(sighting, limits.fresh_s) {
            idle.push((sighting.id.clone(), Idle::Stale));
            continue;
        }
        match premises::effect(plant, limits, evidence, sighting, conditions) {
            Some(Ok(effect)) => of_premises.push(effect),
            Some(Err(reason)) => {
                idle.push((sighting.id.clone(), reason));
            }
            None if only_orders(&sighting.seen) => {
                idle.push((sighting.id.clone(), Idle::OrdersTheSearch));
            }
            None => {}
        }
    }
    let mut idle: BTreeMap<SightingId, Idle> = idle.into_iter().collect();
    let sets = sets::effects(plant, limits, evidence, conditions, &mut idle);
    Drawn { premises: of_premises, sets, idle }
}

fn only_orders(seen: &Seen) -> bool {
    matches!(
        seen,
        Seen::Tag { .. }
            | Seen::Fix { .. }
            | Seen::SetCount { .. }
            | Seen::SourcesOff { .. }
            | Seen::BareStep { .. }
            | Seen::Lacking { .. }
            | Seen::Marker { end: End::Base { .. }, .. }
            | Seen::Conductor { end: End::Base { .. }, .. }
    )
}
