//! How often a tank is vented for a fuse in it: what plans say, and what the job counts.

/// Ventings before a fuse is drawn: common practice, no source; that it is vented first, WAC 296-45-225.
pub const VENTINGS_BEFORE_DRAWN: usize = 2;

/// Ventings before a fuse is put back: common practice, no source.
pub const VENTINGS_BEFORE_PUT_BACK: usize = 1;
