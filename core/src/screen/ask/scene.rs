//! What an act finds on the job: the stay it is done in, the set in hand, instruments, people.

use std::collections::BTreeSet;

use super::form::{Form, Pick, named};
use crate::{
    event::Body,
    gate::Role,
    plant::{Conductor, Device, Switch},
    quantity::{AssetId, InstrumentId, PersonId, RunId, StayId},
    reading::InstrumentClass,
    reconcile::{By, Test, seen_sets},
    sighting::{Evidence, Handle, Run, SetAt, Stay},
    words::Sentence,
};

/// Most places to choose from: a list that a gloved hand still gets through.
const MOST_PICKS: usize = 40;

/// Instruments that read volts.
pub(super) const VOLTMETERS: &[InstrumentClass] = &[
    InstrumentClass::TwoPoleTester,
    InstrumentClass::LowImpedanceVoltmeter,
    InstrumentClass::DigitalMultimeter,
];

impl<'a> Form<'a> {
    pub(super) fn evidence(&mut self) -> Option<&'a Evidence> {
        let state = self.state;
        state.evidence.as_ref().or_else(|| self.lacking("unfit-job-not-open"))
    }

    /// The service to be made dead.
    pub(super) fn target(&mut self) -> Option<&'a AssetId> {
        let state = self.state;
        state.target().or_else(|| self.lacking("unfit-job-not-open"))
    }

    /// The hot legs of the target.
    pub(super) fn legs(&self) -> &'static [Conductor] {
        self.state.system(self.sheets).map_or(&[], |system| system.legs())
    }

    /// The writer's open stay.
    pub(super) fn own_stay(&mut self) -> Option<StayId> {
        let stay = self
            .evidence()?
            .stays
            .values()
            .rev()
            .find(|stay| stay.person == *self.who && stay.is_open());
        stay.map(|stay| stay.id.clone()).or_else(|| self.lacking("unfit-no-stay"))
    }

    /// The one open stay of a lineworker.
    pub(super) fn crews_stay(&mut self) -> Option<StayId> {
        let state = self.state;
        let stays =
            self.evidence()?.stays.values().filter(|stay| {
                stay.is_open() && state.role_of(&stay.person) == Some(Role::Lineworker)
            });
        let stays: Vec<&Stay> = stays.collect();
        match stays.as_slice() {
            [only] => Some(only.id.clone()),
            [] => self.lacking("unfit-nobody-there"),
            _ => self.lacking("unfit-several-there"),
        }
    }

    /// The run that is open in a stay.
    pub(super) fn open_run_in(&self, stay: &StayId) -> Option<RunId> {
        let evidence = self.state.evidence.as_ref()?;
        let run = evidence.runs.values().find(|run| run.stay == *stay && run.ended.is_none());
        run.map(|run| run.id.clone())
    }

    /// The run that somebody else has open.
    pub(super) fn others_run(&mut self) -> Option<&'a Run> {
        let who = self.who;
        let runs = self.evidence()?.runs.values();
        let run = runs.rev().find(|run| run.doer != *who && run.ended.is_none());
        run.or_else(|| self.lacking("unfit-no-run"))
    }

    /// Services near the target, by what their premises are called; none of them last.
    pub(super) fn premises(&mut self) -> Vec<Pick<Option<AssetId>>> {
        let mut near: BTreeSet<AssetId> = BTreeSet::new();
        let plant = self.sheets.plant;
        for pad in self.near_pads() {
            near.extend(plant.services_of_pad(pad));
        }
        // Where there are more than fit, the target is among them, at its place by name.
        let target = self.state.target();
        near.extend(target.cloned());
        while near.len() > MOST_PICKS {
            let Some(last) = near.iter().rev().find(|id| Some(*id) != target).cloned() else {
                break;
            };
            near.remove(&last);
        }
        let mut picks: Vec<Pick<Option<AssetId>>> = near
            .into_iter()
            .filter_map(|id| plant.services.get(&id))
            .map(|service| {
                let places = [("premises", service.premises.as_str()), ("id", service.id.as_str())];
                let label = self.words.say("choice-premises", &places);
                Pick { value: service.id.to_string(), label, means: Some(service.id.clone()) }
            })
            .collect();
        let label = self.words.plain("choice-none-of-these");
        picks.push(Pick { value: "none".into(), label, means: None });
        picks
    }

    /// The claimed pad, pads whose sets were marked, and the pads one cable away from those.
    pub(super) fn near_pads(&self) -> &'a [AssetId] {
        self.once.near_pads.get_or_init(|| self.find_near_pads())
    }

    /// Switches in those pads, then those in no pad. Lug pairs are no switches: their legs are
    /// lifted.
    pub(super) fn near_switches(&self) -> &'a [AssetId] {
        self.once.near_switches.get_or_init(|| {
            let pads: BTreeSet<&AssetId> = self.near_pads().iter().collect();
            let all = self.sheets.plant.switches.values();
            let mut near: Vec<&Switch> = all
                .filter(|switch| switch.device != Device::LugPair)
                .filter(|switch| switch.pad.as_ref().is_none_or(|pad| pads.contains(pad)))
                .collect();
            // Those in the pads first: others may be anywhere on the sheet.
            near.sort_by_key(|switch| (switch.pad.is_none(), &switch.id));
            near.into_iter().map(|switch| switch.id.clone()).collect()
        })
    }

    fn find_near_pads(&self) -> Vec<AssetId> {
        let plant = self.sheets.plant;
        let claimed = self.state.target().map(|target| plant.feeds_of(target)).unwrap_or_default();
        let mut pads: Vec<AssetId> = claimed.into_iter().filter_map(|feed| feed.pad).collect();
        let marked = self.state.evidence.iter().flat_map(|evidence| evidence.marks.values());
        pads.extend(marked.map(|go| go.pad.clone()));
        let next: Vec<AssetId> = pads.iter().flat_map(|pad| plant.next_pads(pad)).collect();
        pads.extend(next);
        let mut seen = BTreeSet::new();
        pads.retain(|pad| plant.pads.contains_key(pad) && seen.insert(pad.clone()));
        pads.truncate(MOST_PICKS);
        pads
    }

    /// Pads to choose from.
    pub(super) fn pads(&self) -> Vec<Pick<AssetId>> {
        self.near_pads().iter().cloned().map(named).collect()
    }

    /// The set that something is lifted of, or that is identified.
    pub(super) fn set_in_hand(&mut self) -> Option<SetAt> {
        self.state.set_in_hand().cloned().or_else(|| self.lacking("unfit-no-set"))
    }

    /// Every way to find a marked set, of `of` alone where it is given: by its newest mark, and by
    /// counting lug positions. The set in hand comes first.
    pub(super) fn handles(&mut self, of: Option<&SetAt>) -> Vec<Pick<(AssetId, Handle)>> {
        let Some(evidence) = self.evidence() else { return Vec::new() };
        let in_hand = self.state.set_in_hand().cloned();
        let mut sets: Vec<SetAt> = seen_sets(evidence).into_iter().collect();
        sets.retain(|set| of.is_none_or(|of| of == set));
        sets.sort_by_key(|set| (Some(set) != in_hand.as_ref(), set.clone()));
        let advised = self.advised_step();
        let mut picks = Vec::new();
        for set in sets {
            let SetAt { pad, position } = &set;
            if let Some((marks, mark)) = evidence.mark_of(&set) {
                let value = format!("mark:{pad}:{mark}");
                let places = [("pad", pad.as_str()), ("mark", mark)];
                let label = self.words.say("choice-by-mark", &places);
                let handle = Handle::Mark { marks: marks.clone(), mark: mark.to_owned() };
                picks.push(Pick { value, label, means: (pad.clone(), handle) });
            }
            let value = format!("position:{pad}:{position}");
            let places = [("pad", pad.as_str()), ("position", position.as_str())];
            let label = self.words.say("choice-by-position", &places);
            let handle = Handle::Position { position: position.clone() };
            picks.push(Pick { value, label, means: (pad.clone(), handle) });
        }
        // What the settling test asks for stands first.
        picks.sort_by_key(|pick| Some(&pick.value) != advised.as_ref());
        picks
    }

    /// The value of the handle that the next load step is read by.
    fn advised_step(&mut self) -> Option<String> {
        // Only where it was drawn for the screen: what is read does not hang on the order.
        let step = self.once.judged?.settling.iter().find_map(|test| match &test.test {
            Test::LoadStep { set, by, .. } => Some((set.clone(), *by)),
            _ => None,
        });
        let (set, by) = step?;
        let evidence = self.evidence()?;
        Some(match by {
            By::Mark => format!("mark:{}:{}", set.pad, evidence.mark_of(&set)?.1),
            By::Position => format!("position:{}:{}", set.pad, set.position),
        })
    }

    /// Marked sets to choose from, the set in hand first.
    pub(super) fn sets(&mut self) -> Vec<Pick<SetAt>> {
        let Some(evidence) = self.evidence() else { return Vec::new() };
        let in_hand = self.state.set_in_hand();
        let mut sets: Vec<SetAt> = seen_sets(evidence).into_iter().collect();
        sets.sort_by_key(|set| (Some(set) != in_hand, set.clone()));
        let pick = |set: SetAt| {
            let text = crate::form::name(&set);
            let label = Sentence { id: "name".into(), text: text.clone(), spoken: text };
            Pick { value: format!("{}:{}", set.pad, set.position), label, means: set }
        };
        sets.into_iter().map(pick).collect()
    }

    /// Instruments of these classes: those this person entered, or everybody's where there is none.
    pub(super) fn instruments(&mut self, classes: &[InstrumentClass]) -> Vec<Pick<InstrumentId>> {
        let Some(evidence) = self.evidence() else { return Vec::new() };
        let fits = |id: &InstrumentId| {
            evidence.instruments.get(id).is_some_and(|known| classes.contains(&known.class))
        };
        let applied = self.state.applied.iter().filter(|applied| !applied.superseded);
        let own: BTreeSet<InstrumentId> = applied
            .filter(|applied| applied.event.person == *self.who)
            .filter_map(|applied| match &applied.event.body {
                Body::Instrument(entered) => Some(entered.instrument.id.clone()),
                _ => None,
            })
            .filter(|id| fits(id))
            .collect();
        let all = evidence.instruments.keys().filter(|id| fits(id)).cloned();
        if own.is_empty() { all.map(named).collect() } else { own.into_iter().map(named).collect() }
    }

    /// The instrument to read with, asked for only where there are several.
    pub(super) fn instrument(
        &mut self,
        id: &str,
        classes: &[InstrumentClass],
    ) -> Option<InstrumentId> {
        let picks = self.instruments(classes);
        self.one_of_several(id, picks, "unfit-no-instrument")
    }

    /// People of the crew in these roles, the writer left out.
    pub(super) fn others(&self, roles: &[Role]) -> Vec<Pick<PersonId>> {
        let crew = self.state.header.iter().flat_map(|header| &header.crew);
        let mut seen = BTreeSet::new();
        crew.filter(|member| member.person != *self.who && roles.contains(&member.role))
            .filter(|member| seen.insert(member.person.clone()))
            .map(|member| named(member.person.clone()))
            .collect()
    }

    /// The hot legs to choose from.
    pub(super) fn leg_picks(&self) -> Vec<Pick<Conductor>> {
        self.legs().iter().copied().map(named).collect()
    }

    /// A choice whose label stands in the words.
    pub(super) fn pick<T>(&self, value: &str, label_id: &str, means: T) -> Pick<T> {
        Pick { value: value.to_owned(), label: self.words.plain(label_id), means }
    }
}
