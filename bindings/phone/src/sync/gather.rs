//! What this phone has, and which of its entries the desk lacks.

use std::collections::BTreeMap;

use coldlug_core::{
    event::Sha256Hex,
    exchange::{MOST_OFFER_BYTES, MOST_OFFER_LINES, counts, entries_after, write_entries},
    quantity::{DeviceId, JobId},
};

use crate::{phone::Held, trouble::Trouble};

/// Half of what an offer may be: its line and one large entry have room beside.
const MOST_ENTRIES_BYTES: usize = MOST_OFFER_BYTES / 2;

/// One offer.
#[derive(Debug)]
pub(super) struct Offered {
    pub(super) have: BTreeMap<JobId, BTreeMap<DeviceId, u64>>,
    /// The entries that go along, in order.
    pub(super) lines: Vec<Line>,
    /// Their bytes.
    pub(super) rest: Vec<u8>,
}

/// An entry on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) job: JobId,
    pub(super) device: DeviceId,
    pub(super) seq: u64,
    pub(super) hash: Sha256Hex,
}

impl Offered {
    /// What goes along, by hash.
    pub(super) fn hashes(&self) -> Vec<Sha256Hex> {
        self.lines.iter().map(|line| line.hash).collect()
    }
}

impl Held {
    /// The next offer, by what the desk said last that it has.
    pub(super) fn gather(&mut self) -> Result<Offered, Trouble> {
        let mut offered = Offered { have: BTreeMap::new(), lines: Vec::new(), rest: Vec::new() };
        for job in self.job_ids()? {
            let desk_has = self.store()?.acknowledged(&job)?;
            let log = &self.carried(&job)?.log;
            offered.have.insert(job.clone(), counts(log));
            let room = MOST_ENTRIES_BYTES.saturating_sub(offered.rest.len());
            let places = MOST_OFFER_LINES.saturating_sub(offered.lines.len());
            if room == 0 || places == 0 {
                continue;
            }
            let (mut entries, _) = entries_after(log, &desk_has, room)?;
            entries.truncate(places);
            offered.rest.extend(write_entries(entries.iter().copied())?);
            offered.lines.extend(entries.into_iter().map(|entry| Line {
                job: job.clone(),
                device: entry.device().clone(),
                seq: entry.seq(),
                hash: entry.hash(),
            }));
        }
        Ok(offered)
    }
}
