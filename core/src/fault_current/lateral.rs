//! The way from the feeder to a transformer, and the fault current along it.

use std::{
    collections::{BTreeMap, BTreeSet},
    slice::SliceIndex,
};

use super::{
    path::PathError,
    primary::{OnePhasePrimary, PrimaryRun, ReturnPath, SourceStrength, ThreePhasePrimary},
};
use crate::plant::{
    Branch, BranchKind, Cable, ConductorSize, Network, Plant, Source, SwitchStates, Transformer,
};
use crate::quantity::{
    AssetId, Current, Length, NodeId, Temperature, amps, in_amps, in_volts, metres,
};

/// Symmetrical current of a bolted fault on the primary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrimaryFaults {
    /// All three phases; none on the lateral of a one-phase unit.
    pub three_phase: Option<Current>,
    /// Phase to phase; likewise.
    pub line_to_line: Option<Current>,
    /// Phase to ground.
    pub line_to_ground: Current,
}

/// A place on the lateral: the far end of one of its cables, where elbows are parked and set.
#[derive(Debug, Clone, PartialEq)]
pub struct LateralPoint {
    /// The cable that ends there.
    pub cable: AssetId,
    /// The node.
    pub node: NodeId,
    /// The cabinet it is in, where the next branch of the way tells.
    pub pad: Option<AssetId>,
    /// Cable from the source to there.
    pub distance: Length,
    /// With cold conductors, and a return that resists nothing.
    pub largest: PrimaryFaults,
    /// With hot conductors, and a return by the cables' own neutrals.
    pub smallest: PrimaryFaults,
}

/// A cable of the way.
pub(super) struct OnTheWay<'a> {
    pub(super) cable: &'a Cable,
    size: ConductorSize,
    end: NodeId,
    pad: Option<AssetId>,
    /// Another way leads round it over what is normally closed.
    pub(super) in_loop: bool,
}

/// From the feeder to the transformer.
pub(super) struct Way<'a> {
    pub(super) source: &'a Source,
    pub(super) cables: Vec<OnTheWay<'a>>,
}

/// Which end of the range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Extreme {
    Largest,
    Smallest,
}

impl<'a> Way<'a> {
    /// The way over what is normally closed, without passing another transformer; of several feeders
    /// from the one with the most fault current, of several ways the one with the fewest branches.
    /// None where no feeder is reached.
    pub(super) fn to(
        plant: &'a Plant,
        network: &Network,
        unit: &Transformer,
    ) -> Result<Option<Self>, PathError> {
        let normal = SwitchStates::new();
        let passes =
            |branch: &Branch| branch.kind != BranchKind::Transformer && !branch.is_open(&normal);
        let reached = network.reach([&unit.primary], passes);
        let Some(source) = strongest(plant, &reached) else { return Ok(None) };
        let goal = BTreeSet::from([unit.primary.clone()]);
        let Some(ids) = network.way([&source.node], &goal, passes) else { return Ok(None) };
        let mut nodes = vec![source.node.clone()];
        for id in &ids {
            let Some(branch) = network.branch(id) else { continue };
            let end = nodes.last().map(|node| branch.far_end(node).clone());
            nodes.extend(end);
        }
        let looped = in_loops(network, &nodes, &ids, passes);
        let mut cables = Vec::new();
        for (step, id) in ids.iter().enumerate() {
            let (Some(cable), Some(end)) = (plant.cables.get(id), nodes.get(step + 1)) else {
                continue;
            };
            let next = ids.get(step + 1).and_then(|next| plant.switches.get(next));
            let here = (step + 1 == ids.len()).then(|| unit.pad.clone());
            cables.push(OnTheWay {
                cable,
                size: ConductorSize::named(&cable.size).ok_or_else(|| PathError::Size {
                    cable: cable.id.clone(),
                    size: cable.size.clone(),
                })?,
                end: end.clone(),
                pad: next.and_then(|switch| switch.pad.clone()).or(here),
                in_loop: looped.contains(id),
            });
        }
        Ok(Some(Self { source, cables }))
    }

    /// Some of the cables as they count towards one end of the range.
    pub(super) fn runs<R>(&self, which: Extreme, some: R) -> Vec<PrimaryRun>
    where
        R: SliceIndex<[OnTheWay<'a>], Output = [OnTheWay<'a>]>,
    {
        runs(self.cables.get(some).unwrap_or_default(), which)
    }

    /// The faults at the end of every cable of the way.
    pub(super) fn points(
        &self,
        unit: &Transformer,
        source: SourceStrength,
        zero_over_positive: f64,
        [cold, hot]: [Temperature; 2],
    ) -> Vec<LateralPoint> {
        let three = unit.system.legs().len() > 2;
        let mut distance = metres(0.0);
        let mut points = Vec::new();
        for (number, here) in self.cables.iter().enumerate() {
            distance += here.cable.length;
            let before = self.cables.get(..=number).unwrap_or_default();
            let faults = |which, at| {
                let (source, lateral) = (Some(source), runs(before, which));
                if three {
                    let line_to_line = unit.primary_voltage;
                    three_phase(
                        &ThreePhasePrimary { line_to_line, source, lateral },
                        zero_over_positive,
                        at,
                    )
                } else {
                    let to_ground = unit.primary_voltage;
                    one_phase(&OnePhasePrimary { to_ground, source, lateral }, at)
                }
            };
            points.push(LateralPoint {
                cable: here.cable.id.clone(),
                node: here.end.clone(),
                pad: here.pad.clone(),
                distance,
                largest: faults(Extreme::Largest, cold),
                smallest: faults(Extreme::Smallest, hot),
            });
        }
        points
    }
}

fn runs(cables: &[OnTheWay<'_>], which: Extreme) -> Vec<PrimaryRun> {
    let counts = |on: &&OnTheWay<'_>| which == Extreme::Smallest || !on.in_loop;
    let run = |on: &OnTheWay<'_>| PrimaryRun {
        metal: on.cable.metal,
        size: on.size,
        class: on.cable.class,
        back: match (which, on.cable.neutral) {
            (Extreme::Smallest, Some(neutral)) => ReturnPath::Concentric(neutral),
            _ => ReturnPath::Nothing,
        },
        length: on.cable.length,
    };
    cables.iter().filter(counts).map(run).collect()
}

fn one_phase(primary: &OnePhasePrimary, at: Temperature) -> PrimaryFaults {
    PrimaryFaults {
        three_phase: None,
        line_to_line: None,
        line_to_ground: amps(in_volts(primary.to_ground) / primary.ohms(at).norm()),
    }
}

fn three_phase(primary: &ThreePhasePrimary, zero: f64, at: Temperature) -> PrimaryFaults {
    let between = in_volts(primary.line_to_line);
    let to_ground = between / libm::sqrt(3.0);
    let positive = primary.positive_ohms(at);
    let loop_to_ground = (positive * 2.0 + primary.zero_ohms(zero, at)) / 3.0;
    PrimaryFaults {
        three_phase: Some(amps(to_ground / positive.norm())),
        line_to_line: Some(amps(between / (positive * 2.0).norm())),
        line_to_ground: amps(to_ground / loop_to_ground.norm()),
    }
}

/// Of several feeders the one with the most fault current, then by name. One without a figure counts
/// as the stiffest.
fn strongest<'a>(plant: &'a Plant, reached: &BTreeSet<NodeId>) -> Option<&'a Source> {
    let stiff = |s: &Source| s.fault.map_or(f64::INFINITY, in_amps);
    let feeders = plant.sources.values().filter(|s| reached.contains(&s.node));
    feeders.min_by(|a, b| stiff(b).total_cmp(&stiff(a)).then_with(|| a.id.cmp(&b.id)))
}

/// The branches of a way that another way leads round. What can be reached from the way's nodes off
/// the way is walked once; a branch is in no loop where nothing reached so far lies beyond it.
fn in_loops(
    network: &Network,
    nodes: &[NodeId],
    way: &[AssetId],
    passes: impl Fn(&Branch) -> bool,
) -> BTreeSet<AssetId> {
    let on_way: BTreeSet<&AssetId> = way.iter().collect();
    let place: BTreeMap<&NodeId, usize> = nodes.iter().enumerate().map(|(i, n)| (n, i)).collect();
    let mut seen: BTreeSet<NodeId> = BTreeSet::new();
    let mut furthest = 0;
    let mut looped = BTreeSet::new();
    for (step, (node, branch)) in nodes.iter().zip(way).enumerate() {
        if !seen.contains(node) {
            let more = network.reach([node], |b| passes(b) && !on_way.contains(&b.id));
            let beyond = more.iter().filter_map(|n| place.get(n)).max().copied();
            furthest = furthest.max(beyond.unwrap_or_default());
            seen.extend(more);
        }
        if furthest > step {
            looped.insert(branch.clone());
        }
    }
    looped
}
