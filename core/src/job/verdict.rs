//! The verdict where a gate needs it.

use super::{sheets::Sheets, state::State};
use crate::sighting::SetAt;

impl State {
    /// The set that today's evidence identifies; none: it is not identified, or the job is not
    /// opened.
    pub(super) fn identified_now(&self, sheets: &Sheets<'_>) -> Option<SetAt> {
        sheets.identified(self.evidence.as_ref()?)
    }
}
