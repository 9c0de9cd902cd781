//! The verdict where a gate needs it.

use super::{sheets::Sheets, state::State};
use crate::sighting::SetAt;

impl State {
    /// The set that today's evidence identifies; none: it is not identified, or the job is not
    /// opened.
    #[allow(
        clippy::unused_self,
        reason = "the rule that judges the evidence comes with its module"
    )]
    pub(super) fn identified_now(&self, _: &Sheets<'_>) -> Option<SetAt> {
        None
    }
}
