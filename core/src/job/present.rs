//! How everything that opens stands now: one answer for the plan and for its drawing.

use std::collections::{BTreeMap, BTreeSet};

use super::{state::State, tagged::is_lug_of};
use crate::{
    plant::{Conductor, Normally, Plant, Switch, SwitchState, SwitchStates, derived},
    quantity::{AssetId, IdError},
    sighting::SetAt,
};

/// What stands otherwise than the record's normal state, by what the job did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Present {
    /// Everything that opens and was operated; meters, mains and own sources by their derived names.
    /// A set counts as open only with every leg off.
    pub states: SwitchStates,
    /// Legs that are off their lugs, by lug pair.
    pub lifted: BTreeMap<AssetId, BTreeSet<Conductor>>,
}

impl State {
    /// How everything stands, on the map as the field corrected it. What the map does not know as
    /// something that opens is left out, switches excepted: a plan is refused for those.
    pub fn present(&self, plant: &Plant) -> Result<Present, IdError> {
        let physical = &self.physical;
        let mut present = Present { states: physical.switch_states(), ..Present::default() };
        for (set, legs) in &physical.legs {
            for lug in lugs(plant, set) {
                let off = lug.legs.iter().filter(|leg| legs.contains_key(leg)).copied();
                let off: BTreeSet<Conductor> = off.collect();
                if off.len() == lug.legs.len() && !off.is_empty() {
                    present.states.insert(lug.id.clone(), SwitchState::Open);
                }
                present.lifted.insert(lug.id.clone(), off);
            }
        }
        let open = |open| if open { SwitchState::Open } else { SwitchState::Closed };
        let of_target = self.target().and_then(|target| plant.services.get(target));
        if let Some(target) = of_target.filter(|target| !target.meters.is_empty())
            && physical.meter_out.is_some()
        {
            present.states.insert(derived::meter(&target.id)?, SwitchState::Open);
        }
        for (service, main) in &physical.mains {
            if plant.services.contains_key(service) {
                present.states.insert(derived::main(service)?, open(main.open));
            }
        }
        for (service, sources) in &physical.sources {
            let count = plant.services.get(service).map_or(0, |s| s.sources.len());
            for number in 1..=count {
                present.states.insert(derived::source(service, number)?, open(sources.off));
            }
        }
        Ok(present)
    }
}

impl Present {
    /// What the job opened, and so puts back.
    pub(super) fn opened(&self, plant: &Plant) -> BTreeSet<AssetId> {
        self.otherwise(plant, SwitchState::Open)
    }

    /// Loop points that the job closed, and so opens again.
    pub(super) fn picked_up(&self, plant: &Plant) -> BTreeSet<AssetId> {
        self.otherwise(plant, SwitchState::Closed)
    }

    /// What stands so now and normally does not; what the map derives from a service is closed
    /// normally.
    fn otherwise(&self, plant: &Plant, stands: SwitchState) -> BTreeSet<AssetId> {
        let normally = |id| plant.switches.get(id).map_or(Normally::Closed, |s| s.normally);
        let differs = |id| match stands {
            SwitchState::Open => normally(id) == Normally::Closed,
            SwitchState::Closed => normally(id) == Normally::Open,
        };
        let so = self.states.iter().filter(|&(id, state)| *state == stands && differs(id));
        so.map(|(id, _)| id.clone()).collect()
    }
}

/// The lug pairs of a set as people name it.
pub(crate) fn lugs<'a>(plant: &'a Plant, set: &SetAt) -> impl Iterator<Item = &'a Switch> {
    plant.switches.values().filter(move |switch| is_lug_of(switch, set))
}
