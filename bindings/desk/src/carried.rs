//! A job as the desk holds it in memory: its log, its sheets, and the state that follows.

use std::collections::BTreeSet;

use coldlug_core::{
    event::Sha256Hex,
    exchange::photos_named,
    job::{CarriedSheets, State},
    log::{self, Log, PublicKey, sha256},
    quantity::{DeviceId, JobId},
};
use coldlug_store::{BlobKind, Store, StoreError};

/// A job that is opened.
#[derive(Debug)]
pub(crate) struct Carried {
    /// Its entries.
    pub(crate) log: Log,
    /// What it is judged with.
    pub(crate) sheets: CarriedSheets,
    /// SHA-256 of the map sheet's bytes.
    pub(crate) map_sheet: Sha256Hex,
    /// SHA-256 of the rule sheet's bytes.
    pub(crate) rule_sheet: Sha256Hex,
    /// What follows from the entries.
    pub(crate) state: State,
    /// Photos that entries name.
    pub(crate) photos: BTreeSet<Sha256Hex>,
}

impl Carried {
    /// A job from its entries and the bytes of its sheets.
    pub(crate) fn new(log: Log, map_sheet: &[u8], rule_sheet: &[u8]) -> Result<Self, StoreError> {
        let sheets = CarriedSheets::read(map_sheet, rule_sheet)
            .map_err(|error| StoreError::Corrupt { reason: error.to_string() })?;
        let mut carried = Self {
            log,
            sheets,
            map_sheet: sha256(map_sheet),
            rule_sheet: sha256(rule_sheet),
            state: State::default(),
            photos: BTreeSet::new(),
        };
        carried.fold();
        Ok(carried)
    }

    /// A job from the store; none: it is not there, or was never opened.
    pub(crate) fn load(store: &Store, job: &JobId) -> Result<Option<Self>, StoreError> {
        let log = match store.load(job) {
            Ok(log) if !log.is_empty() => log,
            Ok(_) | Err(StoreError::NoSuchJob { .. }) => return Ok(None),
            Err(error) => return Err(error),
        };
        let map_sheet = store.sheet_of(job, BlobKind::MapSheet)?;
        let rule_sheet = store.sheet_of(job, BlobKind::RuleSheet)?;
        let (Some(map_sheet), Some(rule_sheet)) = (map_sheet, rule_sheet) else { return Ok(None) };
        Self::new(log, &map_sheet, &rule_sheet).map(Some)
    }

    /// Whether a device works on it, with this key.
    pub(crate) fn is_of(&self, device: &DeviceId, key: &PublicKey) -> bool {
        self.log.keys().get(device) == Some(key)
    }

    /// Folds everything anew: entries of others may stand before some that were here.
    pub(crate) fn fold(&mut self) {
        self.state = log::fold(&self.log, &self.sheets.lend());
        self.photos = photos_named(&self.log);
    }
}
