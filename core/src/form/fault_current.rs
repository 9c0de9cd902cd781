//! Available fault current.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    fault_current::{FaultCurrents, Faults, HOT_CELSIUS, ServiceFaults},
    quantity::{AssetId, Current, Temperature, in_amps, in_celsius},
};

/// Symmetrical RMS amps of bolted faults, no motors, nominal volts.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultCurrentForm {
    /// Conductor temperature the amps are for, degrees Celsius; cold gives the largest.
    pub conductor_celsius: f64,
    /// Leg to leg at the pad's secondary terminals.
    pub pad_line_to_line_amps: f64,
    /// Leg to neutral at the pad's secondary terminals.
    pub pad_line_to_neutral_amps: f64,
    /// Leg to leg at the meter base; null without a cable.
    pub meter_line_to_line_amps: Option<f64>,
    /// Leg to neutral at the meter base; null without a cable. Either of the two may be larger.
    pub meter_line_to_neutral_amps: Option<f64>,
    /// How it lies on the map record; null when it was computed from numbers alone.
    pub path: Option<FaultPathForm>,
}

/// The way to a service by the record, and what follows from it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultPathForm {
    /// The service.
    pub service: AssetId,
    /// Its transformer.
    pub transformer: AssetId,
    /// The cable sets, from the lug to the service.
    pub sets: Vec<AssetId>,
    /// The feeder whose fault current was used; null: the record has none, and the supply was taken
    /// as stiff as can be.
    pub source: Option<AssetId>,
    /// Conductor temperature of the smallest currents, degrees Celsius.
    pub smallest_celsius: f64,
    /// Leg to leg at the meter base with hot conductors.
    pub smallest_meter_line_to_line_amps: Option<f64>,
    /// Leg to neutral at the meter base with hot conductors.
    pub smallest_meter_line_to_neutral_amps: Option<f64>,
    /// Whether the base may see more than it withstands; null: the record does not say what.
    pub over_withstand: Option<bool>,
}

impl FaultCurrentForm {
    /// From computed amps at a conductor temperature.
    pub fn new(at: Temperature, amps: &FaultCurrents, path: Option<&ServiceFaults>) -> Self {
        Self {
            conductor_celsius: celsius(at),
            pad_line_to_line_amps: in_amps(amps.pad.line_to_line),
            pad_line_to_neutral_amps: in_amps(amps.pad.line_to_neutral),
            meter_line_to_line_amps: of(amps.meter.as_ref(), |m| m.line_to_line),
            meter_line_to_neutral_amps: of(amps.meter.as_ref(), |m| m.line_to_neutral),
            path: path.map(FaultPathForm::new),
        }
    }
}

impl FaultPathForm {
    fn new(faults: &ServiceFaults) -> Self {
        let smallest = faults.smallest.meter.as_ref();
        Self {
            service: faults.service.clone(),
            transformer: faults.transformer.clone(),
            sets: faults.sets.clone(),
            source: faults.source.clone(),
            smallest_celsius: HOT_CELSIUS,
            smallest_meter_line_to_line_amps: of(smallest, |m| m.line_to_line),
            smallest_meter_line_to_neutral_amps: of(smallest, |m| m.line_to_neutral),
            over_withstand: faults.over_withstand,
        }
    }
}

fn of(faults: Option<&Faults>, which: impl Fn(&Faults) -> Current) -> Option<f64> {
    faults.map(|f| in_amps(which(f)))
}

/// Degrees to a hundredth: kelvins and back must not print 24.999999999999972.
fn celsius(at: Temperature) -> f64 {
    libm::round(in_celsius(at) * 100.0) / 100.0
}
