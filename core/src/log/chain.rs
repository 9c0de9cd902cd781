//! All chains of one job, as one holder has them.

use std::collections::BTreeMap;

use super::{
    entry::{ENTRY_FORM, Entry, Unsigned},
    error::LogError,
    key::{DeviceKey, PublicKey},
    order::fold_order,
};
use crate::{
    event::{Event, Sha256Hex},
    quantity::{DeviceId, JobId},
};

/// The entries of one job that are here, chain by chain, and the keys they are checked with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Log {
    job: JobId,
    keys: BTreeMap<DeviceId, PublicKey>,
    pub(super) chains: BTreeMap<DeviceId, Vec<Entry>>,
    /// Where each entry stands: device and place from one.
    pub(super) places: BTreeMap<Sha256Hex, (DeviceId, u64)>,
}

impl Log {
    /// No entries yet.
    pub fn new(job: JobId) -> Self {
        Self { job, keys: BTreeMap::new(), chains: BTreeMap::new(), places: BTreeMap::new() }
    }

    /// The job.
    pub fn job(&self) -> &JobId {
        &self.job
    }

    /// Enrols a device by its public key. The same again is fine; another key is refused.
    pub fn enrol(&mut self, device: DeviceId, key: PublicKey) -> Result<(), LogError> {
        match self.keys.get(&device) {
            Some(have) if *have != key => Err(LogError::OtherKey { device }),
            Some(_) => Ok(()),
            None => {
                self.keys.insert(device, key);
                Ok(())
            }
        }
    }

    /// The enrolled devices and their keys.
    pub fn keys(&self) -> &BTreeMap<DeviceId, PublicKey> {
        &self.keys
    }

    /// The chain of one device, from its first entry.
    pub fn chain(&self, device: &DeviceId) -> &[Entry] {
        self.chains.get(device).map_or(&[], Vec::as_slice)
    }

    /// How many entries are here.
    pub fn len(&self) -> usize {
        self.places.len()
    }

    /// True when there is none.
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// The last entry's hash of each chain.
    pub fn heads(&self) -> BTreeMap<DeviceId, Sha256Hex> {
        let head = |chain: &Vec<Entry>| chain.last().map(Entry::hash);
        self.chains.iter().filter_map(|(d, chain)| Some((d.clone(), head(chain)?))).collect()
    }

    /// The entries in fold order.
    pub fn in_order(&self) -> Vec<&Entry> {
        fold_order(self)
    }

    /// Signs an event into its device's chain and takes the entry into this log.
    pub fn append(&mut self, event: Event, key: &DeviceKey) -> Result<Entry, LogError> {
        let entry = self.sign(event, key)?;
        self.admit(entry.clone())?;
        Ok(entry)
    }

    /// The entry that [`Log::append`] would write, without taking it: for a store that keeps it
    /// first.
    pub fn sign(&self, event: Event, key: &DeviceKey) -> Result<Entry, LogError> {
        let device = event.device.clone();
        let last = self.chain(&device).last();
        let mut heads = self.heads();
        heads.remove(&device);
        let seq = last.map_or(1, |entry| entry.seq() + 1);
        let prev = last.map(Entry::hash);
        let job = self.job.clone();
        Unsigned { entry: ENTRY_FORM, job, device, seq, prev, heads, event }.sign(key)
    }
}
