//! Facts of what is opened: legs and switches.

use super::{facts::names, sheets::Sheets, state::State};
use crate::{
    event::{Bolt, Event, Front, ProofOf},
    gate::{LiftFacts, OpenSwitchFacts, ShortFacts},
    isolate::VENTINGS_BEFORE_DRAWN,
    plant::{Conductor, Device, Normally, SwitchState},
    proof::Zone,
    quantity::{AssetId, Decimal, in_volts},
    reading::{JudgedAmps, Loading, is_fresh},
    sighting::{Handle, SetAt, resolve},
};

/// What is lifted, as the entry has it.
#[derive(Clone, Copy)]
pub(super) struct Lug<'a> {
    pub(super) pad: &'a AssetId,
    pub(super) handle: &'a Handle,
    pub(super) leg: Conductor,
    pub(super) runs: u8,
    pub(super) loosened_amps: &'a Decimal,
}

impl State {
    pub(super) fn lift_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        Lug { pad, handle, leg, runs, loosened_amps }: Lug<'_>,
    ) -> LiftFacts {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        let evidence = self.evidence.as_ref();
        let set = evidence.and_then(|evidence| resolve(evidence, pad, handle));
        let answers = set.as_ref().and_then(|set| self.answers.get(set));
        let lifted = set.as_ref().map(|set| self.physical.lifted_of(set)).unwrap_or_default();
        let on_lugs: Vec<Conductor> =
            legs.iter().copied().filter(|leg| !lifted.contains(leg)).collect();
        let amps = |leg: &Conductor| set.as_ref().and_then(|set| self.last_amps(set, *leg));
        let now = event.when();
        let part = on_lugs
            .iter()
            .filter(|leg| set.as_ref().is_some_and(|set| self.part_in_jaws(set, **leg)));
        let (mut stale, mut loaded) = (Vec::new(), Vec::new());
        for leg in &on_lugs {
            match amps(leg) {
                Some(read) if is_fresh(&now, read.at, sheets.rules.amps_fresh(), sheets.rules) => {}
                _ => stale.push(leg.to_string()),
            }
            let judged = amps(leg).and_then(|read| {
                self.judged_amps(sheets, read.amps, read.at, read.placement, &now)
            });
            loaded.extend(load_on(*leg, judged.as_ref()));
        }
        let with_meter_out =
            set.as_ref().map(|set| self.loaded_with_meter_out(sheets, set)).unwrap_or_default();
        let unproven = set
            .as_ref()
            .map(|set| self.legs_without_load_after(sheets, set, &now))
            .unwrap_or_default();
        // The clamp is back on the leg that it read.
        let loosened = amps(&leg)
            .and_then(|read| self.judged_amps(sheets, loosened_amps, &now, read.placement, &now));
        let ends = set.as_ref().and_then(|set| self.physical.legs.get(set));
        let loose = ends
            .into_iter()
            .flatten()
            .filter(|(_, end)| end.capped.is_none() || end.restrained.is_none());
        let checked = set.as_ref().and_then(|set| self.proofs.checked.get(set));
        let unchecked =
            lifted.iter().filter(|leg| !checked.is_some_and(|checked| checked.contains(leg)));
        LiftFacts {
            hot_leg: legs.contains(&leg),
            questions: answers.map_or_else(
                || vec!["bolt".into(), "runs".into(), "meters".into()],
                |answers| {
                    let mut open = Vec::new();
                    if answers.bolt == Bolt::Shared {
                        open.push("bolt".into());
                    }
                    if answers.runs_per_leg == 0 {
                        open.push("runs".into());
                    }
                    if answers.meters_on_set > self.meters_of_target(sheets) {
                        open.push("meters".into());
                    }
                    open
                },
            ),
            dead_front: answers.is_some_and(|answers| answers.front == Front::Dead),
            enclosure: answers.map(|answers| unsound(sheets, answers)).unwrap_or_default(),
            identified: set.is_some() && self.identified_at(sheets, &event.when()) == set,
            meter_out: self.physical.meter_out.as_ref().is_some_and(|out| {
                out.number_in_hand.as_ref().is_some_and(|n| self.is_targets_meter(sheets, n))
            }),
            part: names(part),
            stale,
            loaded,
            with_meter_out: with_meter_out
                .iter()
                .map(|(leg, amps)| format!("{leg} {amps} A"))
                .collect(),
            unproven: names(unproven),
            loosened: load_on(leg, loosened.as_ref()),
            on_lug: !lifted.contains(&leg),
            runs: (answers.map_or(0, |answers| answers.runs_per_leg), runs),
            loose: names(loose.map(|(leg, _)| leg)),
            unchecked: names(unchecked),
            conflicts: names(self.open_conflicts()),
        }
    }

    fn meters_of_target(&self, sheets: &Sheets<'_>) -> u16 {
        let service =
            self.header.as_ref().and_then(|header| sheets.plant.services.get(&header.service));
        service.map_or(0, |service| u16::try_from(service.meters.len()).unwrap_or(u16::MAX))
    }

    pub(super) fn short_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        set: &SetAt,
    ) -> ShortFacts {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        let lifted = self.physical.lifted_of(set);
        let zone = Zone::LiftedLegs { pad: set.pad.clone(), position: set.position.clone() };
        ShortFacts {
            lifted: !legs.is_empty() && legs.iter().all(|leg| lifted.contains(leg)),
            tested: self.zone_dead_fresh(sheets, event, &zone),
        }
    }

    pub(super) fn open_switch_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        switch: &AssetId,
    ) -> OpenSwitchFacts {
        let mut forbidden = Vec::new();
        let known = sheets.plant.switches.get(switch);
        match known {
            None => forbidden.push(switch.to_string()),
            Some(known) => {
                if known.load_break <= crate::quantity::amps(0.0) {
                    forbidden.push("load-break".into());
                }
                if self.is_open(sheets, switch) {
                    forbidden.push("open".into());
                }
            }
        }
        OpenSwitchFacts {
            amps: self.lacks_amps(sheets, switch, &event.when()),
            forbidden,
            lug_pair: is_lug_pair(sheets, switch),
            pressure_relieved: self.is_vented(sheets, switch, VENTINGS_BEFORE_DRAWN, &event.when()),
            identified: self.identified_at(sheets, &event.when()).is_some(),
            conflicts: names(self.open_conflicts()),
        }
    }

    /// Whether a switch is open now.
    pub(crate) fn is_open(&self, sheets: &Sheets<'_>, switch: &AssetId) -> bool {
        match self.physical.switches.get(switch) {
            Some((state, _)) => *state == SwitchState::Open,
            None => sheets
                .plant
                .switches
                .get(switch)
                .is_some_and(|switch| switch.normally == Normally::Open),
        }
    }

    /// Whether the wait after the customer's sources went off is over when the proof begins.
    pub(super) fn waited(
        &self,
        sheets: &Sheets<'_>,
        of: &ProofOf,
        judged: &super::proofs::JudgedProof,
    ) -> bool {
        let Some(super::proofs::ProvenWhat::Dead(dead)) = &judged.what else { return true };
        if super::proofs::zone_of(of).is_none() {
            return true;
        }
        !self.waits_for_sources(sheets, dead.opened())
    }
}

/// Whether what is named as a switch is a pair of lugs, whose legs are lifted and landed.
pub(super) fn is_lug_pair(sheets: &Sheets<'_>, switch: &AssetId) -> bool {
    let known = sheets.plant.switches.get(switch);
    known.is_some_and(|known| known.device == Device::LugPair)
}

/// What speaks against no load on a leg: the leg and why, or nothing.
fn load_on(leg: Conductor, judged: Option<&JudgedAmps>) -> Vec<String> {
    match judged {
        Some(judged) if judged.loading == Loading::NoLoad => Vec::new(),
        _ => {
            let why = judged.into_iter().flat_map(JudgedAmps::ids).map(str::to_owned);
            std::iter::once(leg.to_string()).chain(why).collect()
        }
    }
}

/// What is wrong with a cabinet.
fn unsound(sheets: &Sheets<'_>, answers: &crate::event::Answers) -> Vec<String> {
    let enclosure = &answers.enclosure;
    let case_live = enclosure.case_volts.to_f64().abs() > in_volts(sheets.rules.dead_limit());
    let faults = [
        (case_live, "case-volts"),
        (enclosure.wet, "wet"),
        (enclosure.damage, "damage"),
        (enclosure.animals, "animals"),
    ];
    faults.iter().filter(|(holds, _)| *holds).map(|(_, name)| (*name).into()).collect()
}
