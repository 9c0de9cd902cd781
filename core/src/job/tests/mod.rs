//! Whole jobs and random ones.

mod closing;
mod crew;
mod random;
mod whole;
