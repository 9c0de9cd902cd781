//! What may never be seen in a play, and what is counted over many.

use std::collections::BTreeSet;

use coldlug_core::{
    quantity::AssetId,
    reconcile::identified_under,
    rule_sheet::RuleSheet,
    sighting::{
        Candidate, Cause, Condition, Conditions, Drawn, Excludes, Ground, Limits, Premises,
        RestsOn, SetEffect, draw,
    },
};

use crate::play::Play;

/// A wrong thing in one play.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Wrong {
    /// A set was identified that does not feed the target.
    Set(String),
    /// A sighting whose causes are all true excludes where it was made.
    Premises(String),
    /// A sighting whose causes are all true excludes the set that feeds the target.
    Truth(String),
    /// The same by a load step seen where it was not: neighbours' loads fell as the code did.
    Chance(String),
}

/// The default rule sheet of a utility that bills from records of its own.
pub(crate) fn rules(tolerated_false_causes: u32) -> RuleSheet {
    RuleSheet { tolerated_false_causes, billing_records_apart: true, ..RuleSheet::default() }
}

/// Judges one play.
pub(crate) struct Bench {
    rules: RuleSheet,
    conditions: Conditions,
}

impl Bench {
    /// With the rule as it ships.
    pub(crate) fn whole(rules: RuleSheet) -> Self {
        Self { rules, conditions: Conditions::ALL }
    }

    /// With one condition left out.
    #[allow(dead_code, reason = "for the mutants alone; the theorem judges by the whole rule")]
    pub(crate) fn without(condition: Condition) -> Self {
        Self { rules: rules(1), conditions: Conditions::without(condition) }
    }

    /// The set that is identified in a play, if any, as "pad/position".
    pub(crate) fn identified(&self, play: &Play) -> Option<(bool, String)> {
        let set = identified_under(&play.plant, &self.rules, &play.evidence, self.conditions)?;
        Some((set == play.truth, format!("{}/{}", set.pad, set.position)))
    }

    /// Everything wrong in a play: a wrong set named, or a true sighting that excludes the truth.
    pub(crate) fn wrong(&self, play: &Play) -> Vec<Wrong> {
        let named = self.identified(play).filter(|(right, _)| !right).map(|(_, set)| set);
        let limits = Limits::from(&self.rules);
        let drawn = draw(&play.plant, &limits, &play.evidence, self.conditions);
        named
            .map(Wrong::Set)
            .into_iter()
            .chain(untrue_premises(play, &drawn))
            .chain(untrue_sets(play, &drawn))
            .collect()
    }
}

/// Premises sightings whose causes are all true, but which exclude where they were made.
fn untrue_premises<'a>(play: &'a Play, drawn: &'a Drawn) -> impl Iterator<Item = Wrong> + 'a {
    drawn.premises.iter().filter_map(|effect| {
        if effect.causes.iter().any(|cause| play.false_causes.contains(cause)) {
            return None;
        }
        let place = play.seen_at.get(&effect.sighting).unwrap_or(&play.places[&effect.stay]);
        let place = AssetId::new(place.as_str()).expect("a service");
        let truth = if play.plant.services.contains_key(&place) {
            Premises::Service(place)
        } else {
            Premises::Unmapped
        };
        effect
            .excludes
            .excludes(&truth)
            .then(|| Wrong::Premises(format!("{}: {}", effect.sighting, effect.ground.id())))
    })
}

/// Set sightings whose causes are all true, done at the target, but which exclude its set.
fn untrue_sets<'a>(play: &'a Play, drawn: &'a Drawn) -> impl Iterator<Item = Wrong> + 'a {
    drawn.sets.iter().filter_map(|effect| {
        let truth = Candidate::Set(play.truth.clone());
        let untrue = all_true(play, drawn, effect) && effect.excludes.excludes(&truth);
        let says = format!("{:?}: {}", effect.sightings, effect.ground.id());
        let wrong = match effect.ground {
            Ground::LoadStepSeen => Wrong::Chance(says),
            _ => Wrong::Truth(says),
        };
        untrue.then_some(wrong)
    })
}

fn all_true(play: &Play, drawn: &Drawn, effect: &SetEffect) -> bool {
    let is_true = |causes: &BTreeSet<Cause>| causes.is_disjoint(&play.false_causes);
    let target = Excludes::AllBut(Premises::Service(play.evidence.target.clone()));
    let done_at_target = |rests: &RestsOn| {
        let stay = &rests.stay;
        let reported = rests.reports.is_disjoint(&play.false_causes);
        let witnessed = rests.run.is_some()
            && drawn.premises.iter().any(|seen| {
                seen.in_run == rests.run && seen.excludes == target && is_true(&seen.causes)
            });
        play.places[stay] == play.evidence.target.as_str() && (reported || witnessed)
    };
    effect.rests_on.iter().all(done_at_target) && is_true(&effect.causes)
}
