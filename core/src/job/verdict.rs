//! The verdict where a gate needs it.

use super::{sheets::Sheets, state::State};
use crate::sighting::SetAt;

impl State {
    /// The set that today's evidence identifies; none: it is not identified, or the job is not
    /// opened.
    pub(super) fn identified_now(&self, sheets: &Sheets<'_>) -> Option<SetAt> {
        sheets.identified(self.evidence.as_ref()?)
    }

    /// The set in hand: the one that something is lifted of, else the one that was shown as identified.
    pub(crate) fn set_in_hand(&self) -> Option<&SetAt> {
        self.physical.legs.keys().next().or(self.identified.as_ref())
    }
}
