//! Why a simulated crew does not go on.

use coldlug_core::{
    gate::Refusal,
    quantity::{DecimalError, IdError},
};
use coldlug_field::world::FieldError;

use crate::demo::tools::ToolError;

/// The job goes no further; why, by a stable id: a rule's, or one of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Halt(pub(crate) &'static str);

impl Halt {
    /// No test is offered that the crew can do.
    pub(crate) const NOTHING_OFFERED: Self = Self("nothing-offered");
    /// More tests than an honest job needs: the dispatcher is called.
    pub(crate) const TOO_MANY_TESTS: Self = Self("too-many-tests");
    /// A live reading stopped the job, or a leg that did not die.
    pub(crate) const STOPPED_LIVE: Self = Self("stopped-live");
    /// The base was dead before anything was opened.
    pub(crate) const BASE_DEAD_BEFORE: Self = Self("base-dead-before");
    /// No sound instrument of a kind is left.
    pub(crate) const NO_INSTRUMENT: Self = Self("no-instrument-left");
    /// The sheet names no pad or set for the service.
    pub(crate) const NOT_ON_THE_SHEET: Self = Self("not-on-the-sheet");
    /// The tag is not the one of the sheet.
    pub(crate) const OTHER_TAG: Self = Self("other-tag");
    /// No set shows the change.
    pub(crate) const NO_CHANGE_SEEN: Self = Self("no-change-seen");
    /// The simulation itself is at fault.
    pub(crate) const BROKEN: Self = Self("simulation-broken");
}

impl From<Refusal> for Halt {
    fn from(refusal: Refusal) -> Self {
        Self(refusal.rule.id())
    }
}

macro_rules! broken {
    ($($error:ty),*) => {$(
        impl From<$error> for Halt {
            fn from(error: $error) -> Self {
                tracing::debug!(%error, "the simulation is at fault");
                Self::BROKEN
            }
        }
    )*};
}

broken!(IdError, DecimalError, FieldError, ToolError);
