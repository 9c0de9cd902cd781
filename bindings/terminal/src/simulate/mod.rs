//! The field simulator: very many jobs played on made-up fields, and what came of them.
//!
//! The crew does what the software advises and nothing cleverer. The physics is the field's, the
//! rules are core's; this folder stands between them, so that one mistake is not in both.

#![allow(
    dead_code,
    unused_imports,
    reason = "the command that plays these jobs is not wired up yet"
)]

mod arm;
mod checkpoint;
mod course;
mod crew;
mod failure;
mod form;
mod interval;
mod job;
mod progress;
mod report;
mod run;
mod slip;
mod spec;
mod summed;
mod tally;
