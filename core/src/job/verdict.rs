//! The verdict where a gate needs it.

use super::{sheets::Sheets, state::State};
use crate::{quantity::Instant, sighting::SetAt};

impl State {
    /// The set that the evidence identifies at `now`, which may be long after the last entry; none: it
    /// is not identified, or the job is not opened.
    pub(super) fn identified_at(&self, sheets: &Sheets<'_>, now: &Instant) -> Option<SetAt> {
        let evidence = self.evidence.as_ref()?;
        match evidence.grown_old(now, sheets.rules.sighting_fresh_s) {
            Some(old) => sheets.identified(&old),
            None => sheets.identified(evidence),
        }
    }

    /// The set in hand: the one that something is lifted of, else the one that was shown as identified.
    pub(crate) fn set_in_hand(&self) -> Option<&SetAt> {
        self.physical.legs.keys().next().or(self.identified.as_ref())
    }
}
