//! How everything stands now: what is open, lifted, grounded and proven dead.

use std::collections::{BTreeMap, BTreeSet};

use crate::job::State;
use crate::plant::{Device, Plant, Switch, SwitchState, SwitchStates, derived};
use crate::proof::Zone;
use crate::quantity::{AssetId, IdError, Instant, NodeId};
use crate::sighting::SetAt;

/// How far a set is lifted off its lugs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lifted {
    /// How many legs are off.
    pub legs: usize,
    /// Of how many.
    pub of: usize,
    /// Whether each of them is capped.
    pub capped: bool,
}

/// What stands otherwise than the record's normal state, and what is proven. By default nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stands {
    /// Everything that opens and was operated; meters, mains and own sources by their derived names.
    /// A set counts as open only with every leg off.
    pub states: SwitchStates,
    /// Sets with legs off, by lug pair.
    pub lifted: BTreeMap<AssetId, Lifted>,
    /// Lifted ends that are shorted to neutral.
    pub shorted: BTreeSet<NodeId>,
    /// Where grounds are on.
    pub grounded: BTreeSet<NodeId>,
    /// Where a proof of dead stands, and when it was ended.
    pub proven: BTreeMap<NodeId, Instant>,
}

impl Stands {
    /// How a job stands, on its map as the field corrected it.
    pub fn of_job(state: &State, plant: &Plant) -> Result<Self, IdError> {
        let physical = &state.physical;
        let mut stands = Self {
            states: physical.switch_states(),
            grounded: physical.grounds.keys().cloned().collect(),
            ..Self::default()
        };
        for (set, legs) in &physical.legs {
            for lug in lugs(plant, set) {
                let off = lug.legs.iter().filter(|leg| legs.contains_key(leg)).count();
                let capped = legs.values().all(|leg| leg.capped.is_some());
                let lifted = Lifted { legs: legs.len(), of: lug.legs.len(), capped };
                if off == lug.legs.len() && off > 0 {
                    stands.states.insert(lug.id.clone(), SwitchState::Open);
                }
                stands.lifted.insert(lug.id.clone(), lifted);
            }
        }
        let shorted = physical.shorts.keys().flat_map(|set| lugs(plant, set));
        stands.shorted = shorted.map(|lug| load_side(plant, lug)).collect();
        let open = |open| if open { SwitchState::Open } else { SwitchState::Closed };
        if physical.meter_out.is_some()
            && let Some(target) = state.target()
        {
            stands.states.insert(derived::meter(target)?, SwitchState::Open);
        }
        for (service, main) in &physical.mains {
            stands.states.insert(derived::main(service)?, open(main.open));
        }
        for (service, sources) in &physical.sources {
            let count = plant.services.get(service).map_or(0, |s| s.sources.len());
            for number in 1..=count {
                stands.states.insert(derived::source(service, number)?, open(sources.off));
            }
        }
        for dead in state.proofs.dead.values() {
            for node in proven(plant, dead.zone())? {
                let last = stands.proven.entry(node).or_insert_with(|| dead.closed().clone());
                if last.wall_ms < dead.closed().wall_ms {
                    *last = dead.closed().clone();
                }
            }
        }
        Ok(stands)
    }
}

/// The lug pairs of a set as people name it.
fn lugs<'a>(plant: &'a Plant, set: &SetAt) -> impl Iterator<Item = &'a Switch> {
    plant.switches.values().filter(move |switch| {
        switch.device == Device::LugPair
            && switch.pad.as_ref() == Some(&set.pad)
            && switch.position.as_deref() == Some(&set.position)
    })
}

/// The side of a lug pair that is no transformer's.
pub(super) fn load_side(plant: &Plant, lug: &Switch) -> NodeId {
    let is_bus = plant.transformers.values().any(|unit| unit.secondary == lug.to);
    if is_bus { lug.from.clone() } else { lug.to.clone() }
}

/// What a proof of a zone covers: the places that were read, and nothing beyond them. A cable is
/// dead on the drawing when both its ends are. Where the record does not say which of several buses
/// or lugs was read, none counts.
fn proven(plant: &Plant, zone: &Zone) -> Result<BTreeSet<NodeId>, IdError> {
    let nodes: BTreeSet<NodeId> = match zone {
        Zone::MeterBase { service } => {
            let line = plant.services.get(service).map(|s| s.node.clone());
            return Ok(line.into_iter().chain([derived::load_node(service)?]).collect());
        }
        Zone::LiftedLegs { pad, position } => {
            let set = SetAt { pad: pad.clone(), position: position.clone() };
            lugs(plant, &set).map(|lug| load_side(plant, lug)).collect()
        }
        Zone::PadBus { pad } => {
            let units = plant.transformers.values().filter(|unit| unit.pad == *pad);
            units.map(|unit| unit.secondary.clone()).collect()
        }
    };
    Ok(if nodes.len() == 1 { nodes } else { BTreeSet::new() })
}
