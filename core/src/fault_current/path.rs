//! Fault current at a service, along its path on the map record.

use super::circuit::{
    COLD_CELSIUS, Circuit, FaultCurrents, HOT_CELSIUS, NotPossible, PrimarySource,
    TransformerPlate, USUAL_SOURCE_X_OVER_R, USUAL_TRANSFORMER_X_OVER_R,
};
use super::conductor::CableRun;
use crate::plant::{
    BranchKind, ConductorSize, Feed, FeedError, Network, Plant, Set, Source, Transformer,
    VoltageSystem,
};
use crate::quantity::{AssetId, IdError, celsius};

/// Fault current at a service by the record, over the range of conductor temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceFaults {
    /// The service.
    pub service: AssetId,
    /// Its transformer.
    pub transformer: AssetId,
    /// The sets on the way, from the lug to the service.
    pub sets: Vec<AssetId>,
    /// The feeder whose fault current was used; none: the record has none, and the supply was taken
    /// as stiff as can be.
    pub source: Option<AssetId>,
    /// What was computed with.
    pub circuit: Circuit,
    /// With cold conductors: what the equipment must withstand.
    pub largest: FaultCurrents,
    /// With hot conductors: what must still clear the fuse.
    pub smallest: FaultCurrents,
    /// Whether the base may see more than the record says it withstands; none where it says nothing.
    pub over_withstand: Option<bool>,
}

/// Why there is no fault current for a service.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PathError {
    /// The record does not name one feed.
    #[error(transparent)]
    Feed(#[from] FeedError),
    /// The feed leads to no transformer.
    #[error("the map sheet shows no transformer ahead of service '{service}'")]
    NoTransformer {
        /// The service.
        service: AssetId,
    },
    /// A voltage system without a model here.
    #[error(
        "service '{service}' is {system}: only 120/240 V one-phase is computed here; ask for a study"
    )]
    NotComputed {
        /// The service.
        service: AssetId,
        /// Its system.
        system: VoltageSystem,
    },
    /// A conductor size the record got past its checks.
    #[error("set '{set}': conductor size '{size}' is not known")]
    Size {
        /// The set.
        set: AssetId,
        /// The size.
        size: String,
    },
    /// A number that cannot be.
    #[error(transparent)]
    Number(#[from] NotPossible),
    /// A name that cannot be derived.
    #[error(transparent)]
    Name(#[from] IdError),
}

/// Fault current at a service by the record.
///
/// Primary cables are left out, since the record does not have their neutrals: the largest current
/// errs upwards, and the smallest too, by a few percent on a long spur.
pub fn at_service(plant: &Plant, service: &AssetId) -> Result<ServiceFaults, PathError> {
    let feed = plant.feed_of(service)?;
    let missing = || PathError::NoTransformer { service: service.clone() };
    let unit = feed.transformer.as_ref().and_then(|t| plant.transformers.get(t));
    let unit = unit.ok_or_else(missing)?;
    let target = plant.services.get(service).ok_or_else(missing)?;
    for system in [target.system, unit.system] {
        if system != VoltageSystem::Split120_240 {
            return Err(PathError::NotComputed { service: service.clone(), system });
        }
    }
    let source = feeder_of(plant, unit)?;
    let circuit = Circuit {
        source: source.and_then(|s| primary(s, unit)),
        transformer: TransformerPlate {
            rating: unit.rating,
            percent_z: unit.percent_z,
            x_over_r: unit.x_over_r.unwrap_or(USUAL_TRANSFORMER_X_OVER_R),
        },
        cables: runs(plant, &feed)?,
    };
    let largest = circuit.fault_currents(celsius(COLD_CELSIUS))?;
    let smallest = circuit.fault_currents(celsius(HOT_CELSIUS))?;
    let at_base = largest.meter.unwrap_or(largest.pad).largest();
    Ok(ServiceFaults {
        service: service.clone(),
        transformer: unit.id.clone(),
        sets: feed.sets,
        source: circuit.source.and(source).map(|s| s.id.clone()),
        circuit,
        largest,
        smallest,
        over_withstand: target.withstand.map(|most| at_base > most),
    })
}

fn primary(source: &Source, unit: &Transformer) -> Option<PrimarySource> {
    Some(PrimarySource {
        voltage: unit.primary_voltage,
        fault: source.fault?,
        x_over_r: source.x_over_r.unwrap_or(USUAL_SOURCE_X_OVER_R),
    })
}

fn runs(plant: &Plant, feed: &Feed) -> Result<Vec<CableRun>, PathError> {
    let sets = feed.sets.iter().filter_map(|id| plant.sets.get(id));
    sets.map(|set| {
        Ok(CableRun {
            metal: set.metal,
            leg: size(set, &set.size)?,
            neutral: size(set, set.neutral_size.as_ref().unwrap_or(&set.size))?,
            length: set.length,
            runs: set.runs,
        })
    })
    .collect()
}

fn size(set: &Set, name: &str) -> Result<ConductorSize, PathError> {
    ConductorSize::named(name)
        .ok_or_else(|| PathError::Size { set: set.id.clone(), size: name.to_owned() })
}

/// The feeder that reaches a transformer over what is normally closed without passing another
/// transformer; of several, the one with the most fault current, then by name.
fn feeder_of<'a>(plant: &'a Plant, unit: &Transformer) -> Result<Option<&'a Source>, IdError> {
    let network = Network::of(plant)?;
    let normal = std::collections::BTreeMap::new();
    let reached = network.reach([&unit.primary], |branch| {
        branch.kind != BranchKind::Transformer && !branch.is_open(&normal)
    });
    let mut feeders: Vec<&Source> =
        plant.sources.values().filter(|s| reached.contains(&s.node)).collect();
    // A feeder without a figure counts as the stiffest.
    feeders.sort_by(|a, b| {
        let stiff = |s: &Source| s.fault.map_or(f64::INFINITY, crate::quantity::in_amps);
        stiff(b).total_cmp(&stiff(a)).then_with(|| a.id.cmp(&b.id))
    });
    Ok(feeders.first().copied())
}
