//! Available fault current along the lateral, at the pad's terminals and at the meter base: of three
//! legs, leg to leg and leg to neutral, by the record's path or by numbers alone.
//!
//! Behind a one-phase unit the fault to neutral is the larger one at the pad; at the base the two
//! change sides with the length of the cable, so neither may stand for both. Behind a three-phase unit
//! any of the three may be the largest. Each is given with cold conductors, for what gear must
//! withstand, and with hot ones, for what must still clear a fuse.
//!
//! What nobody says is taken and told ([`Assumed`]).

mod assumed;
mod bus;
mod circuit;
mod conductor;
mod lateral;
mod path;
mod primary;
mod record;
mod refuse;
mod split_phase;
mod tolerance;
mod withstand;
mod wye;

pub use assumed::Assumed;
pub use bus::NotTogether;
pub use circuit::{
    COLD_CELSIUS, Circuit, FaultCurrents, Faults, HOT_CELSIUS, HalfWinding, MeterLegs, SplitPhase,
    TransformerPlate, USUAL_SOURCE_X_OVER_R, USUAL_TRANSFORMER_X_OVER_R, USUAL_ZERO_OVER_POSITIVE,
    Wye, WyeConnection, WyeVolts,
};
pub use conductor::{CableRun, ohms_per_foot};
pub use lateral::{LateralPoint, PrimaryFaults};
pub use path::{PathError, ServiceFaults, at_service};
pub use primary::{OnePhasePrimary, PrimaryRun, ReturnPath, SourceStrength, ThreePhasePrimary};
pub use refuse::NotPossible;
pub use withstand::{Gear, Holds, Most, Withstand};

#[cfg(test)]
mod tests;
