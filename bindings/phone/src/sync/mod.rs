//! Syncing with the desk: entries both ways, sheets of new jobs, photos.
//!
//! A round offers what the desk lacks and takes what it gives. Everything that comes is checked as
//! if a stranger had sent it: the desk's signature, then each entry's own. What was taken is kept
//! before the next message goes out, so a sync may be cut anywhere and the next one goes on.

mod ask;
mod blobs;
mod gather;
mod report;
mod take;

use std::{collections::BTreeSet, sync::Arc};

use coldlug_core::{
    event::Sha256Hex,
    exchange::{MOST_OFFER_BYTES, Offer, OfferAnswer},
};

use crate::{error::PhoneError, phone::Phone, ports::Transport, trouble::Trouble};

use take::Taken;

pub(crate) use ask::answered;
pub use report::{SyncProblem, SyncReport};

/// Most rounds of one sync: at a quarter mebibyte a round, more than any job has.
const MOST_ROUNDS: u32 = 400;

#[uniffi::export]
impl Phone {
    /// Syncs with the desk until neither side has anything left for the other.
    ///
    /// What cannot be settled by going on is a problem in the report; it stops nothing else.
    pub fn sync(&self, transport: Arc<dyn Transport>) -> Result<SyncReport, PhoneError> {
        let outcome = self.sync_now(&*transport);
        self.said(outcome)
    }
}

impl Phone {
    fn sync_now(&self, transport: &dyn Transport) -> Result<SyncReport, Trouble> {
        let _turn = self.turn()?;
        let mut report = SyncReport::default();
        let mut tried = BTreeSet::new();
        let mut last: Option<(Vec<Sha256Hex>, Taken)> = None;
        for _ in 0..MOST_ROUNDS {
            let offered = self.lock().gather()?;
            let lines = offered.hashes();
            if let Some((before, taken)) = &last {
                report.complete = lines.is_empty() && !taken.more;
                // The same again would come to the same again.
                if report.complete || (!taken.changed && *before == lines) {
                    break;
                }
            }
            let offer = Offer { have: offered.have.clone() };
            let (answer, rest): (OfferAnswer, _) =
                self.ask(transport, "offer", offer, &offered.rest, MOST_OFFER_BYTES)?;
            let taken = self.lock().take(&offered, answer, &rest, &self.words, &mut report)?;
            if taken.changed {
                self.feed.bump();
            }
            self.fetch_and_give(transport, &taken, &mut tried, &mut report)?;
            last = Some((lines, taken));
        }
        report.revision = self.feed.revision();
        Ok(report)
    }
}
