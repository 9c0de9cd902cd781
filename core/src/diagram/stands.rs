//! How everything stands now: what is open, lifted, grounded and proven dead.

use std::collections::{BTreeMap, BTreeSet};

use crate::job::{State, covered, load_side, lugs};
use crate::plant::{Plant, SwitchStates};
use crate::quantity::{AssetId, IdError, Instant, NodeId};

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
        let present = state.present(plant)?;
        let mut stands = Self {
            states: present.states,
            grounded: physical.grounds.keys().cloned().collect(),
            ..Self::default()
        };
        for (set, legs) in &physical.legs {
            for lug in lugs(plant, set) {
                let capped = legs.values().all(|leg| leg.capped.is_some());
                let lifted = Lifted { legs: legs.len(), of: lug.legs.len(), capped };
                stands.lifted.insert(lug.id.clone(), lifted);
            }
        }
        let shorted = physical.shorts.keys().flat_map(|set| lugs(plant, set));
        stands.shorted = shorted.map(|lug| load_side(plant, lug)).collect();
        for dead in state.proofs.dead.values() {
            for node in covered(plant, dead.zone())? {
                let last = stands.proven.entry(node).or_insert_with(|| dead.closed().clone());
                if last.wall_ms < dead.closed().wall_ms {
                    *last = dead.closed().clone();
                }
            }
        }
        Ok(stands)
    }
}
