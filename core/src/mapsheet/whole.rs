//! Whether what stands on a sheet holds together by name: tags, meters, pads, lug positions, systems.

use std::collections::{BTreeMap, BTreeSet};

use super::finding::{Finding, FindingId};
use crate::plant::{Conductor, Device, Features, Switch, Transformer, VoltageSystem, plain};
use crate::quantity::{AssetId, NodeId};

/// Every finding about names; `pads` are the ids of all pads of the file, read or not, and `whole`
/// says that every feature could be read.
pub(super) fn check(
    features: &Features,
    pads: &BTreeSet<String>,
    whole: bool,
    tell: &mut dyn FnMut(Finding),
) {
    tags(features, tell);
    meters(features, tell);
    known_pads(features, pads, tell);
    positions(features, tell);
    lugs(features, tell);
    systems(features, tell);
    if whole {
        contents(features, tell);
    }
}

/// Gives a lug pair that names no legs those of the system it is on.
pub(super) fn fill_legs(features: &mut Features) {
    let systems = systems_by_bus(features);
    for switch in features.switches.values_mut() {
        if switch.device == Device::LugPair && switch.legs.is_empty() {
            let system = systems.get(&switch.from).or_else(|| systems.get(&switch.to));
            let system = system.copied().unwrap_or(VoltageSystem::Split120_240);
            switch.legs = system.legs().to_vec();
        }
    }
}

fn systems_by_bus(features: &Features) -> BTreeMap<NodeId, VoltageSystem> {
    features.transformers.values().map(|t| (t.secondary.clone(), t.system)).collect()
}

fn tags(features: &Features, tell: &mut dyn FnMut(Finding)) {
    let mut first: BTreeMap<String, &AssetId> = BTreeMap::new();
    for pad in features.pads.values() {
        for tag in &pad.tags {
            if let Some(other) = first.insert(plain(tag), &pad.id) {
                let says = if other == &pad.id {
                    format!("tag '{tag}' stands twice: name it once")
                } else {
                    format!("tag '{tag}' is on pad '{other}' too: one of them is wrong")
                };
                tell(Finding::of(FindingId::DuplicateTag, pad.id.as_str(), "tags", says));
            }
        }
    }
}

fn meters(features: &Features, tell: &mut dyn FnMut(Finding)) {
    let mut first: BTreeMap<String, &AssetId> = BTreeMap::new();
    for service in features.services.values() {
        for meter in &service.meters {
            if let Some(other) = first.insert(plain(meter), &service.id) {
                let says = if other == &service.id {
                    format!("meter number '{meter}' stands twice: name it once")
                } else {
                    format!("meter number '{meter}' is at service '{other}' too: one is wrong")
                };
                let id = FindingId::DuplicateMeter;
                tell(Finding::of(id, service.id.as_str(), "meters", says));
            }
        }
    }
}

fn known_pads(features: &Features, pads: &BTreeSet<String>, tell: &mut dyn FnMut(Finding)) {
    let switches = features.switches.values().filter_map(|s| Some((&s.id, s.pad.as_ref()?)));
    let sets = features.sets.values().filter_map(|s| Some((&s.id, s.pad.as_ref()?)));
    let units = features.transformers.values().map(|t| (&t.id, &t.pad));
    for (id, pad) in switches.chain(sets).chain(units) {
        if !pads.contains(pad.as_str()) {
            let says = format!("there is no pad '{pad}' on the sheet: correct the name");
            tell(Finding::of(FindingId::UnknownPad, id.as_str(), "pad", says));
        }
    }
}

/// What names each pad as its own.
fn inside(features: &Features) -> BTreeMap<&AssetId, BTreeSet<&AssetId>> {
    let mut inside: BTreeMap<&AssetId, BTreeSet<&AssetId>> = BTreeMap::new();
    let mut put = |pad: Option<&'_ AssetId>, id| {
        if let Some(pad) = pad.and_then(|p| features.pads.get(p)) {
            inside.entry(&pad.id).or_default().insert(id);
        }
    };
    features.switches.values().for_each(|s| put(s.pad.as_ref(), &s.id));
    features.sets.values().for_each(|s| put(s.pad.as_ref(), &s.id));
    features.transformers.values().for_each(|t| put(Some(&t.pad), &t.id));
    inside
}

/// Lists in these pads what names each as its own.
pub(super) fn fill_contents(features: &mut Features, pads: &BTreeSet<AssetId>) {
    let listed: Vec<(AssetId, Vec<AssetId>)> = inside(features)
        .into_iter()
        .filter(|(pad, _)| pads.contains(*pad))
        .map(|(pad, ids)| (pad.clone(), ids.into_iter().cloned().collect()))
        .collect();
    for (pad, ids) in listed {
        if let Some(pad) = features.pads.get_mut(&pad) {
            pad.contains = ids;
        }
    }
}

/// What a pad contains by its own word, against what says that it is in the pad.
fn contents(features: &Features, tell: &mut dyn FnMut(Finding)) {
    let inside = inside(features);
    let nothing = BTreeSet::new();
    for pad in features.pads.values() {
        let really = inside.get(&pad.id).unwrap_or(&nothing);
        let said: BTreeSet<&AssetId> = pad.contains.iter().collect();
        let mut note = |says| {
            let id = FindingId::PadDisagrees;
            tell(Finding::of(id, pad.id.as_str(), "contains", says));
        };
        for id in said.difference(really) {
            note(format!("'{id}' is not on the sheet, or names another pad as its own"));
        }
        for id in really.difference(&said) {
            note(format!("'{id}' names this pad as its own and is not listed"));
        }
        if said.len() < pad.contains.len() {
            note("lists something twice".to_owned());
        }
    }
}

fn lug_pairs(features: &Features) -> impl Iterator<Item = &Switch> {
    features.switches.values().filter(|s| s.device == Device::LugPair)
}

fn positions(features: &Features, tell: &mut dyn FnMut(Finding)) {
    let mut first: BTreeMap<(&AssetId, &str), &AssetId> = BTreeMap::new();
    for lug in lug_pairs(features) {
        let (Some(pad), Some(position)) = (&lug.pad, &lug.position) else { continue };
        if let Some(other) = first.insert((pad, position), &lug.id) {
            let says = format!("position '{position}' of pad '{pad}' is lug pair '{other}' too");
            let id = FindingId::DuplicatePosition;
            tell(Finding::of(id, lug.id.as_str(), "position", says));
        }
    }
}

/// A set that leaves a pad, against the lug pair it starts at.
fn lugs(features: &Features, tell: &mut dyn FnMut(Finding)) {
    let mut lugs_at: BTreeMap<&NodeId, Vec<&Switch>> = BTreeMap::new();
    for lug in lug_pairs(features) {
        lugs_at.entry(&lug.from).or_default().push(lug);
        lugs_at.entry(&lug.to).or_default().push(lug);
    }
    for set in features.sets.values() {
        let mut note = |field: &str, says: String| {
            tell(Finding::of(FindingId::LugDisagrees, set.id.as_str(), field, says));
        };
        let at_lug = lugs_at.get(&set.from).map_or(&[][..], Vec::as_slice);
        match (at_lug.first(), &set.pad) {
            (Some(lug), None) => {
                note("pad", format!("starts at lug pair '{}' and names no pad", lug.id));
            }
            (Some(lug), Some(pad)) if lug.pad.as_ref() != Some(pad) => {
                note("pad", format!("starts at lug pair '{}', which is in another pad", lug.id));
            }
            _ => {}
        }
        if let Some(lug) = at_lug.first().filter(|l| l.position != set.position) {
            note("position", format!("starts at lug pair '{}', at another position", lug.id));
        }
        if let [one, other, ..] = at_lug {
            note("from", format!("starts at two lug pairs, '{}' and '{}'", one.id, other.id));
        }
    }
}

/// Services and lug pairs against the voltage system of the transformer that feeds them.
fn systems(features: &Features, tell: &mut dyn FnMut(Finding)) {
    let by_bus = systems_by_bus(features);
    let fed_by = units_by_node(features);
    for service in features.services.values() {
        for unit in fed_by.get(&service.node).into_iter().flatten() {
            if !gives(unit.system, service.system) {
                let says = format!(
                    "the service is {}, its transformer '{}' gives {}",
                    service.system, unit.id, unit.system
                );
                let id = FindingId::SystemDisagrees;
                tell(Finding::of(id, service.id.as_str(), "system", says));
            }
        }
    }
    for lug in lug_pairs(features) {
        let system = by_bus.get(&lug.from).or_else(|| by_bus.get(&lug.to));
        let stray = |leg: &&Conductor| system.is_some_and(|s| !s.legs().contains(leg));
        if let Some(leg) = lug.legs.iter().find(stray) {
            let says = format!("the transformer here has no leg {leg}");
            tell(Finding::of(FindingId::SystemDisagrees, lug.id.as_str(), "legs", says));
        }
    }
}

/// At each node of the secondary network, one transformer of each system that reaches it.
fn units_by_node(features: &Features) -> BTreeMap<&NodeId, Vec<&Transformer>> {
    let mut next: BTreeMap<&NodeId, Vec<&NodeId>> = BTreeMap::new();
    let lugs = lug_pairs(features).map(|l| (&l.from, &l.to));
    for (one, other) in lugs.chain(features.sets.values().map(|s| (&s.from, &s.to))) {
        next.entry(one).or_default().push(other);
        next.entry(other).or_default().push(one);
    }
    let mut at_node: BTreeMap<&NodeId, Vec<&Transformer>> = BTreeMap::new();
    for unit in features.transformers.values() {
        let mut waiting = vec![&unit.secondary];
        while let Some(node) = waiting.pop() {
            let here = at_node.entry(node).or_default();
            if here.iter().all(|other| other.system != unit.system) {
                here.push(unit);
                waiting.extend(next.get(node).into_iter().flatten());
            }
        }
    }
    at_node
}

/// Whether a transformer bank of one system can feed a service of the other.
fn gives(bank: VoltageSystem, service: VoltageSystem) -> bool {
    bank == service
        || matches!(
            (bank, service),
            (VoltageSystem::Delta120_240, VoltageSystem::Split120_240)
                | (VoltageSystem::Wye208, VoltageSystem::Network208)
        )
}
