//! Amps of the legs of a set with the meter out: the last ones, and any that spoke of a load.

use super::{sheets::Sheets, state::State};
use crate::{
    event::Event,
    plant::Conductor,
    quantity::{Decimal, DeedId, EventId, Instant, in_amps},
    reading::{AmpsAt, AmpsReading, JudgedAmps, Moment, Taken, is_fresh, judge_amps, shows_load},
    sighting::{Evidence, Placement, Seen, SetAt, resolve},
};

/// Amps read on a leg with a meter out.
#[derive(Clone, Copy)]
pub(super) struct LegAmps<'a> {
    pub(super) amps: &'a Decimal,
    pub(super) at: &'a Instant,
    pub(super) placement: &'a Placement,
    /// The deed that took the meter out.
    pub(super) deed: &'a DeedId,
    /// The event it was read in.
    event: &'a EventId,
}

impl State {
    /// Legs of a set that are on their lugs and have no amps within the window, or not on this
    /// phone's clock.
    pub fn legs_without_amps(
        &self,
        sheets: &Sheets<'_>,
        set: &SetAt,
        now: &Instant,
    ) -> Vec<Conductor> {
        let window = sheets.rules.amps_fresh();
        let fresh = |leg: Conductor| {
            self.last_amps(set, leg)
                .is_some_and(|read| is_fresh(now, read.at, window, sheets.rules))
        };
        self.legs_on_lugs(sheets, set).filter(|leg| !fresh(*leg)).collect()
    }

    /// Whether a lift waits for the clamp alone: the amps are there, and it was shown no load since.
    pub fn waits_for_clamp(&self, sheets: &Sheets<'_>, set: &SetAt, now: &Instant) -> bool {
        self.legs_without_amps(sheets, set, now).is_empty()
            && !self.legs_without_load_after(sheets, set, now).is_empty()
    }

    /// Legs of a set that are on their lugs and have no amps within the window that the same clamp
    /// followed by a load: one that failed after its last load shows the same zero.
    pub(super) fn legs_without_load_after(
        &self,
        sheets: &Sheets<'_>,
        set: &SetAt,
        now: &Instant,
    ) -> Vec<Conductor> {
        let Some(evidence) = &self.evidence else { return Vec::new() };
        // In the order of the record, but for what was read through switches, which shows a load
        // before and never after.
        let all = self.all_amps();
        let fresh = |then: &Instant| is_fresh(now, then, sheets.rules.amps_fresh(), sheets.rules);
        let load_after = |read: &LegAmps<'_>| {
            let clamp = &read.placement.instrument;
            let after = all.iter().skip_while(|taken| taken.event != *read.event).skip(1);
            let mut after = after.filter(|taken| taken.reading.instrument == *clamp);
            evidence.instruments.get(clamp).is_some_and(|clamp| {
                after.any(|taken| {
                    fresh(&taken.at) && shows_load(clamp, &taken.reading, sheets.rules)
                })
            })
        };
        let proven = |leg: Conductor| {
            self.amps_of_all_runs(set, leg).any(|read| fresh(read.at) && load_after(&read))
        };
        self.legs_on_lugs(sheets, set).filter(|leg| !proven(*leg)).collect()
    }

    fn legs_on_lugs(&self, sheets: &Sheets<'_>, set: &SetAt) -> impl Iterator<Item = Conductor> {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        legs.iter().copied().filter(|leg| self.physical.lifted(set, *leg).is_none())
    }

    /// Legs of a set that showed more than the no-load limit while the target's meter was out, and the
    /// most that each showed. The target draws nothing then: whatever did is still on the set when
    /// it rests, and when the meter was set and pulled again.
    pub fn loaded_with_meter_out(
        &self,
        sheets: &Sheets<'_>,
        set: &SetAt,
    ) -> Vec<(Conductor, Decimal)> {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        let targets = |deed: &DeedId| {
            let deed = self.evidence.as_ref().and_then(|evidence| evidence.deeds.get(deed));
            let number = deed.and_then(|deed| deed.number_in_hand.as_ref());
            number.is_some_and(|number| self.is_targets_meter(sheets, number))
        };
        let most = |leg: Conductor| {
            let read = self.amps_with_meter_out(set, leg).filter(|read| targets(read.deed));
            let over = read
                .map(|read| *read.amps)
                .filter(|amps| amps.to_f64().abs() > in_amps(sheets.rules.no_load()));
            over.max_by(|one, other| one.to_f64().total_cmp(&other.to_f64()))
        };
        legs.iter().copied().filter_map(|leg| Some((leg, most(leg)?))).collect()
    }

    /// The amps read last on all runs of one leg of a set, after the pull that is in force.
    pub(super) fn last_amps<'s>(&'s self, set: &'s SetAt, leg: Conductor) -> Option<LegAmps<'s>> {
        self.amps_of_all_runs(set, leg).next()
    }

    /// Whether the last amps of a leg are of other than all its parallel runs, as they were counted.
    pub(super) fn part_in_jaws(&self, set: &SetAt, leg: Conductor) -> bool {
        let last = self.amps_of_pull(set, leg).next();
        last.is_some_and(|read| !self.all_in_jaws(set, read.placement))
    }

    fn all_in_jaws(&self, set: &SetAt, placement: &Placement) -> bool {
        let counted = self.answers.get(set);
        counted.is_none_or(|answers| answers.runs_per_leg == placement.runs_in_jaws.get())
    }

    /// The amps read on all runs of one leg of a set after the pull that is in force, the last ones
    /// first.
    fn amps_of_all_runs<'s>(
        &'s self,
        set: &'s SetAt,
        leg: Conductor,
    ) -> impl Iterator<Item = LegAmps<'s>> {
        self.amps_of_pull(set, leg).filter(move |read| self.all_in_jaws(set, read.placement))
    }

    /// The amps read on one leg of a set after the pull that is in force, the last ones first.
    fn amps_of_pull<'s>(
        &'s self,
        set: &'s SetAt,
        leg: Conductor,
    ) -> impl Iterator<Item = LegAmps<'s>> {
        let pull = self.physical.meter_out.as_ref().map(|out| &out.deed);
        self.amps_with_meter_out(set, leg).filter(move |read| Some(read.deed) == pull)
    }

    /// The amps read on one leg of a set with a meter out, the last ones first.
    fn amps_with_meter_out<'s>(
        &'s self,
        set: &'s SetAt,
        leg: Conductor,
    ) -> impl Iterator<Item = LegAmps<'s>> {
        let applied = self.applied.iter().rev().filter(|applied| !applied.superseded);
        applied.filter_map(move |applied| {
            let evidence = self.evidence.as_ref()?;
            let crate::event::Body::Sighting(made) = &applied.event.body else { return None };
            let Seen::Amps { placement, deed: Some(deed), amps } = &made.seen else { return None };
            let placement = evidence.placements.get(placement)?;
            let here = resolve(evidence, &placement.pad, &placement.handle)? == *set;
            let at = &evidence.sightings.get(&made.sighting)?.at;
            let event = &applied.event.id;
            (here && placement.leg == Some(leg)).then_some(LegAmps {
                amps,
                at,
                placement,
                deed,
                event,
            })
        })
    }

    /// Amps that a clamp showed where it was placed, judged beside every load that the same clamp
    /// read beside it.
    pub(super) fn judged_amps(
        &self,
        sheets: &Sheets<'_>,
        amps: &Decimal,
        taken: &Instant,
        placement: &Placement,
        now: &Instant,
    ) -> Option<JudgedAmps> {
        let evidence = self.evidence.as_ref()?;
        let reading = AmpsReading {
            conductor: placement.leg,
            amps: *amps,
            instrument: placement.instrument.clone(),
        };
        let moment = Moment {
            now,
            taken,
            proven: evidence.proven.get(&placement.instrument),
            window: sheets.rules.amps_fresh(),
        };
        let instrument = evidence.instruments.get(&placement.instrument);
        let at = AmpsAt::Secondary(self.system(sheets));
        let others = self.all_amps();
        Some(judge_amps(&reading, instrument, &others, at, moment, sheets.rules))
    }

    /// Every current that was read with a clamp on one conductor, as typed: on a set, through something
    /// that opens, or on the crew's own load, whose cord is a conductor like another.
    pub(super) fn all_amps(&self) -> Vec<Taken<AmpsReading>> {
        let Some(evidence) = &self.evidence else { return Vec::new() };
        let mut all: Vec<_> = self.amps.iter().map(|read| read.taken.clone()).collect();
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
