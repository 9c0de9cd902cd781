//! What the test programs of this folder share: where things lie, and the built program.

pub mod demo;
pub mod draw;
pub mod places;
pub mod program;
pub mod skip;
pub mod smart_ds;
