//! Plays: a made-up field, a job in it, and sightings that its physics gives, some of them false.
//!
//! Invented worlds come from `coldlug-field`, which knows nothing of the rule. A play draws who was
//! where and what they did, asks the field what they would see, writes that down as the core's
//! evidence, and keeps apart what really was: which set feeds the target, and which causes are false.

#![allow(unused_imports, dead_code, reason = "each test program uses its own part of the plays")]

mod cast;
mod crew;
mod fault;
mod others;
mod run;
mod sight;
mod stay;

pub(crate) use cast::{Manner, Play, Shape};
pub(crate) use crew::{End, follow_advice};
pub(crate) use fault::Fault;
