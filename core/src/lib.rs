//! The whole trade of making one underground service dead, as pure functions.
//!
//! No I/O, no clock, no screens, no HTTP and no foreign interface: what comes in is events, a map
//! sheet and a rule sheet; what goes out is a state, a verdict, a plan, a refusal. The modules are
//! listed in dependency order: each may use only those above it.

pub mod caution;
pub mod clearance;
pub mod diagram;
pub mod event;
pub mod exchange;
pub mod fault_current;
pub mod form;
pub mod gate;
pub mod isolate;
pub mod job;
pub mod loading;
pub mod log;
pub mod mapsheet;
pub mod plant;
pub mod proof;
pub mod quantity;
pub mod reading;
pub mod reconcile;
pub mod rule_sheet;
pub mod screen;
pub mod sighting;
pub mod words;
