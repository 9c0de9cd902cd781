//! Facts of what is landed and closed.

use super::{facts::names, facts_lift::is_lug_pair, known::Known, sheets::Sheets, state::State};
use crate::{
    event::Event,
    gate::{CloseFacts, LandFacts, SwitchClosedFacts},
    isolate::VENTINGS_BEFORE_PUT_BACK,
    plant::{Conductor, Normally, SwitchState},
    proof::Insulation,
    quantity::AssetId,
    sighting::SetAt,
};

impl State {
    pub(super) fn land_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        (set, leg): (&SetAt, Conductor),
        known: Known<'_>,
    ) -> LandFacts {
        let target = self.header.as_ref().map(|header| &header.service);
        LandFacts {
            closing: self.closing(event, known),
            lifted: self.physical.lifted(set, leg).is_some(),
            grounds: self.physical.grounds_on(),
            tagged: self.tagged_lugs(sheets.plant, set),
            // Before all was open, a leg on its lug keeps the set live: there is nothing to measure
            // with both ends free, and what was lifted goes back as it was minutes before.
            insulation: !self.was_all_open()
                || matches!(self.insulation_of(sheets, set), Some(Insulation::Sound { .. })),
            neutral: self.physical.neutrals.contains_key(set),
            unloaded: self.physical.meter_out.is_some()
                || target.is_some_and(|service| self.physical.main_open(service)),
        }
    }

    pub(super) fn close_switch_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        switch: &AssetId,
        known: Known<'_>,
    ) -> SwitchClosedFacts {
        let there = sheets.plant.switches.get(switch);
        let mut forbidden = Vec::new();
        if there.is_none() {
            forbidden.push(switch.to_string());
        } else if !self.is_open(sheets, switch) {
            forbidden.push("closed".into());
        }
        SwitchClosedFacts {
            closing: self.closing(event, known),
            forbidden,
            tagged: self.tagged(|what| what == switch),
            lug_pair: is_lug_pair(sheets, switch),
            loop_lacks: self.loop_lacks(sheets, event, switch),
            pressure_relieved: self.is_vented(
                sheets,
                switch,
                VENTINGS_BEFORE_PUT_BACK,
                &event.when(),
            ),
            grounds: self.physical.grounds_on(),
        }
    }

    pub(super) fn close_facts(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        known: Known<'_>,
    ) -> CloseFacts {
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
            closing: self.closing(event, known),
            live_proven: !self.ever_opened || self.proofs.live.is_some(),
            left,
        }
    }
}
