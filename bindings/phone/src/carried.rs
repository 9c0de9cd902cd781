//! A job as the phone holds it in memory: its entries, its sheets, its state.

use std::collections::BTreeSet;

use coldlug_core::{
    event::Sha256Hex,
    exchange::photos_named,
    job::{CarriedSheets, Sheets, State},
    log::{Log, fold},
    quantity::JobId,
};
use coldlug_store::{BlobKind, Store};

use crate::trouble::Trouble;

/// A job in memory.
#[derive(Debug)]
pub(crate) struct Carried {
    pub(crate) log: Log,
    /// The sheets it is pinned to; none: they are not here yet, and the job is not shown.
    pub(crate) sheets: Option<CarriedSheets>,
    /// The fold of the log; none: entries came since.
    state: Option<State>,
    /// The photos its entries name, and of how many entries that was gathered.
    photos: (usize, BTreeSet<Sha256Hex>),
}

/// A job that is shown: entries, sheets and state.
pub(crate) struct Whole<'a> {
    pub(crate) log: &'a mut Log,
    pub(crate) sheets: Sheets<'a>,
    pub(crate) state: &'a mut State,
}

impl Carried {
    /// A job from the store.
    pub(crate) fn load(store: &Store, job: &JobId) -> Result<Self, Trouble> {
        let log = store.load(job)?;
        let map = store.sheet_of(job, BlobKind::MapSheet)?;
        let rules = store.sheet_of(job, BlobKind::RuleSheet)?;
        let sheets = match (map, rules) {
            (Some(map), Some(rules)) => Some(CarriedSheets::read(&map, &rules)?),
            _ => None,
        };
        Ok(Self { log, sheets, state: None, photos: (0, BTreeSet::new()) })
    }

    /// The job as it is shown; none while sheets or opening are missing.
    pub(crate) fn whole(&mut self) -> Option<Whole<'_>> {
        let sheets = self.sheets.as_ref()?.lend();
        let log = &mut self.log;
        let state = self.state.get_or_insert_with(|| fold(log, &sheets));
        state.header.is_some().then_some(Whole { log, sheets, state })
    }

    /// The state, where the job was looked at as a whole before.
    pub(crate) fn state(&self) -> Option<&State> {
        self.state.as_ref().filter(|state| state.header.is_some())
    }

    /// Entries of others came: the fold order may be another.
    pub(crate) fn entries_came(&mut self) {
        self.state = None;
    }

    /// The photos that its entries name.
    pub(crate) fn photos_named(&mut self) -> &BTreeSet<Sha256Hex> {
        if self.photos.0 != self.log.len() {
            self.photos = (self.log.len(), photos_named(&self.log));
        }
        &self.photos.1
    }
}
