//! What people saw and measured, and what alone could make each of it false.
//!
//! A sighting either *excludes* candidates or only *orders the search*. Every sighting carries its
//! [`Cause`]s: it is true when all of them are. The table of effects is in [`effect`], one file a
//! kind of evidence below it.

mod cause;
mod evidence;
mod seen;

pub use cause::Cause;
pub use evidence::{
    Deed, DeedKind, Evidence, Handle, Leg, MarkedSet, Marks, OpenedCode, Placement, Run, SetAt,
    Slot, Stay,
};
pub use seen::{BeforeAfter, End, Seen, Sighting, SlotKey, SlotReading, Speaker};
