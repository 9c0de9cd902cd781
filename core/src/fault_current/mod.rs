//! Available fault current at the pad's terminals and at the meter base, leg to leg and leg to
//! neutral: by the record's path, or by numbers alone.
//!
//! At the pad the fault to neutral is always the larger one; at the base the two change sides with
//! the length of the cable, so neither may stand for both.

mod circuit;
mod conductor;
mod path;

pub use circuit::{
    COLD_CELSIUS, Circuit, FaultCurrents, Faults, HOT_CELSIUS, NotPossible, PrimarySource,
    TransformerPlate, USUAL_SOURCE_X_OVER_R, USUAL_TRANSFORMER_X_OVER_R,
};
pub use conductor::{CableRun, ohms_per_foot};
pub use path::{PathError, ServiceFaults, at_service};

#[cfg(test)]
mod tests;
