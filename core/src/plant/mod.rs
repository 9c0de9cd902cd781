//! The map record as plain data: what is claimed to stand where and to be joined to what.
//!
//! Electrical connection is by named nodes alone; geometry never implies it. A [`Plant`] is the
//! [`Features`] of a map sheet with indexes that it keeps of them: [`PlaceIndex`] and [`TagIndex`]
//! find pads by where they are and by what is painted on them. The [`Network`] is derived from the
//! record.

mod feature;
mod feed;
mod find;
mod indexed;
mod joins;
mod network;
mod place;
mod plain;
mod size;
mod system;
mod tag;

pub use feature::{
    Bounds, Cable, ConcentricNeutral, Connection, Critical, CustomerSource, CustomerSourceKind,
    Device, Features, LonLat, Metal, Metering, Normally, Pad, Pedestal, Service, Set, Source,
    Switch, Transformer, Windings,
};
pub use feed::{Feed, FeedError};
pub use indexed::Plant;
pub use network::{Branch, BranchKind, Network, SwitchState, SwitchStates, derived};
pub use place::{Near, PlaceIndex, distance};
pub use plain::plain;
pub use size::ConductorSize;
pub use system::{Band, Conductor, Pair, VoltageSystem};
pub use tag::{Follow, TagIndex, Tagged};
