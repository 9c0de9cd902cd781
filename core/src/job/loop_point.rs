//! What was measured across a loop point, and whether it may be closed by that.
//!
//! One side is live on record and the other is not: the volts across are then surely those of one live
//! side against a dead one. Both are live: closing ties them, which the rule sheet must allow, and the
//! volts across are surely too few for anything but the same phase. A measurement counts for the window of
//! amps, until anything is opened or closed.

use std::collections::BTreeSet;

use super::{
    load_read::voltage_at,
    physical::{Measured, Touch},
    sheets::Sheets,
    state::State,
};
use crate::{
    event::Event,
    plant::{Network, Normally, Plant, Switch},
    quantity::{AssetId, Decimal, IdError, InstrumentId, NodeId, Voltage, in_volts},
    reading::{AmpsAt, Moment, judge_across, reasons, surely_at_least, surely_at_most},
};

reasons! {
    /// Why a switch may not be closed between what stands on its two sides.
    pub enum LoopLack {
        NotMeasured = "loop-not-measured": "Nobody has measured across it as everything stands.";
        NoInstrument = "loop-without-instrument": "Nobody said with what it was measured.";
        TiesSources = "loop-ties-sources": "Both sides are live, and no two sources may be tied.";
        NotInPhase = "loop-not-in-phase": "It is not surely the same phase on both sides.";
        NotOneSide = "loop-not-one-side": "It is not surely one live side against a dead one.";
    }
}

/// Feeders that reach one side of a switch, and the other.
struct Sides {
    from: BTreeSet<AssetId>,
    to: BTreeSet<AssetId>,
}

impl Sides {
    fn both_live(&self) -> bool {
        !self.from.is_empty() && !self.to.is_empty()
    }

    fn one_live(&self) -> bool {
        self.from.is_empty() != self.to.is_empty()
    }
}

impl State {
    pub(super) fn measured_across(
        &mut self,
        switch: &AssetId,
        across_volts: Decimal,
        instrument: Option<InstrumentId>,
        touch: Touch,
    ) {
        let measured = Measured { across_volts, instrument, touch };
        self.physical.measured.insert(switch.clone(), measured);
    }

    /// Why a switch may not be closed by what stands on its two sides; empty: it may.
    pub(super) fn loop_lacks(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        switch: &AssetId,
    ) -> Vec<String> {
        let Some(known) = sheets.plant.switches.get(switch) else { return Vec::new() };
        let Some(Ok(sides)) = self.map(sheets).map(|plant| self.sides(&plant, known)) else {
            return vec![LoopLack::NotMeasured.id().into()];
        };
        let loop_point = known.normally == Normally::Open;
        let ties = sides.both_live() && (loop_point || sides.from != sides.to);
        if ties && !sheets.rules.allow_paralleling {
            return vec![LoopLack::TiesSources.id().into()];
        }
        if !loop_point {
            return Vec::new();
        }
        let measured = self.physical.measured.get(switch);
        measured.map_or_else(
            || vec![LoopLack::NotMeasured.id().into()],
            |measured| self.across_lacks(sheets, event, known, &sides, measured),
        )
    }

    /// What is held against the volts across a loop point, or what they say.
    fn across_lacks(
        &self,
        sheets: &Sheets<'_>,
        event: &Event,
        switch: &Switch,
        sides: &Sides,
        measured: &Measured,
    ) -> Vec<String> {
        let Some(named) = &measured.instrument else {
            return vec![LoopLack::NoInstrument.id().into()];
        };
        let evidence = self.evidence.as_ref();
        let now = event.when();
        let moment = Moment {
            now: &now,
            taken: &measured.touch.at,
            proven: evidence.and_then(|evidence| evidence.proven.get(named)),
            window: sheets.rules.amps_fresh(),
        };
        let instrument = evidence.and_then(|evidence| evidence.instruments.get(named));
        let at = voltage_at(sheets.plant, &switch.id);
        let (bound, validation) =
            judge_across(measured.across_volts, named, instrument, at, moment, sheets.rules);
        if !validation.is_accepted() {
            return validation.ids().into_iter().map(str::to_owned).collect();
        }
        let (shown, error) = (in_volts(bound.value).abs(), in_volts(bound.limit_of_error));
        let Some(nominal) = to_neutral(at).map(in_volts) else {
            return vec![LoopLack::NotInPhase.id().into()];
        };
        let off = nominal * sheets.rules.loop_volts_share();
        let (fits, lack) = if sides.one_live() {
            let near = surely_at_least(shown, error, nominal - off)
                && surely_at_most(shown, error, nominal + off);
            (near, LoopLack::NotOneSide)
        } else {
            (surely_at_most(shown, error, off), LoopLack::NotInPhase)
        };
        if fits { Vec::new() } else { vec![lack.id().into()] }
    }

    /// The feeders that reach each side of a switch over what stands closed.
    fn sides(&self, plant: &Plant, switch: &Switch) -> Result<Sides, IdError> {
        let (network, states) = (Network::of(plant)?, self.present(plant)?.states);
        let feeders_at = |node: &NodeId| {
            let reached =
                network.reach([node], |branch| branch.id != switch.id && !branch.is_open(&states));
            let feeders = plant.sources.values().filter(|source| reached.contains(&source.node));
            feeders.map(|source| source.id.clone()).collect()
        };
        Ok(Sides { from: feeders_at(&switch.from), to: feeders_at(&switch.to) })
    }
}

/// The voltage of one phase to neutral; none where the record does not tell.
fn to_neutral(at: AmpsAt) -> Option<Voltage> {
    use crate::plant::{Conductor, Pair};
    match at {
        AmpsAt::Primary(volts) => Some(volts),
        AmpsAt::Secondary(system) => system?.expected(Pair(Conductor::L1, Conductor::N)),
    }
    .filter(|volts| in_volts(*volts) > 0.0)
}
