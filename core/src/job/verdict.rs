//! The verdict where a gate needs it.

use super::{sheets::Sheets, state::State};
use crate::{reconcile::identified_by, sighting::SetAt};

impl State {
    /// The set that today's evidence identifies; none: it is not identified, or the job is not
    /// opened.
    pub(super) fn identified_now(&self, sheets: &Sheets<'_>) -> Option<SetAt> {
        let evidence = self.evidence.as_ref()?;
        identified_by(sheets.plant, sheets.rules, evidence, sheets.conditions)
    }
}
