//! Decide, fold, state: a job as the sum of its events.
//!
//! [`decide`] says before anything is signed whether an act may be written down; [`fold`] takes
//! every event, whatever it is, and keeps as refused what may not be applied; [`write()`] does both for
//! a device's own next event. All ask the one gate
//! ([`crate::gate::judge`]) with facts that this module fills in from the [`State`].

mod ahead;
mod amps_before_lift;
mod apply;
mod apply_deed;
mod apply_reading;
mod carried;
mod clear;
mod conflict;
mod correction;
mod decide;
mod energised;
mod facts;
mod facts_close;
mod facts_handover;
mod facts_lift;
mod facts_premises;
mod facts_record;
mod healthy;
mod known;
mod load_read;
mod loop_point;
mod names;
mod off_known;
mod physical;
mod picture;
mod plan;
mod present;
mod proofs;
mod remarks;
mod roles;
mod sheets;
mod state;
mod tagged;
mod vented;
mod verdict;

pub use carried::{CarriedSheets, NotASheet};
pub use conflict::Conflict;
pub(crate) use correction::correctable;
pub use decide::{Outcome, decide, fold, fold_knowing, write};
pub use energised::GroundLack;
pub(crate) use energised::{covered, load_side};
pub use load_read::AmpsTaken;
pub use loop_point::LoopLack;
pub use physical::{LiftedLeg, Main, Measured, MeterOut, Physical, Sources, Touch};
pub use picture::Picture;
pub use plan::NoPlan;
pub use present::Present;
pub(crate) use present::lugs;
pub use proofs::{Proven, ProvenWhat};
pub use remarks::{Remark, RemarkOf};
pub use sheets::Sheets;
pub use state::{Applied, Refused, State, Stop, VoltsTaken};
pub use vented::Vented;

#[cfg(test)]
mod tests;
