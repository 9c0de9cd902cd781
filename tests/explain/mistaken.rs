//! A made-up field, a record of it with one mistake, and a crew that looks round in it.

use std::collections::BTreeSet;

use coldlug_core::{
    mapsheet,
    plant::{Conductor, Plant},
    reconcile::FalseClaim,
    sighting::{Evidence, SetAt},
};
use coldlug_field::{
    mistake::{Mistake, MistakeKind},
    neighbourhood::{metered, neighbourhood},
    record::Record,
    seed::{Draw, stream},
    world::{End, World},
};

use super::crew::Crew;

/// A job whose record has one mistake.
pub(crate) struct Mistaken {
    pub(crate) plant: Plant,
    pub(crate) evidence: Evidence,
    /// The claims that say what the mistake was; any one of them is right.
    pub(crate) truths: Vec<FalseClaim>,
    /// The crew went by tags, not by places.
    pub(crate) by_tag: bool,
}

/// How far the crew looks round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Round {
    /// The pads that target and record have to do with, and the target's premises.
    Target,
    /// The premises of the pad's other customers too.
    Neighbours,
    /// As for the target, with every other sighting not made.
    Half,
}

/// Draws one; none where the field has no place for such a mistake, or its record has others
/// without it: stubs, say, that no map shows.
pub(crate) fn mistaken(seed: u64, kind: MistakeKind, round: Round) -> Option<Mistaken> {
    let world = neighbourhood(seed);
    let mut draw = stream(seed, "explained");
    let own: Vec<&str> = metered(&world)
        .into_iter()
        .filter(|service| alone(&world, service) && !world.services[*service].vacant())
        .collect();
    let target = (*draw.pick(&own)?).to_owned();
    let right = Record::true_of(&world);
    let mut record = right.clone();
    let mistake = kind.draw(&record, &target, &mut draw)?;
    record.apply(&mistake).ok()?;
    let by_tag = kind == MistakeKind::SwappedTags && draw.chance(0.5);
    let truths = truths(&world, &right, &mistake)?;
    let visit = Visit { world: &world, target: &target, round, by_tag };
    let judged = |record: &Record| {
        let plant = plant(&world, record)?;
        let evidence = visit.evidence(record, &mistake, stream(seed, "crew"));
        Some((plant, evidence))
    };
    // Nothing else is wrong: with the right record nothing needs explaining.
    let (plant, evidence) = judged(&right)?;
    let rules = coldlug_core::rule_sheet::RuleSheet::default();
    let explained = coldlug_core::reconcile::judge(&plant, &rules, &evidence).explanations;
    if !explained.findings.is_empty() {
        return None;
    }
    let (plant, mut evidence) = judged(&record)?;
    if round == Round::Half {
        evidence.sightings.retain(|_, _| draw.chance(0.5));
    }
    Some(Mistaken { plant, evidence, truths, by_tag })
}

fn plant(world: &World, record: &Record) -> Option<Plant> {
    let sheet = serde_json::to_vec(&record.map_sheet(world)).ok()?;
    Some(mapsheet::read(&sheet).ok()?.plant)
}

fn alone(world: &World, service: &str) -> bool {
    world.feeding_set(service).is_ok_and(|set| {
        world.services_on(set).is_ok_and(|on| on.len() == 1)
            && world.sets[set].to == End::Service(service.to_owned())
    })
}

/// Where a service really hangs.
fn lug(world: &World, service: &str) -> Option<SetAt> {
    let set = world.feeding_set(service).ok()?;
    let pad = world.pad_of(service).ok()?;
    let at = world.pads.get(pad)?.sets.iter().position(|id| id == set)?;
    Some(SetAt { pad: pad.try_into().ok()?, position: (at + 1).to_string() })
}

/// What the mistake is in the words of an explanation; none: nothing shows it.
fn truths(world: &World, right: &Record, mistake: &Mistake) -> Option<Vec<FalseClaim>> {
    let id = |text: &str| text.try_into().unwrap();
    let ordered = |a: &str, b: &str| if a <= b { (id(a), id(b)) } else { (id(b), id(a)) };
    Some(match mistake {
        Mistake::WrongPad { service, .. } => {
            let at = lug(world, service)?;
            let (pad, position) = (Some(at.pad), Some(at.position));
            let claim =
                |pad, position| FalseClaim::WrongPad { service: id(service), pad, position };
            // As far as it was seen.
            vec![claim(pad.clone(), position), claim(pad, None), claim(None, None)]
        }
        Mistake::SwappedTags { a, b } => {
            let (one, other) = ordered(a, b);
            vec![FalseClaim::TagsSwapped { one, other }]
        }
        Mistake::MissingService { service } => {
            // Behind a pedestal nobody at the pad sees that it is missing.
            if !alone(world, service) {
                return None;
            }
            vec![FalseClaim::SetMissing { pad: lug(world, service)?.pad, sets: 1 }]
        }
        Mistake::ExtraService { pad, .. } => vec![FalseClaim::SetExtra { pad: id(pad), sets: 1 }],
        Mistake::WrongMetal { set } | Mistake::WrongSize { set, .. } => {
            vec![FalseClaim::WrongConductor { set: id(set) }]
        }
        Mistake::WrongMeterNumber { service, .. } => {
            vec![FalseClaim::WrongMeterNumber { service: id(service) }]
        }
        Mistake::SwappedMeters { a, b } => {
            let (one, other) = ordered(a, b);
            vec![FalseClaim::MetersSwapped { one, other }]
        }
        Mistake::PadMoved { pad, .. } => vec![FalseClaim::PadMoved { pad: id(pad) }],
        Mistake::SwappedSets { a, b } => {
            if right.feeding_set(a).ok()? == right.feeding_set(b).ok()? {
                return None;
            }
            let (one, other) = ordered(a, b);
            vec![FalseClaim::SetsSwapped { one, other }]
        }
        // What a hidden splice draws beside the trunk is several mistakes at once, and seldom the
        // target's; the billing record is no claim of the map.
        Mistake::HiddenSplice { .. }
        | Mistake::WrongBilling { .. }
        | Mistake::SwappedBilling { .. } => return None,
    })
}

struct Visit<'a> {
    world: &'a World,
    target: &'a str,
    round: Round,
    by_tag: bool,
}

impl Visit<'_> {
    fn evidence(&self, record: &Record, mistake: &Mistake, draw: Draw) -> Evidence {
        let mut crew = Crew::new(self.world, self.target, draw);
        let home = self.world.pad_of(self.target).unwrap();
        let mut pads: BTreeSet<&str> = BTreeSet::from([home]);
        pads.extend(record.pad_of(self.target).ok());
        match mistake {
            Mistake::SwappedTags { b, .. } => pads.extend([b.as_str()]),
            Mistake::WrongPad { pad, .. } => pads.extend([pad.as_str()]),
            _ => {}
        }
        for &pad in &pads {
            crew.look_at_pad(pad, self.called(record, pad));
        }
        self.stay(&mut crew, record, self.target, &pads);
        if self.round == Round::Neighbours {
            let on: Vec<&str> = metered(self.world)
                .into_iter()
                .filter(|id| *id != self.target && record.services.contains_key(*id))
                .filter(|id| self.world.pad_of(id).is_ok_and(|pad| pad == home))
                .collect();
            for service in on {
                self.stay(&mut crew, record, service, &pads);
            }
        }
        crew.evidence
    }

    /// What the crew calls a pad: by its place, or as the record has its tag.
    fn called<'b>(&self, record: &'b Record, pad: &'b str) -> &'b str {
        let tags = &self.world.pads[pad].tags;
        let tagged = record.pads.iter().find(|(_, claim)| claim.tags == *tags);
        tagged.filter(|_| self.by_tag).map_or(pad, |(id, _)| id.as_str())
    }

    /// A stay with the set that follows the load, and the record's set flat on both legs where that is
    /// another one and is there.
    fn stay(&self, crew: &mut Crew<'_>, record: &Record, service: &str, pads: &BTreeSet<&str>) {
        let stay = crew.stay_at(service);
        let Some(true_set) = lug(self.world, service) else { return };
        let call = |set: &SetAt| SetAt {
            pad: self.called(record, set.pad.as_str()).try_into().unwrap(),
            position: set.position.clone(),
        };
        if pads.contains(true_set.pad.as_str()) {
            crew.step(&stay, &call(&true_set), Conductor::L1, true);
        }
        let Ok(set) = record.feeding_set(service) else { return };
        let Some(coldlug_field::world::Start::Pad { pad, position }) =
            record.sets.get(set).map(|claim| &claim.from)
        else {
            return;
        };
        let mapped =
            SetAt { pad: pad.as_str().try_into().unwrap(), position: position.to_string() };
        let there = self.world.pads[pad].sets.len() >= usize::from(*position);
        if mapped != true_set && there && pads.contains(pad.as_str()) {
            crew.step(&stay, &call(&mapped), Conductor::L1, false);
            crew.step(&stay, &call(&mapped), Conductor::L2, false);
        }
    }
}
