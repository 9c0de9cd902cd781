//! Proofs: dead, one leg, by opening, live. Pure functions over readings with their instants.
//!
//! A proof is all or nothing, and says everything it lacks. A live reading is a stop, whoever took
//! it and whatever else was read.

mod dead;
#[cfg(test)]
pub(crate) mod example;
mod happening;
mod hypothesis;
mod insulation;
mod judging;
mod leg;
mod live;
mod neutral;
mod opening;

pub use dead::{DeadProof, LiveReading, MissingDead, ProvenDead, prove_dead};
pub use happening::Happening;
pub use hypothesis::Hypothesis;
pub use insulation::{Insulated, Insulation, MissingInsulation, judge_insulation};
pub use judging::{Judging, Point, Zone};
pub use leg::{LegCheck, MissingLeg, check_legs};
pub use live::{
    LiveNote, LiveProof, MissingLive, ProvenLive, Restored, Rotation, Unhealthy, prove_live,
};
pub use neutral::{NeutralQuality, NeutralTest, deciding_amps, judge_neutral};
pub use opening::{MissingOpening, OpeningProof, ProvenByOpening, VoidOpening, prove_by_opening};
