//! Entries: chain, heads, signature, record. Pure: the store writes them.
//!
//! An entry is an event that a device signed. Each device writes one append-only chain a job; each
//! entry holds the hash of the one before it and the heads of the other chains its writer had seen.
//! The order in which entries are folded follows from that alone: causal, then wall clock, then
//! device id, so that any two holders of the same entries have the same state.

mod admit;
mod canonical;
mod chain;
mod entry;
mod error;
mod fold;
mod key;
mod order;
mod record;
#[cfg(test)]
mod sample;

pub use admit::Admitted;
pub use canonical::{canonical, sha256};
pub use chain::Log;
pub use entry::{Entry, Unsigned};
pub use error::{LogError, RecordError, RecordFault};
pub use fold::{fold, fold_next, replay};
pub use key::{DeviceKey, PublicKey, Signature};
pub use order::fold_order;
pub(crate) use record::value_of;
pub use record::{Header, Manifest, Verified, verify, write_record};
