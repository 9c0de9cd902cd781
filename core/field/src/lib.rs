//! A made-up field as physics: towns and small worlds, cables, loads, clamps and testers, and
//! the records that claim to describe them.
//!
//! Nothing here knows the rules, limits or types of the software that is tried against it. Every
//! random thing comes from one seed, and the same seed gives the same bytes on every platform.
//!
//! ```
//! use coldlug_field::{conductor::{Conductor, Leg}, switching::Switching, town};
//!
//! let world = town::hillside(1);
//! let target = town::target(&world).ok_or("no target")?;
//! let mut switching = Switching::default();
//! let before = world.flow(&target.pad, 60.0, &switching)?;
//! assert!(before.service(&target.service)?.line.v1n() > 110.0);
//! switching.lift(&target.set, Conductor::L1);
//! let after = world.flow(&target.pad, 60.0, &switching)?;
//! assert_eq!(after.set(&target.set)?.amps.leg(Leg::L1), 0.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod accuracy;
mod block;
mod build;
pub mod case;
pub mod clamp;
pub mod conductor;
pub mod entry;
pub mod fault;
pub mod feature;
pub mod fix;
pub mod flow;
pub mod habit;
pub mod kit;
pub mod load;
pub mod mistake;
mod names;
mod near;
pub mod neighbourhood;
pub mod network;
mod path;
pub mod record;
pub mod seed;
mod sheet;
pub mod small;
pub mod solvable;
pub mod surprise;
pub mod switching;
pub mod tag;
pub mod tester;
pub mod tone;
pub mod town;
mod wiring;
pub mod world;
