//! What is known of each node and branch: whether it is live, what opens it, whose it is.

use std::collections::{BTreeMap, BTreeSet};

use super::{Asked, in_order_of_steps, web::Flags, web::Web};
use crate::isolate::SourceKind;
use crate::plant::{
    Branch, BranchKind, CustomerSourceKind, Device, Network, Normally, Pedestal, Service, Set,
    Source, Switch, SwitchState, SwitchStates, Transformer, derived,
};
use crate::quantity::{AssetId, IdError, Instant, NodeId};

/// Whether a conductor is live. The worse comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// A feeder reaches it over what stands closed.
    Live,
    /// No feeder reaches it as the record has it, and nothing proves it dead: treated as live.
    NotProven,
    /// Proven dead, and no feeder reaches it.
    Dead,
}

impl Status {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Live => "diagram-live",
            Self::NotProven => "diagram-not-proven",
            Self::Dead => "diagram-dead",
        }
    }

    pub(super) const fn verdict(self) -> &'static str {
        match self {
            Self::Live => "diagram-zone-live",
            Self::NotProven => "diagram-zone-not-proven",
            Self::Dead => "diagram-zone-dead",
        }
    }
}

/// What a node behind a meter is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Behind {
    /// The load side of the base.
    Load,
    /// Behind the main.
    House,
    /// A source of the customer's own.
    Own(CustomerSourceKind),
}

/// Everything the drawing asks.
pub(super) struct Facts<'a> {
    pub(super) asked: &'a Asked<'a>,
    pub(super) web: Web<'a>,
    pub(super) zone: Flags,
    /// The number of each opening of the plan.
    pub(super) numbers: BTreeMap<AssetId, usize>,
    /// The pads that feed the target.
    pub(super) pads: BTreeSet<AssetId>,
    /// Services whose meter, main and own sources are drawn.
    pub(super) opened_up: BTreeSet<AssetId>,
    pub(super) feeders: BTreeMap<usize, &'a Source>,
    pub(super) services: BTreeMap<usize, &'a Service>,
    pub(super) pedestals: BTreeMap<usize, &'a Pedestal>,
    /// What is behind the meter of a service that is opened up.
    pub(super) behind: BTreeMap<usize, (&'a Service, Behind)>,
    pad_of_node: BTreeMap<usize, &'a AssetId>,
    status: Vec<Status>,
    /// Services whose own sources nobody has ruled out.
    possible: BTreeSet<&'a AssetId>,
}

impl<'a> Facts<'a> {
    pub(super) fn new(asked: &'a Asked<'a>, network: &'a Network) -> Result<Self, IdError> {
        let (plant, found) = (asked.plant, asked.found);
        let web = Web::of(network);
        let mut zone = Flags::none(web.nodes());
        found.zone.iter().filter_map(|n| web.number(n)).for_each(|n| zone.put(n, true));
        let order = asked.plan.map(in_order_of_steps).unwrap_or_default();
        let numbers = order.into_iter().zip(1..).collect::<BTreeMap<AssetId, usize>>();
        let mut facts = Self {
            pads: plant.feeds_of(&found.service).into_iter().filter_map(|f| f.pad).collect(),
            opened_up: BTreeSet::from([found.service.clone()]),
            feeders: at(&web, plant.sources.values().map(|s| (&s.node, s))),
            services: at(&web, plant.services.values().map(|s| (&s.node, s))),
            pedestals: at(&web, plant.pedestals.values().map(|p| (&p.node, p))),
            behind: BTreeMap::new(),
            pad_of_node: BTreeMap::new(),
            possible: found
                .sources
                .iter()
                .chain(&found.grounded_against)
                .filter(|s| s.kind == SourceKind::PossibleCustomer)
                .map(|s| &s.id)
                .collect(),
            status: Vec::new(),
            asked,
            web,
            zone,
            numbers,
        };
        let in_pad =
            plant.switches.values().filter_map(|s| Some((s.pad.as_ref()?, [&s.from, &s.to])));
        let units = plant.transformers.values().map(|t| (&t.pad, [&t.primary, &t.secondary]));
        for (pad, nodes) in in_pad.chain(units) {
            for node in nodes.into_iter().filter_map(|n| facts.web.number(n)) {
                facts.pad_of_node.entry(node).or_insert(pad);
            }
        }
        facts.open_up()?;
        facts.status = facts.statuses();
        Ok(facts)
    }

    /// Finds the services of which more is drawn than that they are there.
    fn open_up(&mut self) -> Result<(), IdError> {
        let stands = self.asked.stands;
        for service in self.asked.plant.services.values() {
            let mut own = vec![derived::meter(&service.id)?, derived::main(&service.id)?];
            for number in 1..=service.sources.len() {
                own.push(derived::source(&service.id, number)?);
            }
            let touched =
                own.iter().any(|b| self.numbers.contains_key(b) || stands.states.contains_key(b));
            let marked = |node: &NodeId| {
                stands.grounded.contains(node)
                    || stands.shorted.contains(node)
                    || stands.proven.contains_key(node)
            };
            if touched || marked(&service.node) || marked(&derived::load_node(&service.id)?) {
                self.opened_up.insert(service.id.clone());
            }
            if self.opened_up.contains(&service.id) {
                let mut place = |node: &NodeId, what| {
                    let node = self.web.number(node);
                    node.map(|node| self.behind.insert(node, (service, what)));
                };
                place(&derived::load_node(&service.id)?, Behind::Load);
                place(&derived::house_node(&service.id)?, Behind::House);
                for (number, source) in (1..).zip(&service.sources) {
                    place(&derived::source_node(&service.id, number)?, Behind::Own(source.kind));
                }
            }
        }
        Ok(())
    }

    fn statuses(&self) -> Vec<Status> {
        let live = self.web.walk(self.feeders.keys().copied(), |edge| !self.is_open(edge)).reached;
        let status = |node: usize| {
            let name = self.web.name(node);
            if live.has(node) {
                Status::Live
            } else if name.is_some_and(|n| self.asked.stands.proven.contains_key(n)) {
                Status::Dead
            } else {
                Status::NotProven
            }
        };
        (0..self.web.nodes()).map(status).collect()
    }

    /// How a node stands; one that is not known is live.
    pub(super) fn status(&self, node: usize) -> Status {
        self.status.get(node).copied().unwrap_or(Status::Live)
    }

    /// How a conductor stands: as the worse of its ends.
    pub(super) fn between(&self, one: usize, other: usize) -> Status {
        self.status(one).min(self.status(other))
    }

    /// How the zone stands: as the worst of it.
    pub(super) fn zone_status(&self) -> Status {
        self.zone.all().map(|node| self.status(node)).min().unwrap_or(Status::Live)
    }

    /// Since when the whole zone is proven dead: the oldest proof of it; none where it is not.
    pub(super) fn zone_proven_at(&self) -> Option<&'a Instant> {
        if self.zone_status() != Status::Dead {
            return None;
        }
        let names = self.zone.all().filter_map(|node| self.web.name(node));
        let proofs = names.filter_map(|name| self.asked.stands.proven.get(name));
        proofs.min_by_key(|at| at.wall_ms)
    }

    pub(super) fn is_open(&self, edge: usize) -> bool {
        self.web.branch(edge).is_some_and(|b| b.is_open(&self.asked.stands.states))
    }

    /// How the record has it with nothing operated.
    pub(super) fn is_open_normally(&self, edge: usize) -> bool {
        self.web.branch(edge).is_some_and(|b| b.is_open(&SwitchStates::new()))
    }

    /// Whether the branch is part of a service: its meter, main or own source.
    pub(super) fn is_derived(branch: &Branch) -> bool {
        match branch.kind {
            BranchKind::Opens(device, _) => {
                matches!(device, Device::Meter | Device::Main | Device::SourceDisconnect)
            }
            BranchKind::Unmetered => true,
            BranchKind::Cable | BranchKind::Transformer | BranchKind::Set => false,
        }
    }

    /// Whether the branch is drawn at all: of most services only that they are there.
    pub(super) fn is_seen(&self, edge: usize) -> bool {
        let Some(branch) = self.web.branch(edge) else { return false };
        if !Self::is_derived(branch) {
            return true;
        }
        let of = branch.id.as_str().rsplit_once('/').map_or("", |(service, _)| service);
        AssetId::new(of).is_ok_and(|service| self.opened_up.contains(&service))
    }

    pub(super) fn number_of(&self, branch: &Branch) -> Option<usize> {
        self.numbers.get(&branch.id).copied()
    }

    pub(super) fn switch(&self, branch: &Branch) -> Option<&'a Switch> {
        self.asked.plant.switches.get(&branch.id)
    }

    pub(super) fn unit(&self, branch: &Branch) -> Option<&'a Transformer> {
        self.asked.plant.transformers.get(&branch.id)
    }

    /// The pad a branch is in.
    pub(super) fn pad_of(&self, branch: &Branch) -> Option<&'a AssetId> {
        let switch = self.switch(branch).and_then(|s| s.pad.as_ref());
        switch.or_else(|| self.unit(branch).map(|u| &u.pad))
    }

    /// The pad a node is in: that of the first thing there that is in one.
    pub(super) fn pad_of_node(&self, node: usize) -> Option<&'a AssetId> {
        self.pad_of_node.get(&node).copied()
    }

    /// Whether something is on a node that must be seen.
    pub(super) fn is_marked(&self, node: usize) -> bool {
        let stands = self.asked.stands;
        self.web.name(node).is_some_and(|n| {
            stands.grounded.contains(n)
                || stands.shorted.contains(n)
                || stands.proven.contains_key(n)
        })
    }

    /// Whether a switch is where it is on every quiet day: closed, and nobody touched it.
    pub(super) fn is_at_rest(&self, branch: &Branch) -> bool {
        let stands = self.asked.stands;
        !matches!(branch.kind, BranchKind::Opens(_, Normally::Open))
            && stands.states.get(&branch.id) != Some(&SwitchState::Open)
            && !stands.lifted.contains_key(&branch.id)
            && !self.numbers.contains_key(&branch.id)
    }

    pub(super) fn is_possible_source(&self, service: &AssetId) -> bool {
        self.possible.contains(service)
    }

    /// Whether any customer beyond the target may feed back.
    pub(super) fn may_feed_back(&self) -> bool {
        self.possible.iter().any(|id| **id != self.asked.found.service)
    }

    /// The sets that begin at a node, with what they feed.
    pub(super) fn sets_from(&self, node: usize) -> Vec<&'a Set> {
        let plant = self.asked.plant;
        let sets = self.web.at(node).iter().filter_map(|&e| self.web.branch(e));
        sets.filter_map(|b| plant.sets.get(&b.id)).collect()
    }
}

fn at<'a, T>(
    web: &Web<'a>,
    all: impl Iterator<Item = (&'a NodeId, &'a T)>,
) -> BTreeMap<usize, &'a T> {
    let mut map = BTreeMap::new();
    for (node, thing) in all {
        if let Some(node) = web.number(node) {
            map.entry(node).or_insert(thing);
        }
    }
    map
}
