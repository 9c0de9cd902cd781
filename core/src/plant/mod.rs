//! The map record as plain data: what is claimed to stand where and to be joined to what.
//!
//! Electrical connection is by named nodes alone; geometry never implies it. The [`Network`] is
//! derived from the record; [`PlaceIndex`] and [`TagIndex`] find pads and services by where they are
//! and by what is painted on them.

mod feature;
mod feed;
mod find;
mod network;
mod place;
mod size;
mod system;
mod tag;

pub use feature::{
    Bounds, Cable, Critical, CustomerSource, CustomerSourceKind, Device, LonLat, Metal, Metering,
    Normally, Pad, Pedestal, Plant, Service, Set, Source, Switch, Transformer,
};
pub use feed::{Feed, FeedError};
pub use network::{Branch, BranchKind, Network, SwitchState, SwitchStates, derived};
pub use place::{Near, PlaceIndex, distance};
pub use size::ConductorSize;
pub use system::{Band, Conductor, Pair, VoltageSystem};
pub use tag::TagIndex;
