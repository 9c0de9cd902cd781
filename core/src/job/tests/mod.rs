//! Whole jobs and random ones.

mod apart;
mod by_link;
mod closing;
mod counts_no_more;
pub(crate) mod crew;
mod grounds;
mod holders;
mod in_jaws;
mod keys;
mod load_read;
mod loop_points;
mod marks;
mod part;
mod present;
mod random;
mod remarks;
mod tagged;
mod timeline;
mod vented;
mod whole;
mod word;
