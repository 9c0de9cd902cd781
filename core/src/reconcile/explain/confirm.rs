//! What to look at next, to confirm that a claim is false.

use super::{
    claim::FalseClaim,
    facts::{Facts, LookEnd, SetFactKind, Whereabouts},
    near::Near,
};
use crate::{
    quantity::{AssetId, StayId},
    sighting::SetAt,
};

/// A sighting that would confirm an explanation.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Confirm {
    /// Read the tag of a pad.
    ReadTag {
        /// The pad.
        pad: AssetId,
    },
    /// Take a fix at a pad.
    TakeFix {
        /// The pad.
        pad: AssetId,
    },
    /// Count the sets of a pad; again, by the other worker, where it was done.
    CountSets {
        /// The pad.
        pad: AssetId,
    },
    /// Open a pad and try its sets.
    SearchPad {
        /// The pad.
        pad: AssetId,
    },
    /// Look at metal and size at the lugs.
    LookAtLugs {
        /// The set.
        at: SetAt,
    },
    /// Look at metal and size at the base.
    LookAtBase {
        /// The service.
        service: AssetId,
    },
    /// Read the number on a meter.
    ReadNumber {
        /// The service.
        service: AssetId,
    },
    /// Have the number compared with the billing record.
    CompareWithBilling {
        /// The service.
        service: AssetId,
    },
    /// Switch a known load at a service and read a set.
    LoadStep {
        /// The service.
        service: AssetId,
        /// The set.
        at: SetAt,
    },
    /// Switch a known load at the neighbours, one after the other, and read a set.
    StepAtNeighbours {
        /// The set.
        at: SetAt,
    },
    /// Look for a load ahead of every meter, switch it and read a set.
    SwitchUnmetered {
        /// The set.
        at: SetAt,
    },
    /// Ask the desk for its drawings: what can be seen has been seen.
    AskDesk,
}

impl Confirm {
    /// The stable id of this kind; also of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::ReadTag { .. } => "confirm-read-tag",
            Self::TakeFix { .. } => "confirm-take-fix",
            Self::CountSets { .. } => "confirm-count-sets",
            Self::SearchPad { .. } => "confirm-search-pad",
            Self::LookAtLugs { .. } => "confirm-look-at-lugs",
            Self::LookAtBase { .. } => "confirm-look-at-base",
            Self::ReadNumber { .. } => "confirm-read-number",
            Self::CompareWithBilling { .. } => "confirm-compare-with-billing",
            Self::LoadStep { .. } => "confirm-load-step",
            Self::StepAtNeighbours { .. } => "confirm-step-at-neighbours",
            Self::SwitchUnmetered { .. } => "confirm-switch-unmetered",
            Self::AskDesk => "confirm-ask-desk",
        }
    }

    /// Every id.
    pub const IDS: [&'static str; 12] = [
        "confirm-read-tag",
        "confirm-take-fix",
        "confirm-count-sets",
        "confirm-search-pad",
        "confirm-look-at-lugs",
        "confirm-look-at-base",
        "confirm-read-number",
        "confirm-compare-with-billing",
        "confirm-load-step",
        "confirm-step-at-neighbours",
        "confirm-switch-unmetered",
        "confirm-ask-desk",
    ];
}

/// The first sighting nobody has made yet that would confirm the claim.
pub(super) fn confirm(near: &Near<'_>, facts: &Facts<'_>, claim: &FalseClaim) -> Confirm {
    let seek = Seek { near, facts };
    let ways = seek.ways(claim);
    ways.into_iter().find(|way| !seek.done(way)).unwrap_or(Confirm::AskDesk)
}

struct Seek<'a> {
    near: &'a Near<'a>,
    facts: &'a Facts<'a>,
}

impl Seek<'_> {
    /// What would confirm a claim, cheapest first.
    fn ways(&self, claim: &FalseClaim) -> Vec<Confirm> {
        match claim {
            FalseClaim::TagsSwapped { one, other } => {
                vec![read_tag(other), read_tag(one), take_fix(one), take_fix(other)]
            }
            FalseClaim::TagReplaced { pad } => vec![take_fix(pad), count_sets(pad)],
            FalseClaim::PadMistaken { taken, is } => {
                vec![read_tag(taken), take_fix(taken), read_tag(is), count_sets(taken)]
            }
            FalseClaim::PadMoved { pad } => vec![read_tag(pad), count_sets(pad)],
            FalseClaim::SetsSwapped { one, other } => {
                let steps = [(one, other), (other, one)];
                steps.into_iter().filter_map(|(s, at)| self.step_at_mapped(s, at)).collect()
            }
            FalseClaim::LugsSwapped { pad, one, other } => {
                [one, other].map(|position| look_at_lugs(pad, position)).into()
            }
            FalseClaim::WrongPosition { service, at } => {
                vec![count_sets(&at.pad), load_step(service, at)]
            }
            FalseClaim::WrongPad { service, pad, position } => {
                self.wrong_pad(service, pad.as_ref(), position.as_ref())
            }
            FalseClaim::MetersSwapped { one, other } => {
                let numbers = [one, other].map(|s| Confirm::ReadNumber { service: s.clone() });
                numbers.into_iter().chain([billing(one)]).collect()
            }
            FalseClaim::WrongMeterNumber { service } => vec![billing(service)],
            FalseClaim::SetMissing { pad, .. } | FalseClaim::SetExtra { pad, .. } => {
                vec![count_sets(pad)]
            }
            FalseClaim::WrongConductor { set } | FalseClaim::Splice { set } => self.look_at(set),
            FalseClaim::SharedSet { at, service: Some(service) } => {
                let on = self.near.on(at).filter(|other| *other != service);
                on.map(|other| load_step(other, at)).chain([load_step(service, at)]).collect()
            }
            FalseClaim::SharedSet { at, service: None } => {
                vec![Confirm::StepAtNeighbours { at: at.clone() }]
            }
            FalseClaim::UnmeteredLoad { at } => vec![Confirm::SwitchUnmetered { at: at.clone() }],
        }
    }

    fn wrong_pad(
        &self,
        service: &AssetId,
        pad: Option<&AssetId>,
        position: Option<&String>,
    ) -> Vec<Confirm> {
        let search = |pad: &AssetId| Confirm::SearchPad { pad: pad.clone() };
        let own = self.near.ways.get(service).map(|way| count_sets(&way.at.pad));
        match (pad, position) {
            (Some(pad), Some(position)) => {
                let at = SetAt { pad: pad.clone(), position: position.clone() };
                own.into_iter().chain([count_sets(pad), load_step(service, &at)]).collect()
            }
            (Some(pad), None) => vec![search(pad)],
            (None, _) => self.near.pads.keys().map(|pad| search(pad)).collect(),
        }
    }

    fn step_at_mapped(&self, service: &AssetId, of: &AssetId) -> Option<Confirm> {
        self.near.ways.get(of).map(|way| load_step(service, &way.at))
    }

    fn look_at(&self, set: &AssetId) -> Vec<Confirm> {
        let lugs = self.near.lugs.iter().filter(|(_, at)| at.id == *set);
        let bases = self.near.ways.iter().filter(|(_, way)| way.last == *set);
        lugs.map(|(at, _)| Confirm::LookAtLugs { at: at.clone() })
            .chain(bases.map(|(s, _)| Confirm::LookAtBase { service: s.clone() }))
            .collect()
    }

    /// Whether it was seen already. What is worth seeing twice counts as done the second time.
    fn done(&self, way: &Confirm) -> bool {
        let facts = self.facts;
        let at = |stay: &StayId, service: &AssetId| matches!(facts.stays.get(stay), Some(Whereabouts::At(at)) if *at == service);
        match way {
            Confirm::ReadTag { pad } => facts.tags.iter().any(|read| read.at == pad),
            Confirm::TakeFix { pad } => facts.fixes.iter().any(|fix| fix.at == pad),
            Confirm::CountSets { pad } => {
                facts.counts.iter().filter(|count| count.at == pad).count() > 1
            }
            Confirm::SearchPad { pad } => facts.sets.iter().any(|fact| fact.at.pad == *pad),
            Confirm::LookAtLugs { at } => {
                facts.looks.iter().any(|look| matches!(&look.end, LookEnd::Lug(seen) if seen == at))
            }
            Confirm::LookAtBase { service } => facts.looks.iter().any(|look| match look.end {
                LookEnd::Base(stay) => at(stay, service),
                LookEnd::Lug(_) => false,
            }),
            Confirm::ReadNumber { service } => {
                facts.numbers.iter().any(|read| at(read.stay, service))
            }
            Confirm::LoadStep { service, at: set } => facts.sets.iter().any(|fact| {
                let theirs = fact.stays.iter().all(|stay| at(stay, service));
                fact.kind == SetFactKind::For && fact.at == set && theirs
            }),
            Confirm::CompareWithBilling { .. }
            | Confirm::StepAtNeighbours { .. }
            | Confirm::SwitchUnmetered { .. }
            | Confirm::AskDesk => false,
        }
    }
}

fn read_tag(pad: &AssetId) -> Confirm {
    Confirm::ReadTag { pad: pad.clone() }
}

fn take_fix(pad: &AssetId) -> Confirm {
    Confirm::TakeFix { pad: pad.clone() }
}

fn count_sets(pad: &AssetId) -> Confirm {
    Confirm::CountSets { pad: pad.clone() }
}

fn look_at_lugs(pad: &AssetId, position: &str) -> Confirm {
    Confirm::LookAtLugs { at: SetAt { pad: pad.clone(), position: position.to_owned() } }
}

fn billing(service: &AssetId) -> Confirm {
    Confirm::CompareWithBilling { service: service.clone() }
}

fn load_step(service: &AssetId, at: &SetAt) -> Confirm {
    Confirm::LoadStep { service: service.clone(), at: at.clone() }
}
