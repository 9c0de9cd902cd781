//! How deep a target reaches: one whose inputs are all refused at the door tries nothing.

use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

/// Of the inputs of one target, how many were read and went on.
#[derive(Default)]
pub(crate) struct Reach {
    tried: AtomicU64,
    taken: AtomicU64,
}

impl Reach {
    /// One more input.
    pub(crate) fn tries(&self) {
        self.tried.fetch_add(1, Relaxed);
    }

    /// It was read.
    pub(crate) fn takes(&self) {
        self.taken.fetch_add(1, Relaxed);
    }

    /// Says how many there were, and fails where fewer than one in a hundred went on.
    pub(crate) fn says(&self, target: &str) {
        let (tried, taken) = (self.tried.load(Relaxed), self.taken.load(Relaxed));
        println!("{target}: {taken} of {tried} inputs were read and went on");
        assert!(taken.saturating_mul(100) >= tried, "{target} is refused at the door");
    }
}
