//! What to mind with a plan.

pub(super) mod at_step;

use std::collections::{BTreeMap, BTreeSet};

use super::plan::{Caution, CautionId, CustomerOut, Opening, PickUp};
use super::steps::{is_cable, three_phase};
use super::zone::Request;
use crate::plant::{Device, Metering, Plant};
use crate::quantity::{AssetId, NodeId};

/// What a plan does.
pub(super) struct Made<'a> {
    pub(super) openings: &'a [Opening],
    pub(super) customers_out: &'a [CustomerOut],
    pub(super) pick_ups: &'a [PickUp],
}

/// Every caution of a plan, in order.
pub(super) fn cautions(
    plant: &Plant,
    request: &Request,
    made: &Made<'_>,
    dead: &BTreeSet<NodeId>,
) -> Vec<Caution> {
    let mut all = BTreeSet::new();
    let mut note = |id, about: Option<&AssetId>| {
        all.insert(Caution { id, about: about.cloned() });
    };
    note(CautionId::NeutralNotDead, None);
    if is_cable(&request.scope) {
        note(CautionId::SuspectCable, None);
    }
    for out in made.customers_out.iter().filter(|out| out.critical.is_some()) {
        note(CautionId::CriticalCustomerOut, Some(&out.service));
    }
    let legs: BTreeMap<&AssetId, bool> =
        plant.transformers.values().map(|t| (&t.id, three_phase(t.system.legs()))).collect();
    let unit = plant
        .transformers
        .values()
        .find(|t| dead.contains(&t.primary) && legs.get(&t.id) == Some(&true));
    for opening in made.openings {
        let branch = Some(&opening.branch);
        if opening.expected.as_ref().is_some_and(|load| load.read_first) {
            note(CautionId::LoadNotKnown, branch);
        }
        if !opening.hold {
            of_device(opening.device, &opening.branch, &mut note);
        }
        if by_pole(opening.device) && !opening.hold && unit.is_some() {
            note(CautionId::Ferroresonance, branch);
        }
        if opening.service.is_none() && !opening.visible_break {
            note(CautionId::NoVisibleBreak, branch);
        }
        if !opening.lockable && opening.device != Device::LugPair {
            note(CautionId::NotLockable, branch);
        }
    }
    for pick_up in made.pick_ups {
        let branch = Some(&pick_up.close);
        note(CautionId::LoadNotKnown, branch);
        let Some(switch) = plant.switches.get(&pick_up.close) else { continue };
        of_device(switch.device, &switch.id, &mut note);
        if !switch.visible_break {
            note(CautionId::NoVisibleBreak, branch);
        }
        if by_pole(switch.device) && feeds_three_legs(plant, pick_up) {
            note(CautionId::Ferroresonance, branch);
        }
    }
    target(plant, request, &mut note);
    all.into_iter().collect()
}

/// Whether a device opens and closes one pole at a time.
const fn by_pole(device: Device) -> bool {
    matches!(device, Device::CutOut | Device::Elbow | Device::BayonetFuse)
}

/// Whether a pick-up brings back somebody who is fed by a unit of three legs.
fn feeds_three_legs(plant: &Plant, pick_up: &PickUp) -> bool {
    let feeds = pick_up.customers_back.iter().flat_map(|service| plant.feeds_of(service));
    let mut units =
        feeds.filter_map(|feed| feed.transformer).filter_map(|id| plant.transformers.get(&id));
    units.any(|unit| three_phase(unit.system.legs()))
}

/// What a fuse and an elbow ask for whenever they are moved. Cold: makers' sheets (no switching of a
/// fuse below -20 C in mineral oil, -10 C in natural ester, 0 C in fluid of high fire point; partial
/// vacuum of a cold elbow under light load).
fn of_device(device: Device, branch: &AssetId, note: &mut impl FnMut(CautionId, Option<&AssetId>)) {
    let ids: &[CautionId] = match device {
        Device::BayonetFuse => &[CautionId::FuseLastResort, CautionId::FluidCold],
        Device::Elbow => &[CautionId::ElbowTwoWorkers, CautionId::ElbowCold],
        _ => &[],
    };
    for &id in ids {
        note(id, Some(branch));
    }
}

fn target(plant: &Plant, request: &Request, note: &mut impl FnMut(CautionId, Option<&AssetId>)) {
    let id = &request.service;
    let Some(service) = plant.services.get(id) else { return };
    if service.system.neutral_is_protective_earth() {
        note(CautionId::NeutralIsEarth, Some(id));
    }
    if !service.sources.is_empty() {
        note(CautionId::KnownSource, Some(id));
    }
    if !request.sources_ruled_out.contains(id) {
        note(CautionId::PossibleSource, Some(id));
    }
    match service.metering {
        Some(Metering::Ct) => note(CautionId::CtMetering, Some(id)),
        None if !service.meters.is_empty() => note(CautionId::MeteringNotKnown, Some(id)),
        _ => {}
    }
    if service.unmetered_loads > 0 || service.meters.is_empty() {
        note(CautionId::UnmeteredLoads, Some(id));
    }
    let feeds = plant.feeds_of(id);
    if feeds.len() > 1 {
        note(CautionId::SeveralFeeds, Some(id));
    }
    for set in feeds.iter().filter_map(|f| f.sets.first()) {
        if plant.services_of_set(set).len() > 1 {
            note(CautionId::SharedSet, Some(set));
        }
    }
}
