//! Facts of what is landed and closed.

use super::{facts::names, sheets::Sheets, state::State};
use crate::{
    gate::{CloseFacts, LandFacts, SwitchClosedFacts},
    plant::{Conductor, Normally, Pair, SwitchState},
    quantity::AssetId,
    reading::{Moment, judge_ohms},
    sighting::SetAt,
};

impl State {
    pub(super) fn land_facts(&self, sheets: &Sheets<'_>, set: &SetAt, leg: Conductor) -> LandFacts {
        let target = self.header.as_ref().map(|header| &header.service);
        LandFacts {
            closing: self.closing(),
            lifted: self.physical.lifted(set, leg).is_some(),
            grounds: self.physical.grounds_on(),
            insulation: self.insulation_compared(sheets, set, leg),
            neutral: self.physical.neutrals.contains_key(set),
            unloaded: self.physical.meter_out.is_some()
                || target.is_some_and(|service| self.physical.main_open(service)),
        }
    }

    /// Whether the insulation of this leg and of every other lifted leg of the set was read to
    /// neutral since the last lift (readings before it are dropped then), with both ends free, and nothing is held against the readings.
    fn insulation_compared(&self, sheets: &Sheets<'_>, set: &SetAt, leg: Conductor) -> bool {
        let Some(evidence) = &self.evidence else { return false };
        let lifted = self.physical.lifted_of(set);
        let read = |leg: Conductor| {
            self.ohms.iter().any(|taken| {
                let reading = &taken.ohms.reading;
                let Pair(one, other) = reading.between;
                let moment = Moment {
                    now: &taken.at,
                    taken: &taken.at,
                    proven: Some(&taken.at),
                    window: sheets.rules.proof_window(),
                };
                let instrument = evidence.instruments.get(&reading.instrument);
                taken.ohms.pad == set.pad
                    && taken.ohms.position == set.position
                    && taken.ohms.both_ends_free
                    && Pair::of(one, other) == Pair::of(leg, Conductor::N)
                    && judge_ohms(reading, instrument, moment, sheets.rules)
                        .validation
                        .is_accepted()
            })
        };
        lifted.contains(&leg) && lifted.into_iter().all(read)
    }

    pub(super) fn close_switch_facts(
        &self,
        sheets: &Sheets<'_>,
        switch: &AssetId,
    ) -> SwitchClosedFacts {
        let known = sheets.plant.switches.get(switch);
        let mut forbidden = Vec::new();
        if known.is_none() {
            forbidden.push(switch.to_string());
        } else if !self.is_open(sheets, switch) {
            forbidden.push("closed".into());
        }
        if self.physical.locks.contains_key(switch) {
            forbidden.push("lock".into());
        }
        if self.physical.tags.contains_key(switch) {
            forbidden.push("tag".into());
        }
        let loop_point = known.is_some_and(|known| known.normally == Normally::Open);
        SwitchClosedFacts {
            closing: self.closing(),
            forbidden,
            loop_measured: !loop_point || self.physical.measured.contains_key(switch),
            grounds: self.physical.grounds_on(),
        }
    }

    pub(super) fn close_facts(&self, sheets: &Sheets<'_>) -> CloseFacts {
        let physical = &self.physical;
        let mut left = physical.grounds_on();
        for (set, legs) in &physical.legs {
            left.extend(legs.keys().map(|leg| format!("{}:{} {leg}", set.pad, set.position)));
        }
        for (switch, (state, _)) in &physical.switches {
            let normally = sheets.plant.switches.get(switch).map(|switch| switch.normally);
            let as_normal = matches!(
                (normally, state),
                (Some(Normally::Open), SwitchState::Open)
                    | (Some(Normally::Closed), SwitchState::Closed)
            );
            if !as_normal {
                left.push(switch.to_string());
            }
        }
        left.extend(names(physical.locks.keys().chain(physical.tags.keys())));
        if let Some(out) = &physical.meter_out {
            left.push(out.deed.to_string());
        }
        CloseFacts {
            closing: self.closing(),
            live_proven: !self.ever_opened || self.proofs.live.is_some(),
            left,
        }
    }
}
