//! Facts of what is opened: legs and switches.

use super::{facts::names, sheets::Sheets, state::State};
use crate::{
    event::{Bolt, Event, Front, ProofOf},
    gate::{LiftFacts, OpenSwitchFacts, ShortFacts},
    plant::{Conductor, Device, Normally, SwitchState},
    proof::Zone,
    quantity::{AssetId, Instant, in_volts},
    reading::{AmpsReading, JudgedAmps, Loading, Moment, Taken, is_fresh, judge_amps},
    sighting::{Evidence, Handle, Placement, Seen, SetAt, Sighting, resolve},
};

impl State {
    pub(super) fn lift_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        pad: &AssetId,
        handle: &Handle,
        leg: Conductor,
        runs: u8,
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
        let (mut stale, mut loaded) = (Vec::new(), Vec::new());
        for leg in &on_lugs {
            match amps(leg) {
                Some((sighting, _))
                    if is_fresh(&now, &sighting.at, sheets.rules.amps_fresh(), sheets.rules) => {}
                _ => stale.push(leg.to_string()),
            }
            let judged = amps(leg).and_then(|(sighting, placement)| {
                self.judged_amps(sheets, sighting, placement, &now)
            });
            if judged.as_ref().is_none_or(|judged| judged.loading != Loading::NoLoad) {
                loaded.push(leg.to_string());
                loaded.extend(judged.iter().flat_map(JudgedAmps::ids).map(str::to_owned));
            }
        }
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
            identified: set.is_some() && self.identified_now(sheets) == set,
            meter_out: self.physical.meter_out.as_ref().is_some_and(|out| {
                out.number_in_hand.as_ref().is_some_and(|n| self.is_targets_meter(sheets, n))
            }),
            stale,
            loaded,
            on_lug: !lifted.contains(&leg),
            runs: (answers.map_or(0, |answers| answers.runs_per_leg), runs),
            loose: names(loose.map(|(leg, _)| leg)),
            unchecked: names(unchecked),
            conflicts: names(self.open_conflicts()),
        }
    }

    /// Legs of a set that are on their lugs and have no amps within the window, or not on this
    /// phone's clock.
    pub fn legs_without_amps(
        &self,
        sheets: &Sheets<'_>,
        set: &SetAt,
        now: &Instant,
    ) -> Vec<Conductor> {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        let window = sheets.rules.amps_fresh();
        let fresh = |leg: Conductor| {
            self.last_amps(set, leg)
                .is_some_and(|(sighting, _)| is_fresh(now, &sighting.at, window, sheets.rules))
        };
        let on_lug = |leg: &Conductor| self.physical.lifted(set, *leg).is_none();
        legs.iter().copied().filter(on_lug).filter(|leg| !fresh(*leg)).collect()
    }

    fn meters_of_target(&self, sheets: &Sheets<'_>) -> u16 {
        let service =
            self.header.as_ref().and_then(|header| sheets.plant.services.get(&header.service));
        service.map_or(0, |service| u16::try_from(service.meters.len()).unwrap_or(u16::MAX))
    }

    /// The amps read last on one leg of a set, after the pull that is in force.
    fn last_amps(&self, set: &SetAt, leg: Conductor) -> Option<(&Sighting, &Placement)> {
        let evidence = self.evidence.as_ref()?;
        let pull = &self.physical.meter_out.as_ref()?.deed;
        self.applied.iter().rev().filter(|applied| !applied.superseded).find_map(|applied| {
            let crate::event::Body::Sighting(made) = &applied.event.body else { return None };
            let Seen::Amps { placement, deed: Some(deed), .. } = &made.seen else { return None };
            let placement = evidence.placements.get(placement)?;
            let here = resolve(evidence, &placement.pad, &placement.handle)? == *set;
            let sighting = evidence.sightings.get(&made.sighting)?;
            (here && placement.leg == Some(leg) && deed == pull).then_some((sighting, placement))
        })
    }

    /// The amps of a sighting, judged beside every load that the same clamp read beside it.
    fn judged_amps(
        &self,
        sheets: &Sheets<'_>,
        sighting: &Sighting,
        placement: &Placement,
        now: &Instant,
    ) -> Option<JudgedAmps> {
        let evidence = self.evidence.as_ref()?;
        let Seen::Amps { amps, .. } = &sighting.seen else { return None };
        let reading = AmpsReading {
            conductor: placement.leg,
            amps: *amps,
            instrument: placement.instrument.clone(),
        };
        let moment = Moment {
            now,
            taken: &sighting.at,
            proven: evidence.proven.get(&placement.instrument),
            window: sheets.rules.amps_fresh(),
        };
        let instrument = evidence.instruments.get(&placement.instrument);
        let system = self.system(sheets);
        let others = self.all_amps();
        Some(judge_amps(&reading, instrument, &others, system, moment, sheets.rules))
    }

    /// Every current that was read with a clamp on one leg, as typed: on a set, or on the crew's own
    /// load, whose cord is a conductor like another.
    fn all_amps(&self) -> Vec<Taken<AmpsReading>> {
        let Some(evidence) = &self.evidence else { return Vec::new() };
        let mut all = Vec::new();
        for applied in self.applied.iter().filter(|applied| !applied.superseded) {
            if let Some(proven) = proven_amps(evidence, &applied.event) {
                all.push(proven);
            }
            let crate::event::Body::Sighting(made) = &applied.event.body else { continue };
            let (placement, read) = match &made.seen {
                Seen::Amps { placement, amps, .. } => (placement, vec![*amps]),
                Seen::LoadStep { placement, load_off_amps, slots, .. } => {
                    let typed = slots.iter().filter_map(|slot| slot.amps.as_ref());
                    let both = typed.flat_map(|amps| [amps.before_amps, amps.after_amps]);
                    (placement, both.chain([*load_off_amps]).collect())
                }
                _ => continue,
            };
            let Some(placement) = evidence.placements.get(placement) else { continue };
            all.extend(read.into_iter().map(|amps| Taken {
                event: applied.event.id.clone(),
                at: applied.event.when(),
                reading: AmpsReading {
                    conductor: placement.leg,
                    amps,
                    instrument: placement.instrument.clone(),
                },
            }));
        }
        all
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
        switch: &AssetId,
    ) -> OpenSwitchFacts {
        let mut forbidden = Vec::new();
        let known = sheets.plant.switches.get(switch);
        match known {
            None => forbidden.push(switch.to_string()),
            Some(known) => {
                if known.device == Device::LugPair {
                    forbidden.push("lug-pair".into());
                } else if known.load_break <= crate::quantity::amps(0.0) {
                    forbidden.push("load-break".into());
                }
                if self.is_open(sheets, switch) {
                    forbidden.push("open".into());
                }
            }
        }
        let fuse = known.is_some_and(|known| known.device == Device::BayonetFuse);
        let relieved = known
            .and_then(|known| known.pad.as_ref())
            .is_some_and(|pad| self.physical.relieved.contains_key(pad));
        OpenSwitchFacts {
            forbidden,
            pressure_relieved: !fuse || relieved,
            identified: self.identified_now(sheets).is_some(),
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

/// What a clamp showed on the crew's own load, where it was right.
fn proven_amps(evidence: &Evidence, event: &Event) -> Option<Taken<AmpsReading>> {
    let crate::event::Body::InstrumentProven(proven) = &event.body else { return None };
    let crate::event::Shown::Amps { shown_amps, .. } = &proven.shown else { return None };
    let still_right = evidence.proven.contains_key(&proven.instrument);
    still_right.then(|| Taken {
        event: event.id.clone(),
        at: event.when(),
        reading: AmpsReading {
            conductor: Some(Conductor::L1),
            amps: *shown_amps,
            instrument: proven.instrument.clone(),
        },
    })
}
