//! Whole jobs and random ones.

mod crew;
mod random;
mod whole;
