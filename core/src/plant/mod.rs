//! The map record as plain data: what is claimed to stand where and to be joined to what.
//!
//! Electrical connection is by named nodes alone; geometry never implies it.

mod feature;
mod system;

pub use feature::{
    Branch, Cable, Critical, CustomerSource, CustomerSourceKind, Device, LonLat, Metal, Metering,
    Normally, Pad, Pedestal, Plant, Service, Set, Source, Switch, Transformer,
};
pub use system::{Conductor, Pair, VoltageSystem};
