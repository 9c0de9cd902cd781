//! Clearances: who holds what, from the offer to the release.
//!
//! While one is held or on offer, every closing gate stays shut. Only its holder releases it; one
//! that went out by link moves only by an entry the desk signed, so that an offline phone can never
//! close in on somebody who has just accepted.

mod book;
mod refusal;
mod standing;

pub use book::{Abandonment, Blocks, Clearances, HolderTest, Offer};
pub use refusal::{Refused, Why};
pub use standing::{Author, Clearance, Holding, Standing};
