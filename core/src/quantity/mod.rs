//! Quantities with their units, decimals as typed, names and instants.
//!
//! Inside the core a quantity is a `uom` type, so volts never meet amps. At every edge (events,
//! map sheets, JSON) it is a plain number or a [`Decimal`] whose field name holds the unit.

mod bounded;
mod decimal;
mod id;
mod instant;
mod unit;

pub use bounded::Bounded;
pub use decimal::{Decimal, DecimalError};
pub use id::{
    AssetId, ClearanceId, DeedId, DeviceId, EventId, IdError, InstrumentId, JobId, MarksId, NodeId,
    PersonId, PlacementId, ProofId, RunId, SightingId, StayId,
};
pub use instant::{Age, Instant};
pub use unit::{
    Current, Energy, Impedance, Length, Power, Ratio, Temperature, Time, Voltage, amps, celsius,
    in_amps, in_celsius, in_kilovolt_amps, in_metres, in_ohms, in_seconds, in_volts, kilovolt_amps,
    metres, ohms, seconds, volts,
};
