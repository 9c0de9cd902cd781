//! What each opening is expected to break, held against what it may.
//!
//! Worked out once for the whole plant, before the search, as everything stands before the first
//! step: whether a branch may be opened does not hang on what else a plan opens. That errs on the
//! safe side. Openings elsewhere only take load off a branch that is in no loop; within a loop `most`
//! is already all that the loop supplies, however it is opened; and loop points are closed after the
//! openings. Only where two sources may be tied they are closed before, so `most` is then never less
//! than with all of them closed.
//!
//! A reading goes before all of it, with its limit of error on the safe side. Without one: what is
//! likely to carry more than the switch may break is not opened; what carries no more than that at the
//! very most is; whatever lies between, and whatever the record does not tell, is read first, as a step
//! of the plan. A reading against which something is held only ever makes the amps more.

use super::opening::whole;
use super::plan::{ExpectedLoad, LoadBasis, WhyNot};
use super::read::ReadAmps;
use super::zone::Request;
use crate::loading::{Basis, ExpectedAmps};
use crate::plant::{
    Branch, BranchKind, Device, Network, Normally, Plant, Switch, SwitchState, SwitchStates,
};
use crate::quantity::{AssetId, Current, IdError, amps, in_amps};
use crate::rule_sheet::RuleSheet;

/// The loads of a plant as it stands, and as a plan could make it stand before anything opens.
pub(super) struct Loads<'a> {
    request: &'a Request,
    now: ExpectedAmps<'a>,
    /// With every loop point closed, where that may come before the openings.
    tied: Option<ExpectedAmps<'a>>,
}

/// What is known of the load on one branch.
#[derive(Debug, Clone, PartialEq)]
struct Known {
    /// None within a loop, and where the record does not tell.
    likely: Option<Current>,
    /// None where the record does not tell.
    most: Option<Current>,
    basis: LoadBasis,
    source: &'static str,
    /// What is held against what was read; empty: nothing was read, or it counts.
    doubts: Vec<String>,
}

impl<'a> Loads<'a> {
    pub(super) fn of(
        plant: &'a Plant,
        network: &'a Network,
        request: &'a Request,
        tied: Option<&'a SwitchStates>,
    ) -> Result<Self, IdError> {
        let now = ExpectedAmps::of(plant, network, &request.states)?;
        let tied = tied.map(|states| ExpectedAmps::of(plant, network, states)).transpose()?;
        Ok(Self { request, now, tied })
    }

    /// Why its load forbids to open a switch that is closed now; none where it does not.
    pub(super) fn why_not(&self, switch: &Switch) -> Option<WhyNot> {
        if switch.device == Device::LugPair {
            // Never under load: the steps and gates of lifting see to it.
            return None;
        }
        let rated = switch.load_break;
        if self.request.loads.get(&switch.id).is_some_and(|read| read.is_over(rated)) {
            return Some(WhyNot::OverLoadBreak);
        }
        let known = self.known(&switch.id);
        if rated <= amps(0.0) {
            let none = known.basis == LoadBasis::Read && known.fits(rated);
            return (!none).then_some(WhyNot::NotLoadBreak);
        }
        let over = known.likely.is_some_and(|likely| likely > rated);
        over.then_some(WhyNot::LikelyOverLoadBreak)
    }

    /// What a branch carries at most, where that was read and nothing is held against it.
    pub(super) fn carries(&self, branch: &AssetId) -> Option<Current> {
        let read = self.request.loads.get(branch)?;
        self.doubts(branch, read).is_empty().then_some(read.most)
    }

    fn doubts(&self, branch: &AssetId, read: &ReadAmps) -> Vec<String> {
        read.doubts(self.now.through(branch).map_or(1, |expected| expected.conductors))
    }

    /// What a branch that is closed now is expected to break; `switch` is its record, if it has one.
    pub(super) fn expected(&self, branch: &AssetId, switch: Option<&Switch>) -> ExpectedLoad {
        let known = self.known(branch);
        let rated = switch.filter(|s| s.device != Device::LugPair).map(|s| s.load_break);
        ExpectedLoad {
            likely_amps: known.likely.map(up),
            most_amps: known.most.map(up),
            basis: known.basis,
            source: known.source.to_owned(),
            load_break_amps: rated.map(|rated| whole(libm::floor(in_amps(rated)))),
            read_first: rated.is_some_and(|rated| !known.fits(rated)),
            read_at: self.request.loads.get(branch).and_then(|read| read.at.clone()),
            doubts: known.doubts,
        }
    }

    fn known(&self, branch: &AssetId) -> Known {
        let record = self.by_record(branch);
        let Some(read) = self.request.loads.get(branch) else { return record };
        let doubts = self.doubts(branch, read);
        if doubts.is_empty() {
            let (likely, most) = (Some(read.least), Some(read.most));
            let source = "read at the place";
            return Known { likely, most, basis: LoadBasis::Read, source, doubts };
        }
        // Never less than the record has it.
        let most = record.most.map(|most| most.max(read.most));
        Known { most, doubts, ..record }
    }

    /// What the record tells of a branch.
    fn by_record(&self, branch: &AssetId) -> Known {
        let doubts = Vec::new();
        let Some(now) = self.now.through(branch) else {
            let source = "no feeder reaches it as the switches stand";
            return Known { likely: None, most: None, basis: LoadBasis::Unknown, source, doubts };
        };
        let tied = self.tied.as_ref().and_then(|tied| tied.through(branch));
        let most = tied.map_or(now.most, |tied| tied.most.max(now.most));
        // What a tie brings along rests on what the weaker of the two rests on.
        let basis = tied.map_or(now.basis, |tied| tied.basis.max(now.basis));
        Known {
            likely: now.likely,
            most: Some(most),
            basis: match basis {
                Basis::Recorded => LoadBasis::Recorded,
                Basis::Nameplate => LoadBasis::Nameplate,
                Basis::Open => LoadBasis::Unknown,
            },
            source: basis.source(),
            doubts,
        }
    }
}

impl Known {
    /// Whether no more than a rating flows, for certain.
    fn fits(&self, rated: Current) -> bool {
        self.most.is_some_and(|most| most <= rated)
    }
}

/// What a switch is expected to break as everything stands now; none where it is on no sheet.
pub(super) fn expected_at(
    plant: &Plant,
    request: &Request,
    switch: &AssetId,
) -> Result<Option<ExpectedLoad>, IdError> {
    let Some(switch) = plant.switches.get(switch) else { return Ok(None) };
    let network = Network::of(plant)?;
    let loads = Loads::of(plant, &network, request, None)?;
    Ok(Some(loads.expected(&switch.id, Some(switch))))
}

/// The switches as they stand once every loop point that may be closed onto load is closed; none
/// where that never comes before the openings.
pub(super) fn tied(
    network: &Network,
    plant: &Plant,
    request: &Request,
    rules: &RuleSheet,
) -> Option<SwitchStates> {
    if !rules.allow_paralleling {
        return None;
    }
    let mut states = request.states.clone();
    for branch in network.branches().filter(|b| is_loop_point(b, request)) {
        if plant.switches.get(&branch.id).is_some_and(makes_load) {
            states.insert(branch.id.clone(), SwitchState::Closed);
        }
    }
    Some(states)
}

/// True for what stands open as it normally does. What somebody opened for their own work is no loop
/// point.
pub(super) fn is_loop_point(branch: &Branch, request: &Request) -> bool {
    branch.is_open(&request.states) && matches!(branch.kind, BranchKind::Opens(_, Normally::Open))
}

/// True for what may be closed onto load, and opened again under it.
pub(super) fn makes_load(switch: &Switch) -> bool {
    switch.load_break > amps(0.0) && switch.device != Device::LugPair
}

/// Whole amps, never rounded down.
fn up(current: Current) -> u32 {
    whole(libm::ceil(in_amps(current) - 1e-6))
}
