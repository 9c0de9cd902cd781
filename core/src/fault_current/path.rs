//! Fault current at a service, along its path on the map record.

use std::collections::BTreeSet;

use super::{
    assumed::Assumed,
    bus::{Bus, NotTogether, same_volts, shared},
    circuit::{COLD_CELSIUS, Circuit, FaultCurrents, HOT_CELSIUS, USUAL_ZERO_OVER_POSITIVE},
    conductor::CableRun,
    lateral::{LateralPoint, Way},
    record::{Model, Record, together},
    refuse::NotPossible,
    withstand::{Most, Withstand, withstands},
};
use crate::plant::{ConductorSize, Feed, FeedError, Network, Plant, Set, VoltageSystem};
use crate::quantity::{AssetId, IdError, celsius};

/// Fault current at a service by the record, over the range of conductor temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceFaults {
    /// The service.
    pub service: AssetId,
    /// Its voltage system.
    pub system: VoltageSystem,
    /// Its transformer.
    pub transformer: AssetId,
    /// The others that can feed the same bus; part of what was computed.
    pub beside: Vec<AssetId>,
    /// The sets on the way, from the lug to the service.
    pub sets: Vec<AssetId>,
    /// The feeder whose fault current was used; none: the record has none, and the supply was taken
    /// as stiff as can be.
    pub source: Option<AssetId>,
    /// The primary cables on the way whose neutral is not on the record.
    pub without_neutral: Vec<AssetId>,
    /// What the largest was computed with.
    pub circuit: Circuit,
    /// What the smallest was computed with.
    pub hot_circuit: Circuit,
    /// With cold conductors: what the equipment must withstand.
    pub largest: FaultCurrents,
    /// With hot conductors: what must still clear the fuse.
    pub smallest: FaultCurrents,
    /// Along the primary, from the source on; empty where the source's strength is not on record, and
    /// where units on other ways feed back to it over the bus.
    pub lateral: Vec<LateralPoint>,
    /// What was taken for want of a record.
    pub assumed: Vec<Assumed>,
    /// What may have to withstand it: the base, then the customer's transfer switches.
    pub withstand: Vec<Withstand>,
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
        "service '{service}' hangs on {system}: only 120/240 V one-phase, 208Y/120, 480Y/277 and 600Y/347 V \
         are computed here; ask for a study"
    )]
    NotComputed {
        /// The service.
        service: AssetId,
        /// Its system.
        system: VoltageSystem,
    },
    /// A service that its transformer cannot feed.
    #[error(
        "service '{service}' is {system}, its transformer '{transformer}' gives {gives}: look which \
         of the two the record has wrong"
    )]
    Mixed {
        /// The service.
        service: AssetId,
        /// Its system.
        system: VoltageSystem,
        /// Its transformer.
        transformer: AssetId,
        /// The transformer's system.
        gives: VoltageSystem,
    },
    /// Several units on its bus, or one of a bank, that are not computed together.
    #[error("the bus of service '{service}' hangs on {units}: {why}")]
    NotTogether {
        /// The service.
        service: AssetId,
        /// The units.
        units: String,
        /// Why.
        why: NotTogether,
    },
    /// A conductor size the record got past its checks.
    #[error("cable '{cable}': conductor size '{size}' is not known")]
    Size {
        /// The set or primary cable.
        cable: AssetId,
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
/// Of the primary cables on the way the largest counts the conductor, with a return that resists
/// nothing, and none that lies in a closed loop; the smallest counts conductor and neutral, where the
/// record has that, and no return through earth. So each errs to its own side, by a few percent on a
/// long lateral. Where several units can feed the bus, the largest is that of all of them in parallel
/// and the smallest that of the weakest alone, since any of the others may be out.
pub fn at_service(plant: &Plant, service: &AssetId) -> Result<ServiceFaults, PathError> {
    let feed = plant.feed_of(service)?;
    let missing = || PathError::NoTransformer { service: service.clone() };
    let unit = feed.transformer.as_ref().and_then(|t| plant.transformers.get(t));
    let unit = unit.ok_or_else(missing)?;
    let target = plant.services.get(service).ok_or_else(missing)?;
    let model = Model::of(unit, target)?;
    let network = Network::of(plant)?;
    let Bus { names, units } = Bus::of(plant, &network, (service, unit))?;
    let ways = units.iter().map(|unit| Way::to(plant, &network, unit));
    let ways: Vec<Option<Way<'_>>> = ways.collect::<Result<_, _>>()?;
    let ahead = shared(&ways);
    if ahead.is_some() {
        let named = || names.iter().map(AssetId::as_str).collect::<Vec<_>>().join(", ");
        same_volts(&units).map_err(|why| PathError::NotTogether {
            service: service.clone(),
            units: named(),
            why,
        })?;
    }
    let cables = runs(plant, &feed)?;
    let connection = units.iter().find_map(|unit| unit.windings.connection);
    let record = |(unit, way)| Record { unit, model, way, connection, assumed: Vec::new() };
    let units = units.iter().map(AsRef::as_ref);
    let mut records: Vec<Record<'_>> =
        units.zip(ways.iter().map(Option::as_ref)).map(record).collect();
    let circuit = together(&mut records, ahead, &cables).ok_or_else(missing)?;
    let [cold, hot] = [celsius(COLD_CELSIUS), celsius(HOT_CELSIUS)];
    let largest = circuit.fault_currents(cold)?;
    let mut weakest: Option<(Circuit, FaultCurrents)> = None;
    for record in &mut records {
        let alone = record.alone(&cables);
        let amps = alone.fault_currents(hot)?;
        let less = |(_, least): &(Circuit, FaultCurrents)| amps.at_end() < least.at_end();
        if weakest.as_ref().is_none_or(less) {
            weakest = Some((alone, amps));
        }
    }
    let (hot_circuit, smallest) = weakest.ok_or_else(missing)?;
    let (first, strength) =
        records.first_mut().map(|first| (first.unit, first.strength())).ok_or_else(missing)?;
    let way = ways.first().and_then(Option::as_ref);
    let lateral = way
        .filter(|_| on_one_way(&ways, ahead))
        .zip(strength)
        .map(|(way, strength)| way.points(first, strength, USUAL_ZERO_OVER_POSITIVE, [cold, hot]));
    let on_way = || ways.iter().flatten().flat_map(|way| &way.cables);
    let without_neutral: BTreeSet<AssetId> =
        on_way().filter(|on| on.cable.neutral.is_none()).map(|on| on.cable.id.clone()).collect();
    let several = records.len() > 1;
    let mut assumed: Vec<Assumed> = records.into_iter().flat_map(|r| r.assumed).collect();
    assumed.extend((!without_neutral.is_empty()).then_some(Assumed::CableNeutral));
    assumed.extend(on_way().any(|on| on.in_loop).then_some(Assumed::LoopClosed));
    assumed.extend(several.then_some(Assumed::UnitsTogether));
    assumed.sort_unstable();
    assumed.dedup();
    let source = way.filter(|_| strength.is_some()).map(|way| way.source.id.clone());
    Ok(ServiceFaults {
        service: service.clone(),
        system: target.system,
        transformer: unit.id.clone(),
        beside: names.into_iter().filter(|name| *name != unit.id).collect(),
        sets: feed.sets,
        source,
        without_neutral: without_neutral.into_iter().collect(),
        withstand: withstands(target, Most::of(&circuit, &largest, &assumed)?),
        circuit,
        hot_circuit,
        largest,
        smallest,
        lateral: lateral.unwrap_or_default(),
        assumed,
    })
}

/// Whether all units hang on the very same cables.
fn on_one_way(ways: &[Option<Way<'_>>], ahead: Option<usize>) -> bool {
    let length = |way: &Option<Way<'_>>| way.as_ref().map(|way| way.cables.len());
    ways.len() < 2 || (ahead.is_some() && ways.iter().all(|way| length(way) == ahead))
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
        .ok_or_else(|| PathError::Size { cable: set.id.clone(), size: name.to_owned() })
}
