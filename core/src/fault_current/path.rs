//! Fault current at a service, along its path on the map record.

use super::{
    assumed::Assumed,
    circuit::{
        COLD_CELSIUS, Circuit, FaultCurrents, HOT_CELSIUS, HalfWinding, MeterLegs, SplitPhase,
        TransformerPlate, USUAL_SOURCE_X_OVER_R, USUAL_TRANSFORMER_X_OVER_R,
        USUAL_ZERO_OVER_POSITIVE, Wye, WyeConnection, WyeVolts,
    },
    conductor::CableRun,
    lateral::{Extreme, LateralPoint, Way},
    primary::{OnePhasePrimary, SourceStrength, ThreePhasePrimary},
    refuse::NotPossible,
};
use crate::plant::{
    ConductorSize, Connection, Feed, FeedError, Plant, Service, Set, Transformer, VoltageSystem,
};
use crate::quantity::{AssetId, Current, IdError, celsius};

/// Fault current at a service by the record, over the range of conductor temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceFaults {
    /// The service.
    pub service: AssetId,
    /// Its voltage system.
    pub system: VoltageSystem,
    /// Its transformer.
    pub transformer: AssetId,
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
    /// Along the primary, from the source on; empty where the source's strength is not on record.
    pub lateral: Vec<LateralPoint>,
    /// What was taken for want of a record.
    pub assumed: Vec<Assumed>,
    /// What may have to withstand it: the base, then the customer's transfer switches.
    pub withstand: Vec<Withstand>,
}

/// What has to withstand a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gear {
    /// The meter base.
    MeterBase,
    /// The transfer switch of the customer's own source of that number, counted from 1. It is beyond
    /// the base, so that the base's fault current is the most it may see from the utility.
    TransferSwitch(usize),
}

/// A withstand rating beside the largest fault current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Withstand {
    /// Of what.
    pub gear: Gear,
    /// What it withstands, where it is known.
    pub rated: Option<Current>,
    /// Whether it may see more; none where the rating is not known.
    pub over: Option<bool>,
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

impl Withstand {
    /// Holds a rating against a fault current.
    pub fn of(gear: Gear, rated: Option<Current>, most: Current) -> Self {
        Self { gear, rated, over: rated.map(|rated| most > rated) }
    }
}

/// The systems that are computed, as a transformer and a service together may have them.
#[derive(Clone, Copy)]
enum Model {
    SplitPhase,
    Wye(WyeVolts, MeterLegs),
}

impl Model {
    fn of(unit: &Transformer, service: &Service) -> Result<Self, PathError> {
        use VoltageSystem::{
            Delta120_240, Network208, Split120_240, Wye208, Wye400, Wye400Pen, Wye480, Wye600,
        };
        let not_computed = |system| PathError::NotComputed { service: service.id.clone(), system };
        Ok(match (unit.system, service.system) {
            (Split120_240, Split120_240) => Self::SplitPhase,
            (Wye208, Wye208) => Self::Wye(WyeVolts::Y208, MeterLegs::Three),
            (Wye208, Network208) => Self::Wye(WyeVolts::Y208, MeterLegs::Two),
            (Wye480, Wye480) => Self::Wye(WyeVolts::Y480, MeterLegs::Three),
            (Wye600, Wye600) => Self::Wye(WyeVolts::Y600, MeterLegs::Three),
            // A four-wire delta bank is not three units alike; 230/400 V is at 50 Hz; two legs come of a
            // unit with three.
            (system @ (Delta120_240 | Network208 | Wye400 | Wye400Pen), _)
            | (_, system @ (Delta120_240 | Wye400 | Wye400Pen)) => {
                return Err(not_computed(system));
            }
            (gives, system) => {
                let (service, transformer) = (service.id.clone(), unit.id.clone());
                return Err(PathError::Mixed { service, system, transformer, gives });
            }
        })
    }
}

/// Fault current at a service by the record.
///
/// Of the primary cables on the way the largest counts the conductor, with a return that resists
/// nothing, and none that lies in a closed loop; the smallest counts conductor and neutral, where the
/// record has that, and no return through earth. So each errs to its own side, by a few percent on a
/// long lateral.
pub fn at_service(plant: &Plant, service: &AssetId) -> Result<ServiceFaults, PathError> {
    let feed = plant.feed_of(service)?;
    let missing = || PathError::NoTransformer { service: service.clone() };
    let unit = feed.transformer.as_ref().and_then(|t| plant.transformers.get(t));
    let unit = unit.ok_or_else(missing)?;
    let target = plant.services.get(service).ok_or_else(missing)?;
    let way = Way::to(plant, unit)?;
    let mut record = Record {
        unit,
        model: Model::of(unit, target)?,
        way: way.as_ref(),
        cables: runs(plant, &feed)?,
        assumed: Vec::new(),
    };
    let strength = record.strength();
    let circuit = record.circuit(Extreme::Largest, strength);
    let hot_circuit = record.circuit(Extreme::Smallest, strength);
    let [cold, hot] = [celsius(COLD_CELSIUS), celsius(HOT_CELSIUS)];
    let largest = circuit.fault_currents(cold)?;
    let smallest = hot_circuit.fault_currents(hot)?;
    let lateral = way
        .as_ref()
        .zip(strength)
        .map(|(way, strength)| way.points(unit, strength, USUAL_ZERO_OVER_POSITIVE, [cold, hot]));
    let on_way = || way.iter().flat_map(|way| &way.cables);
    let without_neutral: Vec<AssetId> =
        on_way().filter(|on| on.cable.neutral.is_none()).map(|on| on.cable.id.clone()).collect();
    let mut assumed = record.assumed;
    assumed.extend((!without_neutral.is_empty()).then_some(Assumed::CableNeutral));
    assumed.extend(on_way().any(|on| on.in_loop).then_some(Assumed::LoopClosed));
    assumed.sort_unstable();
    assumed.dedup();
    let at_base = largest.meter.unwrap_or(largest.pad).largest();
    Ok(ServiceFaults {
        service: service.clone(),
        system: target.system,
        transformer: unit.id.clone(),
        sets: feed.sets,
        source: way.as_ref().filter(|_| strength.is_some()).map(|way| way.source.id.clone()),
        without_neutral,
        circuit,
        hot_circuit,
        largest,
        smallest,
        lateral: lateral.unwrap_or_default(),
        assumed,
        withstand: withstands(target, at_base),
    })
}

fn withstands(target: &Service, most: Current) -> Vec<Withstand> {
    let switches = target.sources.iter().enumerate().filter(|(_, own)| own.transfer_switch);
    let switches =
        switches.map(|(number, own)| (Gear::TransferSwitch(number + 1), own.switch_withstand));
    std::iter::once((Gear::MeterBase, target.withstand))
        .chain(switches)
        .map(|(gear, rated)| Withstand::of(gear, rated, most))
        .collect()
}

/// The record of a way, being turned into circuits.
struct Record<'a> {
    unit: &'a Transformer,
    model: Model,
    way: Option<&'a Way<'a>>,
    cables: Vec<CableRun>,
    assumed: Vec<Assumed>,
}

impl Record<'_> {
    /// What the record has, or what is taken for it, which is then noted.
    fn or_taken(&mut self, recorded: Option<f64>, taken: f64, note: Assumed) -> f64 {
        if recorded.is_none() {
            self.assumed.push(note);
        }
        recorded.unwrap_or(taken)
    }

    fn strength(&mut self) -> Option<SourceStrength> {
        let source = self.way.map(|way| way.source);
        let Some((source, fault)) = source.and_then(|s| Some((s, s.fault?))) else {
            self.assumed.push(Assumed::SupplyStiff);
            return None;
        };
        let x_over_r = self.or_taken(source.x_over_r, USUAL_SOURCE_X_OVER_R, Assumed::SourceXOverR);
        Some(SourceStrength { fault, x_over_r })
    }

    fn circuit(&mut self, which: Extreme, source: Option<SourceStrength>) -> Circuit {
        let lateral = self.way.map(|way| way.runs(which)).unwrap_or_default();
        let (unit, cables) = (self.unit, self.cables.clone());
        let usual = USUAL_TRANSFORMER_X_OVER_R;
        let plate = TransformerPlate {
            rating: unit.rating,
            percent_z: unit.percent_z,
            x_over_r: self.or_taken(unit.x_over_r, usual, Assumed::UnitXOverR),
        };
        let HalfWinding { r, x } = HalfWinding::INTERLACED;
        match self.model {
            Model::SplitPhase => Circuit::SplitPhase(SplitPhase {
                primary: Some(OnePhasePrimary { to_ground: unit.primary_voltage, source, lateral }),
                unit: plate,
                half: HalfWinding {
                    r: self.or_taken(unit.windings.half_r, r, Assumed::HalfWinding),
                    x: self.or_taken(unit.windings.half_x, x, Assumed::HalfWinding),
                },
                cables,
            }),
            Model::Wye(volts, meter_legs) => {
                let zero = unit.windings.zero_over_positive;
                Circuit::Wye(Wye {
                    volts,
                    primary: Some(ThreePhasePrimary {
                        line_to_line: unit.primary_voltage,
                        source,
                        lateral,
                    }),
                    unit: plate,
                    zero_over_positive: self.or_taken(
                        zero,
                        USUAL_ZERO_OVER_POSITIVE,
                        Assumed::UnitZero,
                    ),
                    connection: self.connection(which),
                    cables,
                    meter_legs,
                })
            }
        }
    }

    /// A supply's zero sequence comes on top of the unit's: without a record the largest goes without.
    fn connection(&mut self, which: Extreme) -> WyeConnection {
        let recorded = self.unit.windings.connection;
        if recorded.is_none() {
            self.assumed.push(Assumed::Connection);
        }
        match (recorded, which) {
            (Some(Connection::DeltaWye), _) | (None, Extreme::Largest) => WyeConnection::DeltaWye,
            (Some(Connection::WyeWye), _) | (None, Extreme::Smallest) => {
                self.assumed.push(Assumed::SourceZero);
                WyeConnection::WyeWye { source_zero_over_positive: USUAL_ZERO_OVER_POSITIVE }
            }
        }
    }
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
