//! One signed entry.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{
    canonical::{canonical, sha256},
    error::LogError,
    key::{DeviceKey, PublicKey, Signature},
};
use crate::{
    event::{Event, Sha256Hex},
    quantity::{DeviceId, JobId},
};

/// Version of the form of an entry.
pub(super) const ENTRY_FORM: u32 = 1;

/// What is hashed and signed of an entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unsigned {
    /// Version of the form of an entry.
    pub entry: u32,
    /// The job.
    pub job: JobId,
    /// Who wrote it: the device of the event.
    pub device: DeviceId,
    /// Its place in the device's chain of this job, from one.
    pub seq: u64,
    /// Hash of the one before; none for the first.
    pub prev: Option<Sha256Hex>,
    /// Heads of the other chains its writer had seen.
    pub heads: BTreeMap<DeviceId, Sha256Hex>,
    /// What was written down.
    pub event: Event,
}

impl Unsigned {
    /// The hash that the next entry and other chains' heads name.
    pub fn hash(&self) -> Result<Sha256Hex, LogError> {
        Ok(sha256(&canonical(self)?))
    }

    /// Signs it.
    pub fn sign(self, key: &DeviceKey) -> Result<Entry, LogError> {
        let bytes = canonical(&self)?;
        Ok(Entry { hash: sha256(&bytes), signature: key.sign(&bytes), unsigned: self })
    }
}

/// An event that a device signed into its chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    unsigned: Unsigned,
    signature: Signature,
    hash: Sha256Hex,
}

/// An entry as it is written: its members and the signature side by side.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    entry: u32,
    job: JobId,
    device: DeviceId,
    seq: u64,
    prev: Option<Sha256Hex>,
    heads: BTreeMap<DeviceId, Sha256Hex>,
    event: Event,
    signature: Signature,
}

impl Entry {
    /// What was signed.
    pub fn unsigned(&self) -> &Unsigned {
        &self.unsigned
    }

    /// What was written down.
    pub fn event(&self) -> &Event {
        &self.unsigned.event
    }

    /// Its writer.
    pub fn device(&self) -> &DeviceId {
        &self.unsigned.device
    }

    /// Its place in its writer's chain, from one.
    pub fn seq(&self) -> u64 {
        self.unsigned.seq
    }

    /// Its hash.
    pub fn hash(&self) -> Sha256Hex {
        self.hash
    }

    /// Its signature.
    pub fn signature(&self) -> &Signature {
        &self.signature
    }

    /// Whether this key signed it.
    pub fn signed_by(&self, key: &PublicKey) -> bool {
        canonical(&self.unsigned).is_ok_and(|bytes| key.signed(&bytes, &self.signature))
    }

    /// The canonical bytes of the whole entry, signature included: one line of a record.
    pub fn to_bytes(&self) -> Result<Vec<u8>, LogError> {
        let Unsigned { entry, job, device, seq, prev, heads, event } = self.unsigned.clone();
        let signature = self.signature;
        canonical(&Written { entry, job, device, seq, prev, heads, event, signature })
    }

    /// An entry from its canonical bytes; anything that is not exactly those bytes is refused.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, LogError> {
        let value = super::record::value_of(bytes)?;
        let written: Written = serde_json::from_value(value)
            .map_err(|error| LogError::NotAnEntry { reason: error.to_string() })?;
        let Written { entry, job, device, seq, prev, heads, event, signature } = written;
        if entry != ENTRY_FORM {
            return Err(LogError::NotAnEntry { reason: format!("form {entry} is not known") });
        }
        let unsigned = Unsigned { entry, job, device, seq, prev, heads, event };
        let read = Self { hash: unsigned.hash()?, unsigned, signature };
        if read.to_bytes()? == bytes { Ok(read) } else { Err(LogError::NotCanonical) }
    }
}
