//! What was written down.

use coldlug_core::log::Entry;

/// What an act came to: it is on record, and survives a kill.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Receipt {
    /// One for every statement, in their order.
    pub written: Vec<Written>,
    /// The revision that shows it.
    pub revision: u64,
}

/// One entry that was written.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Written {
    /// The event's name.
    pub event: String,
    /// Its place in this phone's chain.
    pub seq: u64,
    /// The entry's hash, 64 hex digits.
    pub hash: String,
}

impl From<&Entry> for Written {
    fn from(entry: &Entry) -> Self {
        let (event, hash) = (entry.event().id.to_string(), entry.hash().to_string());
        Self { event, seq: entry.seq(), hash }
    }
}
