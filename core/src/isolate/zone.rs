//! What is asked: the work zone of a scope, and the sources that must be kept from it.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::{SourceKind, SourceRef};
use super::read::ReadAmps;
use crate::gate::Scope;
use crate::plant::{Conductor, Device, FeedError, Plant, SwitchState, SwitchStates, derived};
use crate::quantity::{AssetId, IdError, NodeId};
use crate::rule_sheet::RuleSheet;

/// What a plan is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The target.
    pub service: AssetId,
    /// What is worked on.
    pub scope: Scope,
    /// What stands otherwise than normally now.
    pub states: SwitchStates,
    /// What of that was opened for this very work: it is put back in the end.
    pub opened_here: BTreeSet<AssetId>,
    /// Loop points that were closed for it meanwhile: they are opened again on the way back.
    pub picked_up: BTreeSet<AssetId>,
    /// Legs that are off their lugs already, by lug pair.
    pub lifted: BTreeMap<AssetId, BTreeSet<Conductor>>,
    /// Services whose own sources are ruled out by what was found there, beyond those on the record.
    pub sources_ruled_out: BTreeSet<AssetId>,
    /// What was read of what flows through a branch now.
    pub loads: BTreeMap<AssetId, ReadAmps>,
}

/// Why no plan can be asked for.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RequestError {
    /// No such service, or no feed where the scope needs one.
    #[error(transparent)]
    Feed(#[from] FeedError),
    /// The feed leads to no pad.
    #[error("the map sheet shows no pad that feeds service '{service}'")]
    NoPad {
        /// The service.
        service: AssetId,
    },
    /// No cable joins the two nodes.
    #[error("no cable on the map sheet joins '{from}' and '{to}': check both names")]
    NoSuchCable {
        /// One end.
        from: NodeId,
        /// The other end.
        to: NodeId,
    },
    /// A switch state for something that is not on the sheet or does not open.
    #[error("'{branch}' is no switch on the map sheet: its state says nothing")]
    NoSuchSwitch {
        /// The name.
        branch: AssetId,
    },
    /// Amps for something that is not on the sheet.
    #[error("'{branch}' is not on the map sheet: amps read there say nothing")]
    NoSuchBranch {
        /// The name.
        branch: AssetId,
    },
    /// A name that cannot be derived.
    #[error(transparent)]
    Name(#[from] IdError),
}

impl Request {
    /// The request for a plant as it normally stands, with nothing ruled out.
    pub fn new(service: AssetId, scope: Scope) -> Self {
        Self {
            service,
            scope,
            states: SwitchStates::new(),
            opened_here: BTreeSet::new(),
            picked_up: BTreeSet::new(),
            lifted: BTreeMap::new(),
            sources_ruled_out: BTreeSet::new(),
            loads: BTreeMap::new(),
        }
    }

    /// Whether a branch was operated and stands open.
    pub(super) fn is_open(&self, branch: &AssetId) -> bool {
        self.states.get(branch) == Some(&SwitchState::Open)
    }

    /// True where the work is in the target's meter base.
    pub(super) const fn at_base(&self) -> bool {
        matches!(self.scope, Scope::BaseLineSide | Scope::BaseBothSides)
    }
}

/// The nodes of the zone, in order.
pub(super) fn zone(
    plant: &Plant,
    request: &Request,
    rules: &RuleSheet,
) -> Result<BTreeSet<NodeId>, RequestError> {
    let id = &request.service;
    let service =
        plant.services.get(id).ok_or_else(|| FeedError::UnknownService { service: id.clone() })?;
    match &request.scope {
        Scope::BaseLineSide => Ok(BTreeSet::from([service.node.clone()])),
        Scope::BaseBothSides => Ok(BTreeSet::from([service.node.clone(), derived::load_node(id)?])),
        Scope::PadSecondary => secondary(plant, &pads(plant, id)?, rules, id),
        Scope::PadPrimary => primary(plant, &pads(plant, id)?, id),
        Scope::Cable { from, to } => {
            let joined = plant
                .cables
                .values()
                .any(|c| (&c.from, &c.to) == (from, to) || (&c.to, &c.from) == (from, to));
            if !joined {
                return Err(RequestError::NoSuchCable { from: from.clone(), to: to.clone() });
            }
            Ok(BTreeSet::from([from.clone(), to.clone()]))
        }
    }
}

fn pads(plant: &Plant, service: &AssetId) -> Result<BTreeSet<AssetId>, RequestError> {
    let feeds = plant.feeds_of(service);
    if feeds.is_empty() {
        return Err(FeedError::NotFed { service: service.clone() }.into());
    }
    Ok(feeds.into_iter().filter_map(|f| f.pad).collect())
}

fn secondary(
    plant: &Plant,
    pads: &BTreeSet<AssetId>,
    rules: &RuleSheet,
    service: &AssetId,
) -> Result<BTreeSet<NodeId>, RequestError> {
    let units = plant.transformers.values().filter(|t| pads.contains(&t.pad));
    let mut zone: BTreeSet<NodeId> = units.map(|t| t.secondary.clone()).collect();
    if !rules.allow_lug_opening_in_own_compartment {
        let inside = |pad: &Option<AssetId>| pad.as_ref().is_some_and(|p| pads.contains(p));
        let lugs =
            plant.switches.values().filter(|s| s.device == Device::LugPair && inside(&s.pad));
        zone.extend(lugs.flat_map(|l| [l.from.clone(), l.to.clone()]));
    }
    filled(zone, service)
}

fn primary(
    plant: &Plant,
    pads: &BTreeSet<AssetId>,
    service: &AssetId,
) -> Result<BTreeSet<NodeId>, RequestError> {
    let units = plant.transformers.values().filter(|t| pads.contains(&t.pad));
    let mut zone: BTreeSet<NodeId> = units.map(|t| t.primary.clone()).collect();
    let inside = |pad: &Option<AssetId>| pad.as_ref().is_some_and(|p| pads.contains(p));
    let switches =
        plant.switches.values().filter(|s| s.device != Device::LugPair && inside(&s.pad));
    zone.extend(switches.flat_map(|s| [s.from.clone(), s.to.clone()]));
    filled(zone, service)
}

fn filled(zone: BTreeSet<NodeId>, service: &AssetId) -> Result<BTreeSet<NodeId>, RequestError> {
    if zone.is_empty() {
        return Err(RequestError::NoPad { service: service.clone() });
    }
    Ok(zone)
}

/// Every source of the plant: feeders, customers' own, and those nobody has ruled out.
pub(super) fn sources(plant: &Plant, request: &Request) -> Result<Vec<SourceRef>, IdError> {
    let mut all: Vec<SourceRef> = plant
        .sources
        .values()
        .map(|s| SourceRef { node: s.node.clone(), id: s.id.clone(), kind: SourceKind::Feeder })
        .collect();
    for service in plant.services.values() {
        for number in 1..=service.sources.len() {
            all.push(SourceRef {
                node: derived::source_node(&service.id, number)?,
                id: service.id.clone(),
                kind: SourceKind::KnownCustomer,
            });
        }
        if !request.sources_ruled_out.contains(&service.id) {
            all.push(SourceRef {
                node: derived::house_node(&service.id)?,
                id: service.id.clone(),
                kind: SourceKind::PossibleCustomer,
            });
        }
    }
    Ok(all)
}
