//! What the record has of a unit and its way, turned into circuits.

use super::{
    assumed::Assumed,
    circuit::{
        Circuit, HalfWinding, MeterLegs, SplitPhase, TransformerPlate, USUAL_SOURCE_X_OVER_R,
        USUAL_TRANSFORMER_X_OVER_R, USUAL_ZERO_OVER_POSITIVE, Wye, WyeConnection, WyeVolts,
    },
    conductor::CableRun,
    lateral::{Extreme, Way},
    path::PathError,
    primary::{OnePhasePrimary, PrimaryRun, SourceStrength, ThreePhasePrimary},
};
use crate::plant::{Connection, Service, Transformer, VoltageSystem};

/// The systems that are computed, as a transformer and a service together may have them.
#[derive(Clone, Copy)]
pub(super) enum Model {
    SplitPhase,
    Wye(WyeVolts, MeterLegs),
}

impl Model {
    pub(super) fn of(unit: &Transformer, service: &Service) -> Result<Self, PathError> {
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

/// A part of a unit's way.
#[derive(Clone, Copy)]
enum Part {
    /// Source and all cables.
    Whole,
    /// The source and that many cables from it.
    Shared(usize),
    /// The cables after that many.
    Own(usize),
}

/// Source and cables of a part.
struct Supply {
    source: Option<SourceStrength>,
    lateral: Vec<PrimaryRun>,
}

impl Supply {
    fn one_phase(self, unit: &Transformer) -> OnePhasePrimary {
        let Self { source, lateral } = self;
        OnePhasePrimary { to_ground: unit.primary_voltage, source, lateral }
    }

    fn three_phase(self, unit: &Transformer) -> ThreePhasePrimary {
        let Self { source, lateral } = self;
        ThreePhasePrimary { line_to_line: unit.primary_voltage, source, lateral }
    }
}

/// The record of a unit and its way, being turned into circuits.
pub(super) struct Record<'a> {
    pub(super) unit: &'a Transformer,
    pub(super) model: Model,
    pub(super) way: Option<&'a Way<'a>>,
    /// How the units of its bus are joined.
    pub(super) connection: Option<Connection>,
    pub(super) assumed: Vec<Assumed>,
}

impl Record<'_> {
    /// What the record has, or what is taken for it, which is then noted.
    fn or_taken(&mut self, recorded: Option<f64>, taken: f64, note: Assumed) -> f64 {
        if recorded.is_none() {
            self.assumed.push(note);
        }
        recorded.unwrap_or(taken)
    }

    pub(super) fn strength(&mut self) -> Option<SourceStrength> {
        let source = self.way.map(|way| way.source);
        let Some((source, fault)) = source.and_then(|s| Some((s, s.fault?))) else {
            self.assumed.push(Assumed::SupplyStiff);
            return None;
        };
        let x_over_r = self.or_taken(source.x_over_r, USUAL_SOURCE_X_OVER_R, Assumed::SourceXOverR);
        Some(SourceStrength { fault, x_over_r })
    }

    fn supply(&mut self, which: Extreme, part: Part) -> Supply {
        let lateral = self.way.map(|way| match part {
            Part::Whole => way.runs(which, ..),
            Part::Shared(count) => way.runs(which, ..count),
            Part::Own(after) => way.runs(which, after..),
        });
        let source = match part {
            Part::Own(_) => None,
            Part::Whole | Part::Shared(_) => self.strength(),
        };
        Supply { source, lateral: lateral.unwrap_or_default() }
    }

    /// The unit alone, as it counts for the smallest.
    pub(super) fn alone(&mut self, cables: &[CableRun]) -> Circuit {
        let (which, cables) = (Extreme::Smallest, cables.to_vec());
        match self.model {
            Model::SplitPhase => {
                let alone = self.split_phase(which, Part::Whole);
                Circuit::SplitPhase(SplitPhase { cables, ..alone })
            }
            Model::Wye(volts, legs) => {
                let alone = self.wye(which, Part::Whole, (volts, legs));
                Circuit::Wye(Wye { cables, ..alone })
            }
        }
    }

    fn plate(&mut self) -> TransformerPlate {
        let usual = USUAL_TRANSFORMER_X_OVER_R;
        TransformerPlate {
            rating: self.unit.rating,
            percent_z: self.unit.percent_z,
            x_over_r: self.or_taken(self.unit.x_over_r, usual, Assumed::UnitXOverR),
        }
    }

    fn split_phase(&mut self, which: Extreme, part: Part) -> SplitPhase {
        let HalfWinding { r, x } = HalfWinding::INTERLACED;
        SplitPhase {
            primary: Some(self.supply(which, part).one_phase(self.unit)),
            unit: self.plate(),
            half: HalfWinding {
                r: self.or_taken(self.unit.windings.half_r, r, Assumed::HalfWinding),
                x: self.or_taken(self.unit.windings.half_x, x, Assumed::HalfWinding),
            },
            beside: Vec::new(),
            shared: None,
            cables: Vec::new(),
        }
    }

    fn wye(
        &mut self,
        which: Extreme,
        part: Part,
        (volts, meter_legs): (WyeVolts, MeterLegs),
    ) -> Wye {
        let (zero, usual) = (self.unit.windings.zero_over_positive, USUAL_ZERO_OVER_POSITIVE);
        Wye {
            volts,
            primary: Some(self.supply(which, part).three_phase(self.unit)),
            unit: self.plate(),
            zero_over_positive: self.or_taken(zero, usual, Assumed::UnitZero),
            connection: self.connection(which),
            beside: Vec::new(),
            shared: None,
            cables: Vec::new(),
            meter_legs,
        }
    }

    /// A supply's zero sequence comes on top of the unit's: without a record the largest goes without.
    fn connection(&mut self, which: Extreme) -> WyeConnection {
        let recorded = self.connection;
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

/// All units in parallel, behind the first `ahead` cables of their ways, which they share with the
/// source; none: they share nothing.
pub(super) fn together(
    records: &mut [Record<'_>],
    ahead: Option<usize>,
    cables: &[CableRun],
) -> Option<Circuit> {
    let which = Extreme::Largest;
    let own = ahead.map_or(Part::Whole, Part::Own);
    let (first, others) = records.split_first_mut()?;
    let shared = ahead.map(|count| first.supply(which, Part::Shared(count)));
    Some(match first.model {
        Model::SplitPhase => Circuit::SplitPhase(SplitPhase {
            beside: others.iter_mut().map(|more| more.split_phase(which, own)).collect(),
            shared: shared.map(|supply| supply.one_phase(first.unit)),
            cables: cables.to_vec(),
            ..first.split_phase(which, own)
        }),
        Model::Wye(volts, legs) => Circuit::Wye(Wye {
            beside: others.iter_mut().map(|more| more.wye(which, own, (volts, legs))).collect(),
            shared: shared.map(|supply| supply.three_phase(first.unit)),
            cables: cables.to_vec(),
            ..first.wye(which, own, (volts, legs))
        }),
    })
}
