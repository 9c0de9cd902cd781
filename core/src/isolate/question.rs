//! A network with its branches looked at, put as the bare question that is searched.

use std::collections::{BTreeMap, BTreeSet};

use super::graph::{Edge, Meeting, Problem, is};
use super::opening::{Openable, Openings};
use super::plan::{NotAllowed, Plan, SourceKind, SourceRef, WhyNot};
use super::zone::Request;
use crate::plant::{Branch, Network, Plant, Switch, Transformer, derived};
use crate::quantity::{AssetId, Current, IdError, NodeId, in_amps, in_kilovolt_amps, in_volts};

/// A network with its branches looked at, and the numbers the search knows them by.
pub(super) struct Question<'a> {
    pub(super) plant: &'a Plant,
    pub(super) request: &'a Request,
    pub(super) network: &'a Network,
    pub(super) zone: &'a BTreeSet<NodeId>,
    pub(super) sources: Vec<SourceRef>,
    pub(super) branches: Vec<&'a Branch>,
    pub(super) openable: Vec<Option<Openable<'a>>>,
    /// What each branch carries at most, where that was read.
    carries: Vec<Option<Current>>,
    pub(super) numbers: BTreeMap<&'a NodeId, usize>,
}

impl<'a> Question<'a> {
    pub(super) fn new(
        plant: &'a Plant,
        request: &'a Request,
        network: &'a Network,
        zone: &'a BTreeSet<NodeId>,
        sources: Vec<SourceRef>,
        openings: &Openings<'a>,
    ) -> Self {
        let branches: Vec<&Branch> = network.branches().collect();
        let openable = branches.iter().map(|b| openings.look(b)).collect();
        let carries = branches.iter().map(|b| openings.carries(b)).collect();
        let numbers = network.nodes().enumerate().map(|(number, node)| (node, number)).collect();
        Self { plant, request, network, zone, sources, branches, openable, carries, numbers }
    }

    fn number(&self, node: &NodeId) -> Option<usize> {
        self.numbers.get(node).copied()
    }

    /// The bare question, with the branches that `may` lets through as what opens.
    pub(super) fn problem(&self, may: impl Fn(&Openable<'_>) -> bool) -> Result<Problem, IdError> {
        let mut edges = Vec::new();
        for ((branch, openable), carries) in
            self.branches.iter().zip(&self.openable).zip(&self.carries)
        {
            let end = |node| self.number(node).unwrap_or(usize::MAX);
            let switch = openable.as_ref().and_then(|o| o.switch);
            let closing = openable.as_ref().and_then(|o| o.closing);
            edges.push(Edge {
                ends: [end(&branch.from), end(&branch.to)],
                price: openable.as_ref().filter(|o| may(o)).map(Openable::price),
                open_now: branch.is_open(&self.request.states),
                closing,
                rated: switch.map(|s| milliamps(rated(s, closing.is_some()))),
                carries: carries.map(milliamps),
            });
        }
        let at = |kind: fn(SourceKind) -> bool| {
            let of_kind = self.sources.iter().filter(move |s| kind(s.kind));
            of_kind.filter_map(|s| self.number(&s.node)).collect()
        };
        let mut customers = Vec::new();
        for service in self.customers() {
            customers.extend(self.number(&derived::house_node(service)?));
        }
        let units = self.plant.transformers.values();
        Ok(Problem {
            nodes: self.numbers.len(),
            edges,
            zone: self.zone.iter().filter_map(|n| self.number(n)).collect(),
            feeders: at(|k| k == SourceKind::Feeder),
            other_sources: at(|k| k != SourceKind::Feeder),
            customers,
            loads: units.filter_map(|t| Some((self.number(&t.primary)?, nameplate(t)))).collect(),
        })
    }

    /// The services whose supply counts, in the order of the problem's customers.
    pub(super) fn customers(&self) -> impl Iterator<Item = &'a AssetId> {
        let target = &self.request.service;
        self.plant.services.keys().filter(move |id| *id != target)
    }

    /// What may not be opened and why, and what may.
    pub(super) fn sorted_branches(&self, looked: &Openings<'_>) -> (Vec<NotAllowed>, Vec<AssetId>) {
        let mut not_allowed = Vec::new();
        let mut may_open = Vec::new();
        for openable in self.openable.iter().flatten() {
            let branch = openable.opening.branch.clone();
            match openable.why_not {
                Some(rule) => {
                    let of_load =
                        matches!(rule, WhyNot::OverLoadBreak | WhyNot::LikelyOverLoadBreak);
                    let expected = if of_load { looked.expected(&openable.opening) } else { None };
                    not_allowed.push(NotAllowed { branch, rule, expected });
                }
                None => may_open.push(branch),
            }
        }
        (not_allowed, may_open)
    }

    /// The branches within what one of the plans makes dead and at its edge; and those that join the
    /// zone to where it could first be parted.
    pub(super) fn around<'p>(
        &self,
        problem: &Problem,
        meeting: &Meeting,
        plans: impl Iterator<Item = &'p Plan>,
    ) -> BTreeSet<&'a AssetId> {
        let fixed = |edge: usize| problem.edges.get(edge).is_some_and(|e| e.price.is_none());
        let mut dead = meeting.reach(&problem.zone, fixed);
        for plan in plans {
            let opened: BTreeSet<&AssetId> = plan.openings.iter().map(|o| &o.branch).collect();
            let closed = |edge: usize| {
                self.branches.get(edge).is_some_and(|branch| !opened.contains(&branch.id))
            };
            let more = meeting.reach(&problem.zone, closed);
            dead.iter_mut().zip(more).for_each(|(dead, more)| *dead |= more);
        }
        let touches = |ends: [usize; 2]| ends.into_iter().any(|node| is(&dead, node));
        let at = self.branches.iter().zip(&problem.edges);
        at.filter(|(_, edge)| touches(edge.ends)).map(|(branch, _)| &branch.id).collect()
    }

    /// What is known of the branch of an edge, where it opens.
    pub(super) fn opened(&self, edge: usize) -> Option<&Openable<'a>> {
        self.openable.get(edge).and_then(Option::as_ref)
    }
}

/// What a switch may carry; a loop point that is closed meanwhile is opened again under its load.
pub(super) fn rated(switch: &Switch, closes: bool) -> Current {
    if closes { switch.rated.min(switch.load_break) } else { switch.rated }
}

/// True where only the missing visible break stands against it.
pub(super) fn unseen(openable: &Openable<'_>) -> bool {
    openable.why_not == Some(WhyNot::NoVisibleBreak)
}

/// Full load of a transformer on its primary, in milliamps; of a three-phase unit, in each phase.
fn nameplate(unit: &Transformer) -> u64 {
    let phases = if super::steps::three_phase(unit.system.legs()) { libm::sqrt(3.0) } else { 1.0 };
    let amps = 1e3 * in_kilovolt_amps(unit.rating) / (in_volts(unit.primary_voltage) * phases);
    whole_milliamps(amps)
}

fn milliamps(current: Current) -> u64 {
    whole_milliamps(in_amps(current))
}

fn whole_milliamps(amps: f64) -> u64 {
    let whole = libm::ceil((amps * 1e3).clamp(0.0, 1e12));
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0 … 1e12 just before"
    )]
    let whole = whole as u64;
    whole
}
