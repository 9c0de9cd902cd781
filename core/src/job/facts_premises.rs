//! Facts of what is done at the premises: stays, runs, the meter.

use super::{correction::stay_of, known::Known, sheets::Sheets, state::State};
use crate::{
    event::{Bypass, Event, MeterPulled, MeterSet, OwnSources, SwitchingRunEnded},
    gate::{KeysFacts, PullFacts, RunEndFacts, SetMeterFacts, Step},
    plant::{Metering, derived},
    quantity::{Age, StayId},
    sighting::{OfPicture, Seen, Slot, Speaker, Stay, seal},
};

impl State {
    /// Whether a stay is the writer's own and lasts.
    pub(super) fn own_stay_open(&self, stay: &StayId, event: &Event) -> bool {
        let stay = self.evidence.as_ref().and_then(|evidence| evidence.stays.get(stay));
        stay.is_some_and(|stay| stay.person == event.person && stay.is_open())
    }

    /// Whether a stay is on record and was not withdrawn.
    pub(super) fn stay_there(&self, stay: &StayId) -> bool {
        let stay = self.evidence.as_ref().and_then(|evidence| evidence.stays.get(stay));
        stay.is_some_and(|stay| !stay.withdrawn)
    }

    /// A sighting of premises is made in a stay that lasts; a picture was taken in it; an
    /// electrician's word comes from their own phone.
    pub(super) fn sighting_step(&self, event: &Event, seen: &Seen, known: Known<'_>) -> Step {
        let Some(stay) = stay_of(seen) else {
            return match seen {
                Seen::LoadStep { .. } => {
                    Step::Keys(KeysFacts { code_known: self.code_known(event, seen, known) })
                }
                // What is read with a clamp was placed with it, and the placement knows it.
                Seen::Amps { .. } | Seen::BareStep { .. } => {
                    Step::Cabinet { unknown_instruments: Vec::new() }
                }
                Seen::Tone { .. } => {
                    Step::Cabinet { unknown_instruments: self.unknown_instruments(event) }
                }
                _ => Step::Read { unknown_instruments: Vec::new() },
            };
        };
        let open = match (seen, seen.of_picture()) {
            (_, Some(OfPicture { taken_by, taken_at, .. })) => {
                let stay = self.evidence.as_ref().and_then(|evidence| evidence.stays.get(stay));
                stay.is_some_and(|stay| {
                    let inside = matches!(taken_at.age_of(&stay.begun), Age::Known(_))
                        && stay
                            .ended
                            .as_ref()
                            .is_none_or(|ended| matches!(ended.age_of(taken_at), Age::Known(_)));
                    stay.person == *taken_by && !stay.withdrawn && inside
                })
            }
            (Seen::Word { speaker: Speaker::Electrician, from_link: true, .. }, None) => {
                let evidence = self.evidence.as_ref();
                let stay = evidence.and_then(|evidence| evidence.stays.get(stay));
                stay.is_some_and(Stay::is_open)
            }
            _ => self.own_stay_open(stay, event),
        };
        Step::OfStay { open }
    }

    pub(super) fn run_end_facts(&self, event: &Event, body: &SwitchingRunEnded) -> RunEndFacts {
        let run = self.evidence.as_ref().and_then(|evidence| evidence.runs.get(&body.run));
        RunEndFacts {
            own_open_run: run.is_some_and(|run| {
                run.doer == event.person
                    && run.ended.is_none()
                    && self.own_stay_open(&run.stay, event)
            }),
            seal_holds: run.is_some_and(|run| {
                let size_slot = body.code.get(usize::from(run.size_slot));
                seal(&body.code, &body.salt) == run.sealed && size_slot == Some(&Slot::Change)
            }),
        }
    }

    /// Whether a number is one of the target's meters, by the record or by a correction of it.
    pub(super) fn is_targets_meter(&self, sheets: &Sheets<'_>, number: &str) -> bool {
        let Some(header) = &self.header else { return false };
        let same = |known: &str| known.trim() == number.trim();
        let record = sheets.plant.services.get(&header.service);
        record.is_some_and(|service| service.meters.iter().any(|meter| same(meter)))
            || self.map_corrections.iter().any(|correction| {
                correction.feature == header.service && correction.now.as_str().is_some_and(same)
            })
    }

    pub(super) fn pull_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        body: &MeterPulled,
    ) -> PullFacts {
        let service =
            self.header.as_ref().and_then(|header| sheets.plant.services.get(&header.service));
        let number_read = self.evidence.iter().flat_map(|e| e.sightings.values()).any(|sighting| {
            matches!(&sighting.seen, Seen::MeterNumber { stay, number }
                if *stay == body.stay && self.is_targets_meter(sheets, number))
        });
        let most = sheets.rules.meter_pull_most();
        let above = |service: &crate::plant::Service| {
            let pairs = service.system.pairs_to_test();
            pairs.into_iter().filter_map(|pair| service.system.expected(pair)).any(|v| v > most)
        };
        PullFacts {
            stay_open: self.own_stay_open(&body.stay, event),
            number_read,
            own_sources_off: match body.own_sources {
                OwnSources::Off => true,
                OwnSources::NoneFound => service.is_some_and(|s| s.sources.is_empty()),
                OwnSources::NotRuledOut => false,
            },
            main_open: body.main_open,
            damage: body.damage_or_heat,
            ct: body.metering == Metering::Ct
                || service.is_some_and(|service| service.metering == Some(Metering::Ct)),
            bypass_closed: body.bypass == Bypass::LeverClosed,
            above_pull_limit: service.is_none_or(above),
        }
    }

    pub(super) fn set_meter_facts(
        &self,
        event: &Event,
        body: &MeterSet,
        known: Known<'_>,
    ) -> SetMeterFacts {
        let target = self.header.as_ref().map(|header| &header.service);
        SetMeterFacts {
            closing: self.closing(event, known),
            stay_open: self.own_stay_open(&body.stay, event),
            main_open: target.is_some_and(|service| self.physical.main_open(service)),
            tagged: target.map_or_else(Vec::new, |service| self.tagged_at(service, derived::meter)),
            live_proven: !self.ever_opened || self.proofs.live.is_some(),
        }
    }
}
